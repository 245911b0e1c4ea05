"""Questions of unit 06: the secret ones of 6.4 and 6.6, drawn for each seed.

They are of the same kinds as the public ones, and every aspect is there for every seed.
"""

__all__ = ["filter_questions", "path_questions"]

import random
from ipaddress import IPv4Address
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import ask, datagram, ports

NETWORK = int(IPv4Address("203.0.113.0"))
Rule = tuple[str, int | None, bool]


def _prefix(address: int, length: int) -> str:
    return f"{IPv4Address(address >> 32 - length << 32 - length)}/{length}"


def _identification(rng: random.Random) -> int:
    """Return one that no public question has: those are 0."""
    return rng.randint(1, 0xFFFF)


# 6.4


def filter_questions(rng: random.Random) -> list[Question]:
    """Draw rules around a destination, and packets with and without ports."""
    questions = [one for _ in range(3) for one in _in_order(rng)]
    questions += [one for _ in range(2) for one in _ports(rng)]
    return questions + [one for _ in range(2) for one in _fragments(rng)]


def _in_order(rng: random.Random) -> list[Question]:
    address = NETWORK | rng.randint(1, 254)
    wide, narrow = _prefix(address, rng.randint(20, 24)), _prefix(address, rng.randint(26, 32))
    beside = _prefix(address ^ 1 << 32 - 27, rng.randint(27, 30))
    verdict = rng.random() < 0.5
    to: dict[str, Any] = {
        "destination": str(IPv4Address(address)),
        "identification": _identification(rng),
    }
    data = datagram(ports(5004, rng.randint(1, 9999)), **to)
    rules: list[list[Rule]] = [
        [(wide, None, verdict), (narrow, None, not verdict)],
        [(narrow, None, verdict), (beside, None, False), (wide, None, not verdict)],
        [(beside, None, False)],
        [(beside, None, not verdict), (wide, None, verdict)],
    ]
    return [ask("rules in order", data, some) for some in rules]


def _ports(rng: random.Random) -> list[Question]:
    wanted, other = rng.sample(range(1, 9999), 2)
    address = NETWORK | rng.randint(1, 254)
    to: dict[str, Any] = {"identification": _identification(rng)}
    beside = datagram(ports(other, wanted), destination="198.51.100.9", **to)
    to["destination"] = str(IPv4Address(address))
    rules: list[Rule] = [(_prefix(address, rng.randint(24, 30)), wanted, False)]
    only: list[Rule] = [(rules[0][0], other, True), ("0.0.0.0/0", None, False)]
    options = bytes([1, 1]) + wanted.to_bytes(2, "big")
    packets = [
        datagram(ports(other, wanted), protocol=rng.choice((6, 17)), **to),
        datagram(ports(wanted, other), protocol=rng.choice((6, 17)), **to),
        datagram(ports(other, wanted), protocol=rng.choice((1, 2, 47, 89)), **to),
        datagram(ports(other, wanted), options=b"\1" * rng.choice((4, 8)), protocol=6, **to),
        datagram(ports(wanted, other), options=options, **to),
        beside,
    ]
    chosen = [ask("ports", packet, rules) for packet in packets]
    return [*chosen, *(ask("ports", packet, only) for packet in packets[:3])]


def _fragments(rng: random.Random) -> list[Question]:
    wanted, other = rng.sample(range(1, 9999), 2)
    address = NETWORK | rng.randint(1, 254)
    prefix = _prefix(address, rng.randint(24, 32))
    protocol = rng.choice((6, 17))
    offsets = (0x2000, 0x4000, 0x2000 | rng.randint(1, 99), rng.randint(1, 0x1FFF), 1)
    packets = [
        datagram(ports(other, wanted), fragment=fragment, protocol=protocol,
                 identification=_identification(rng), destination=str(IPv4Address(address)))
        for fragment in offsets
    ]  # fmt: skip
    rules: list[list[Rule]] = [
        [(prefix, wanted, False)],
        [(prefix, wanted, True), ("203.0.113.0/24", None, False)],
    ]
    return [ask("fragments", packet, some) for packet in packets for some in rules]


# 6.6


def path_questions(rng: random.Random) -> list[Question]:
    """Draw a router's tables, and headers with none, one or several reasons to leave."""
    return [*_decided(rng), *_rewritten(rng), *_sent(rng)]


class _Place:
    """A router between a quay with hosts and two other routers."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.boat = str(IPv4Address(NETWORK | rng.randint(1, 14)))
        self.near, self.far = (f"198.51.100.{low + rng.randint(2, 29)}" for low in (0, 32))
        self.hops = [f"192.0.2.{number}" for number in rng.sample(range(2, 120), 2)]
        self.own = [f"192.0.2.{rng.randint(130, 200)}", "198.51.100.1"]
        self.nowhere = f"192.0.2.{rng.randint(201, 254)}"
        self.mtus = {"reed": 1500, "quay": 1500, "boat": rng.randint(300, 700)}
        reed, boat = self.hops
        self.routes = [
            ("198.51.100.0/24", reed, "reed"),
            ("198.51.100.0/27", None, "quay"),
            ("203.0.113.0/28", boat, "boat"),
        ]
        self.known = [reed, boat, self.near]

    def asked(self, aspect: str, known: list[str] | None = None, **fields: Any) -> Question:
        """Put a question about a header."""
        whom = self.known if known is None else known
        header = datagram(identification=_identification(self.rng), **fields)
        return ask(aspect, header, self.own, self.routes, self.mtus, whom)


def _decided(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    options = bytes([1]) * rng.choice((4, 8))
    questions = [
        place.asked("decide", destination=where, hops=hops)
        for where in (place.own[0], place.nowhere)
        for hops in (rng.randint(2, 64), rng.randint(0, 1))
    ]
    questions += [
        place.asked("decide", destination=where, options=options)
        for where in (place.own[1], place.nowhere)
    ]
    questions.append(place.asked("decide", destination=place.far, hops=rng.randint(2, 64)))
    return [*questions, place.asked("decide", [place.near], destination=place.near)]


def _rewritten(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    options = bytes([1]) * rng.choice((4, 8))
    most = place.mtus["boat"]
    boat: dict[str, Any] = {"destination": place.boat}
    return [
        place.asked("rewrite", hops=rng.randint(0, 1), **boat),
        place.asked("rewrite", hops=2, **boat),
        place.asked("rewrite", options=options, hops=rng.randint(2, 64), **boat),
        place.asked("rewrite", total=most, **boat),
        place.asked("rewrite", total=most + rng.randint(1, 8), **boat),
        place.asked("rewrite", total=most + 99, options=options, **boat),
        place.asked("rewrite", total=most + 99, hops=1, options=options, **boat),
        place.asked("rewrite", total=rng.randint(most + 1, 1500), destination=place.far),
        place.asked("rewrite", [], total=most + 30, **boat),
    ]


def _sent(rng: random.Random) -> list[Question]:
    place = _Place(rng)
    reed, boat = place.hops
    return [
        place.asked("send", [boat], destination=place.far),
        place.asked("send", [reed], destination=place.boat),
        place.asked("send", [reed, place.boat], destination=place.boat),
        place.asked("send", [reed, boat], destination=place.near),
        place.asked("send", destination=place.near),
        place.asked("send", [reed], destination=place.far),
    ]
