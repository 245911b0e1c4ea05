"""Questions of unit 06: the secret ones of 6.4 and 6.6, drawn for each seed.

Every aspect is there for every seed, and every clause is asked in ways that no public case has.
"""

__all__ = ["filter_questions", "path_questions"]

import random
from ipaddress import IPv4Address
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import ask, datagram, ports

NETWORK = int(IPv4Address("203.0.113.0"))
EVERYTHING = "0.0.0.0/0"
Rule = tuple[str, int | None, bool]
Route = tuple[str, str | None, str]


def _prefix(address: int, length: int) -> str:
    return f"{IPv4Address(address >> 32 - length << 32 - length)}/{length}"


def _identification(rng: random.Random) -> int:
    """Return one that no public question has: those are 0."""
    return rng.randint(1, 0xFFFF)


# 6.4


def filter_questions(rng: random.Random) -> list[Question]:
    """Draw rules around a destination, and packets with and without ports."""
    verdicts = (True, False, rng.random() < 0.5)
    questions = [one for verdict in verdicts for one in _in_order(rng, verdict)]
    return [*questions, *_ports(rng), *_fragments(rng), *_fragments(rng)]


def _in_order(rng: random.Random, verdict: bool) -> list[Question]:
    """Draw rules without ports: some cover the destination, some lie beside it."""
    address = NETWORK | rng.randint(1, 254)
    wide, narrow = _prefix(address, rng.randint(1, 23)), _prefix(address, rng.randint(25, 32))
    beside = _prefix(address ^ 1 << rng.randint(1, 4), rng.choice((31, 32)))
    near = _prefix(address ^ 1 << 32 - 27, rng.randint(27, 30))
    to: dict[str, Any] = {
        "destination": str(IPv4Address(address)),
        "identification": _identification(rng),
    }
    data = datagram(ports(5004, rng.randint(1, 9999)), **to)
    rules: list[list[Rule]] = [
        [(wide, None, verdict), (narrow, None, not verdict)],
        [(beside, None, verdict), (narrow, None, verdict), (near, None, False),
         (wide, None, not verdict)],
        [(near, None, False), (beside, None, False)],
        [(near, None, not verdict), (EVERYTHING, None, verdict), (narrow, None, not verdict)],
        [("198.51.100.0/24", None, False)],
    ]  # fmt: skip
    return [ask("rules in order", data, some) for some in rules]


