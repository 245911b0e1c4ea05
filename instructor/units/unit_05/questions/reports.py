"""Questions about when a sender may be told (5.6).

So that each aspect asks for its own clauses alone, limits are reached in "rate" only, and what must
not be reported there is an ICMP error of type 3; addresses are at stake in "addresses" only. Times
are eighths of a second, so that no rounding decides.
"""

__all__ = ["NEW_REPORTER", "report_questions"]

import random
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_05.case_parts import ip_packet, other
from instructor.units.unit_05.questions.echoes import icmp

KINDS, ADDRESSES, RATE = "errors and fragments", "addresses", "rate"
FORBIDDEN = "RFC 1812, section 4.3.2.7"
COMPUTED = "computed by the model answer"
OFTEN = 50  # reports a second, where the limit does not matter
UDP, TCP = 17, 6
ERROR_TYPES = (3, 4, 5, 11, 12)  # RFC 1122, section 3.2.2
FILLERS = b"\x01\x01\x01\x00"

Call = tuple[float, bytes, bool]


def steps(
    aspect: str,
    limit: tuple[list[str], int],
    *calls: Call,
    source: str = COMPUTED,
    expected: list[Any] | None = None,
) -> Question:
    """Make an object and ask it about packets: time, packet, and whether its frame was for many."""
    published = None if expected is None else Expected(value=expected)
    made = [["new", *limit], *(["may_report", *call] for call in calls)]
    return Question(aspect, (made,), source, published)


def ports(source: int, data: bytes = b"quay") -> bytes:
    """Return what a UDP datagram begins with; its checksum says that there is none."""
    numbers = (source, 33434, 8 + len(data), 0)
    return b"".join(number.to_bytes(2, "big") for number in numbers) + data


class Ends:
    """Two hosts, our links' broadcasts, and packets from the one host to the other."""

    def __init__(self, source: str, destination: str, broadcasts: list[str]) -> None:
        self.source = source
        self.destination = destination
        self.broadcasts = broadcasts

    def packet(self, carried: bytes = b"", *, protocol: int = UDP, **fields: Any) -> bytes:
        """Return a packet with time to live 1; `fields` may name other ends."""
        own: dict[str, Any] = {"source": self.source, "destination": self.destination, "hops": 1}
        return ip_packet(carried or ports(0xC350), protocol=protocol, **own | fields)

    def error(self, kind: int = 3, **fields: Any) -> bytes:
        """Return an ICMP error, or another message."""
        return self.packet(icmp(bytes(28), kind=kind), protocol=1, **fields)

    def ask(
        self, aspect: str, *packets: bytes, to_all: bool = False, start_s: float = 0
    ) -> Question:
        """Ask about packets, all of which come at once."""
        calls = [(start_s, packet, to_all) for packet in packets]
        return steps(aspect, (self.broadcasts, OFTEN), *calls)


def _kinds(ends: Ends, numbers: tuple[int, int, int], start_s: float) -> list[Question]:
    """Ask about ICMP errors and fragments; `numbers` are an offset, its high octet, and a port."""
    offset, high, port = numbers
    plain = ends.packet()

    def ask(*packets: bytes) -> Question:
        return ends.ask(KINDS, *packets, start_s=start_s)

    return [
        *(ask(ends.error(kind)) for kind in ERROR_TYPES),
        *(ask(ends.error(kind), plain) for kind in (5, 12)),
        *(ask(plain, ends.error(kind)) for kind in (4, 11)),
        *(ask(ends.error(kind)) for kind in (8, 0, 13)),
        ask(ends.error(8), plain, ends.error(3)),
        *(ask(ends.packet(ports(kind << 8 | port))) for kind in (3, 11)),
        ask(ends.packet(ports(12 << 8 | port), protocol=TCP), plain),
        ask(ends.error(11, options=FILLERS)),
        ask(ends.error(8, options=b"\x03" + FILLERS[1:])),
        ask(plain, ends.error(3, options=FILLERS * 3)),
        ask(ends.packet(fragment=offset)),
        ask(ends.packet(fragment=0x2000 | offset), plain),
        ask(ends.packet(fragment=0x1000)),
        ask(plain, ends.packet(fragment=0x2000 | high << 8)),
        ask(ends.packet(fragment=0x2000)),
        ask(plain, ends.packet(fragment=0x2000)),
        ask(ends.packet(fragment=0x4000), ends.packet(fragment=offset)),
        ask(ends.packet(fragment=0x4000)),
    ]


def _addresses(
    ends: Ends, groups: list[str], bad_sources: list[str], start_s: float
) -> list[Question]:
    """Ask about addresses: groups as destination, sources of no host, and broadcasts of links."""
    plain = ends.packet()
    ends_in_255 = ends.destination.rsplit(".", 1)[0] + ".255"

    def ask(*packets: bytes, to_all: bool = False) -> Question:
        return ends.ask(ADDRESSES, *packets, to_all=to_all, start_s=start_s)

    def to(address: str) -> bytes:
        return ends.packet(destination=address)

    def by(address: str) -> bytes:
        return ends.packet(source=address)

    return [
        ask(plain),
        ask(plain, to_all=True),
        ask(ends.packet(icmp(), protocol=1), plain, to_all=True),
        ask(to("255.255.255.255")),
        ask(plain, to("255.255.255.255"), plain),
        *(ask(to(group)) for group in groups),
        *(ask(to(group), plain) for group in groups[:2]),
        *(ask(to(one)) for one in ends.broadcasts),
        ask(plain, to(ends.broadcasts[-1])),
        *(ask(by(one)) for one in ends.broadcasts),
        ask(by(ends.broadcasts[-1]), plain),
        *(ask(by(source)) for source in bad_sources),
        *(ask(plain, by(source)) for source in bad_sources),
        ask(to(ends_in_255)),
        ask(plain, to(ends_in_255)),
        ask(by("10.0.0.9"), by("192.168.7.9")),
        ask(by("10.0.0.9")),
        ask(plain, by("192.168.200.1")),
    ]