class _Boats:
    """Packets from boat to boat, and rules of which exactly one fits."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        by, to = (NETWORK | number for number in rng.sample(range(1, 254), 2))
        self.ends = {"source": str(IPv4Address(by)), "destination": str(IPv4Address(to))}
        self.all = "203.0.113.0/24"
        self.passes = rng.random() < 0.5

    def packet(self, by: int, to: int, **fields: Any) -> bytes:
        """Build a datagram from port to port."""
        fields["identification"] = _identification(self.rng)
        return datagram(ports(by, to), **self.ends | fields)

    def stops(self, port: int) -> list[Rule]:
        """Return rules of which the first fits this port, and no other port the second."""
        return [(self.all, port, False), (self.all, port ^ 1, True)]

    def does_not_meet(self, port: int) -> list[Rule]:
        """Return rules of which only the last fits, if the packet does not carry this port.

        It lets every other packet pass, so that no one verdict is right for all.
        """
        self.passes = not self.passes
        return [(self.all, port, not self.passes), (self.all, None, self.passes)]


def _ports(rng: random.Random) -> list[Question]:
    boats = _Boats(rng)
    wanted, other = rng.sample(range(256, 65535), 2)
    low = (wanted & 0xFF) or 1
    options = bytes([1, 1]) + wanted.to_bytes(2, "big")
    carried = [
        boats.packet(other, wanted),
        boats.packet(other, wanted, protocol=6),
        boats.packet(other, wanted, options=b"\1" * rng.choice((4, 8, 40)), protocol=6),
        boats.packet(wanted, wanted, options=b"\1" * rng.choice((4, 8, 40))),
    ]
    not_carried = [
        boats.packet(wanted, other),
        boats.packet(wanted, other, protocol=6),
        boats.packet(wanted, wanted, protocol=rng.choice((1, 2, 47, 89, 132))),
        boats.packet(other, other ^ 1, options=options),
    ]
    questions = [(data, boats.stops(wanted)) for data in carried]
    questions += [(data, boats.does_not_meet(wanted)) for data in not_carried]
    elsewhere: list[Rule] = [("198.51.100.0/24", wanted, False), (boats.all, None, True)]
    questions += [
        (boats.packet(other, wanted), boats.does_not_meet(low)),
        (boats.packet(other, 0), boats.stops(0)),
        (boats.packet(0, wanted), boats.does_not_meet(0)),
        (boats.packet(0, 0, protocol=1), boats.does_not_meet(0)),
        (boats.packet(other, wanted), elsewhere),
    ]
    return [ask("ports", data, rules) for data, rules in questions]


def _fragments(rng: random.Random) -> list[Question]:
    boats = _Boats(rng)
    port = rng.randint(1, 65535)
    first = [0x2000, 0x4000, 0]
    later = [
        0x2000 | rng.randint(1, 0x1FFF), rng.randint(1, 0xFF), 0x0100 << rng.randint(0, 4),
        0x2000 | rng.randint(1, 0x1F) << 8,
    ]  # fmt: skip
    anything: list[Rule] = [(boats.all, None, False)]
    questions = [(word, boats.stops(port)) for word in first]
    questions += [(word, boats.does_not_meet(port)) for word in later]
    questions += [(word, anything) for word in later[:2]]
    looks_so = [(boats.packet(port, port, fragment=word), rules) for word, rules in questions]
    other = port % 65535 + 1
    looks_so.append((boats.packet(other, other, fragment=later[0]), boats.does_not_meet(port)))
    return [ask("fragments", data, rules) for data, rules in looks_so]


# 6.6


def path_questions(rng: random.Random) -> list[Question]:
    """Draw a router's tables, and headers with none, one or several reasons to leave."""
    return [*_decided(rng), *_rewritten(rng), *_sent(rng), *_sent(rng)]


class _Place:
    """A router between a quay with hosts and two other routers, its prefixes apart."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.boat = str(IPv4Address(NETWORK | rng.randint(1, 14)))
        self.near, self.far = (f"198.51.100.{low + rng.randint(2, 29)}" for low in (0, 64))
        self.hops = [f"192.0.2.{number}" for number in rng.sample(range(2, 120), 3)]
        self.own = [f"192.0.2.{rng.randint(130, 150)}", "198.51.100.1", "192.0.2.160"]
        self.nowhere = f"192.0.2.{rng.randint(201, 254)}"
        self.mtus = {"reed": rng.randint(800, 1500), "quay": 1500, "boat": rng.randint(300, 700)}
        self.reed, self.boats, self.other = self.hops
        self.routes: list[Route] = [
            ("198.51.100.64/27", self.reed, "reed"),
            ("198.51.100.0/27", None, "quay"),
            ("203.0.113.0/28", self.boats, "boat"),
        ]
        rng.shuffle(self.routes)
        self.known = [self.boat, self.near, self.far, self.reed, self.boats, self.nowhere]

    def asked(
        self, aspect: str, known: list[str] | None = None, routes: list[Route] | None = None,
        **fields: Any,
    ) -> Question:  # fmt: skip
        """Put a question about a header."""
        whom = self.known if known is None else known
        ways = self.routes if routes is None else routes
        header = datagram(identification=_identification(self.rng), **fields)
        return ask(aspect, header, self.own, ways, self.mtus, whom)


def _decided(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    options = bytes([1]) * rng.choice((4, 8))
    questions = [
        place.asked("decide", destination=where, hops=hops)
        for where in (place.own[0], place.nowhere)
        for hops in (rng.randint(3, 64), rng.randint(0, 1))
    ]
    questions += [
        place.asked("decide", destination=where, options=options)
        for where in (place.own[2], place.nowhere)
    ]
    number = int(IPv4Address(place.far))
    lengths = sorted(rng.sample(range(33), 3))
    for longest in (lengths[1], lengths[2]):
        ways: list[Route] = [
            (_prefix(number, length), place.reed if length == longest else place.other, "quay")
            for length in lengths if length <= longest
        ]  # fmt: skip
        rng.shuffle(ways)
        questions += [place.asked("decide", routes=some, destination=place.far)
                      for some in (ways, ways[::-1])]  # fmt: skip
    beside: list[Route] = [(_prefix(number ^ 1, 32), place.reed, "reed")]
    default: list[Route] = [("0.0.0.0/0", place.reed, "reed"), (beside[0][0], place.other, "reed")]
    return [
        *questions,
        place.asked("decide", routes=beside, destination=place.far),
        place.asked("decide", routes=default, destination=place.far),
        place.asked("decide", routes=[], destination=place.own[1]),
        *_same_start(place, number),
        *_for_many(place),
    ]


def _same_start(place: _Place, number: int) -> list[Question]:
    """Ask by two prefixes that begin alike and look equally long; only the longer is known."""
    shorter, longer = sorted(place.rng.sample(range(10, 26), 2))
    ways: list[Route] = [
        (_prefix(number & -1 << 32 - shorter, length), hop, "quay")
        for length, hop in ((shorter, place.other), (longer, place.reed))
    ]  # fmt: skip
    inside = str(IPv4Address((number & -1 << 32 - shorter) | place.rng.randint(1, 63)))
    known = [place.reed, inside]
    return [place.asked("decide", known, some, destination=inside) for some in (ways, ways[::-1])]


def _for_many(place: _Place) -> list[Question]:
    """Ask about addresses that stand for many: for `why_slow` they are like all others."""
    default: list[Route] = [("0.0.0.0/0", place.reed, "reed")]
    group = f"233.252.0.{place.rng.randint(1, 254)}"
    end = "198.51.100.31"  # of the hosts on the quay
    last: list[Route] = [("198.51.100.0/27", place.reed, "quay")]
    return [
        place.asked("decide", [place.reed, group], default, destination=group),
        place.asked("decide", [place.reed, end], last, destination=end),
    ]


def _rewritten(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    options = bytes([1]) * rng.choice((4, 8))
    most = place.mtus["boat"]
    boat: dict[str, Any] = {"destination": place.boat}
    return [
        place.asked("rewrite", hops=rng.randint(0, 1), **boat),
        place.asked("rewrite", hops=1, destination=place.near),
        place.asked("rewrite", hops=2, **boat),
        place.asked("rewrite", options=options, hops=rng.randint(3, 64), **boat),
        place.asked("rewrite", options=bytes([1]) * rng.randint(3, 10) * 4, destination=place.far),
        place.asked("rewrite", total=most, **boat),
        place.asked("rewrite", total=most - rng.randint(1, 13), **boat),
        place.asked("rewrite", total=most + rng.randint(1, 8), **boat),
        place.asked("rewrite", total=most + 99, options=bytes([1] * 4), **boat),
        place.asked("rewrite", total=most + 99, hops=0, options=options, **boat),
        place.asked("rewrite", hops=0, options=options, **boat),
        place.asked("rewrite", options=rng.choice((b"\x94\4\0\0", b"\x44\4\5\0")), **boat),
        place.asked("rewrite", service=rng.randint(1, 255), **boat),
        place.asked("rewrite", total=rng.randint(32_768, 65_535), **boat),
        place.asked(
            "rewrite",
            total=most - rng.randint(14, 99),
            fragment=0x2000 | rng.randint(0x20, 0x1F00),
            **boat,
        ),
        place.asked("rewrite", total=rng.randint(most + 1, 780), destination=place.far),
        place.asked("rewrite", [place.reed], total=most + rng.randint(30, 900), **boat),
    ]


def _sent(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    return [
        place.asked("send", [place.boats], destination=place.far),
        place.asked("send", [place.reed], destination=place.boat),
        place.asked("send", [place.reed, place.boat], destination=place.boat),
        place.asked("send", [place.boats, place.other], destination=place.boat),
        place.asked("send", [place.reed, place.boats], destination=place.near),
        place.asked("send", [place.near], destination=place.near),
        place.asked("send", [place.reed], destination=place.far),
    ]