def _rates(ends: Ends, senders: list[str], start_s: float) -> list[Question]:
    """Ask at which times reports are allowed; `start_s` is a whole number of seconds."""
    from_all = [ends.packet(source=sender) for sender in senders]
    error = ends.error(3)

    def at(most: int, *times_s: float, packets: list[bytes] | None = None) -> Question:
        sent = packets or [from_all[number % len(from_all)] for number in range(len(times_s))]
        calls = [(start_s + time_s, one, False) for time_s, one in zip(times_s, sent, strict=True)]
        return steps(RATE, (ends.broadcasts, most), *calls)

    plain = from_all[0]
    two = [["new", ends.broadcasts, 1], ["new", ends.broadcasts, 1]]
    asked = [["may_report", start_s, one, False] for one in from_all[:2]]
    return [
        at(1, 0, 0.5),
        at(1, 0, 1),
        at(1, 0.75, 1.25),
        at(2, 0, 0.5, 1, 1.25),
        at(2, 0.125, 0.25, 1.125, 1.25),
        at(1, 0.75, 1.25, 1.75),
        at(2, 0.5, 0.75, 1.25, 1.5),
        at(2, 0, 0.25, 0.5, 1),
        at(2, 0, 0.875, 1, 1.125, 1.875),
        at(3, 0, 0, 0, 0),
        at(3, 0.125, 0.25, 0.5, 0.875),
        at(3, 0, 0, 0.5, 1, 1.25, 1.5, 1.75),
        at(4, 0.125, 0.125, 0.25, 0.25, 0.5),
        at(4, *(number / 8 for number in range(12))),
        at(1, 0, 0.5, 1, 1.5, 2),
        at(1, 0, 0.25, packets=[error, plain]),
        at(1, 0, 0, 0.25, packets=[error, error, plain]),
        at(2, 0, 0.125, 0.25, 0.375, packets=[plain, error, plain, plain]),
        at(3, 0, 0.25, 0.5, 0.75, packets=[plain] * 4),
        at(3, 0, 2, 4, 6, 8),
        Question(RATE, ([*two, [0, *asked[0]], [1, *asked[1]]],)),
        Question(RATE, ([*two, [1, *asked[1]], [0, *asked[0]], [1, *asked[0]]],)),
    ]


LINKS = ["192.0.2.15", "192.0.2.0", "198.51.100.127"]
PLAIN = Ends("198.51.100.7", "203.0.113.9", LINKS)
OFFICE = PLAIN.packet(source="198.51.100.20")
NEW_REPORTER = (
    steps(ADDRESSES, (LINKS, OFTEN), (0, PLAIN.packet(destination="224.0.0.5"), False),
          source="the contract's own example", expected=[False]),
    steps(KINDS, (LINKS, OFTEN), (0, PLAIN.error(11), False), source=FORBIDDEN, expected=[False]),
    steps(KINDS, (LINKS, OFTEN), (0, PLAIN.packet(fragment=1), False), source=FORBIDDEN,
          expected=[False]),
    steps(ADDRESSES, (LINKS, OFTEN), (0, PLAIN.packet(), True), source=FORBIDDEN,
          expected=[False]),
    steps(RATE, (LINKS, 2), *((time_s, OFFICE, False) for time_s in (0, 0.25, 0.5, 1)),
          source="the workbook's worked case", expected=[True, True, False, True]),
    *_kinds(PLAIN, (185, 3, 0x10), 0),
    *_addresses(PLAIN, ["224.0.0.1", "239.255.255.250", "228.1.2.3"],
                ["0.0.0.0", "0.0.0.7", "127.0.0.1", "127.1.2.3", "224.0.0.9", "233.252.0.1",
                 "240.0.0.1", "255.255.255.255"], 0),
    *_rates(PLAIN, ["198.51.100.20", "198.51.100.21", "192.0.2.3"], 0),
)  # fmt: skip


def report_questions(rng: random.Random) -> list[Question]:
    """Draw ends, broadcasts, numbers and times; what is at stake is the same for every seed."""
    one, two, three = rng.sample(("192.0.2.", "198.51.100.", "203.0.113."), 3)
    source, destination, *senders = (
        net + str(rng.randint(1, 126)) for net in (one, two, one, two, three)
    )
    links = [three + str(rng.randint(127, 254)), one + str(rng.randint(130, 254)), two + "128"]
    ends = Ends(source, destination, rng.sample(links, 3))
    groups = [
        "224.0.0.",
        f"239.255.{rng.randint(0, 255)}.",
        f"{rng.randint(225, 231)}.7.7.",
        "233.252.0.",
    ]
    blocks = [
        "127.0.3.",
        "0.0.2.",
        f"{rng.randint(224, 238)}.1.1.",
        f"{rng.randint(240, 254)}.9.9.",
    ]
    return [
        *_kinds(ends, (rng.randint(1, 255), rng.randint(1, 15), rng.randint(0, 255)),
                rng.randint(0, 400) / 8),
        *_addresses(ends, [_some(rng, group) for group in groups],
                    ["0.0.0.0", *(_some(rng, block) for block in blocks), "127.0.0.1"],
                    rng.randint(0, 400) / 8),
        *_rates(ends, sorted({*senders, other(rng, source, 1)}), rng.randint(1, 50)),
    ]  # fmt: skip


def _some(rng: random.Random, block: str) -> str:
    return block + str(rng.randint(1, 254))
