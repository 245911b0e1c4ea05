"""Datagrams, frames, stages and tables from which the questions of unit 06 are made.

Addresses are for documentation (RFC 5737; RFC 9542, for hardware addresses).
"""

__all__ = [
    "BOARD",
    "MAST",
    "OFFICE",
    "SCREEN",
    "aimed",
    "ask",
    "datagram",
    "framed",
    "ports",
    "printed",
    "resummed",
    "station",
    "steps",
    "steps_of_two",
    "with_field",
]

from ipaddress import IPv4Address
from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question
from instructor.units.unit_06.answers import folded_sum

OFFICE, BOARD = ADDRESSES["Ticket Office"], ADDRESSES["Timetable Board"]
MAST, SCREEN = ADDRESSES["Weather Mast"], ADDRESSES["Plover Bridge Screen"]


def ask(aspect: str, *arguments: Any) -> Question:
    """Put a question whose answer no source prints."""
    return Question(aspect, arguments)


def printed(aspect: str, source: str, expected: Any, *arguments: Any) -> Question:
    """Put a question whose answer a source prints: a value, or `Expected`."""
    published = expected if isinstance(expected, Expected) else Expected(value=expected)
    return Question(aspect, arguments, source, published)


def datagram(
    payload: bytes = b"",
    *,
    source: str = OFFICE,
    destination: str = SCREEN,
    hops: int = 64,
    protocol: int = 17,
    identification: int = 0,
    service: int = 0,
    fragment: int = 0,
    options: bytes = b"",
    version: int = 4,
    words: int | None = None,
    total: int | None = None,
) -> bytes:
    """Build a datagram whose checksum is right, whatever else may lie.

    `service` is the type of service, `fragment` flags and offset as on the wire, `words` the
    header length, `total` the total length; left out, the last two are right.
    """
    first = version << 4 | (5 + len(options) // 4 if words is None else words)
    length = 20 + len(options) + len(payload) if total is None else total
    numbers = (first << 8 | service, length, identification, fragment, hops << 8 | protocol, 0)
    start = b"".join(number.to_bytes(2, "big") for number in numbers)
    ends = IPv4Address(source).packed + IPv4Address(destination).packed
    return resummed(start + ends + options + payload)


def with_field(data: bytes, field: int) -> bytes:
    """Put any value into the checksum field."""
    return data[:10] + field.to_bytes(2, "big") + data[12:]


def resummed(data: bytes, octets: int | None = None) -> bytes:
    """Put the checksum right for as many octets as the header length says, or as given."""
    covered = with_field(data, 0)[: 4 * (data[0] & 15) if octets is None else octets]
    return with_field(data, folded_sum(covered) ^ 0xFFFF)


def aimed(checksum: int, **fields: Any) -> bytes:
    """Build a datagram whose right checksum is `checksum` (not 0xFFFF, which none has)."""
    fields["identification"] = 0
    start = int.from_bytes(datagram(**fields)[10:12], "big")
    return datagram(**fields | {"identification": (start - checksum) % 0xFFFF})


def ports(source: int, destination: int, data: bytes = b"") -> bytes:
    """Build what UDP and TCP begin with; the rest of the header is zero."""
    return source.to_bytes(2, "big") + destination.to_bytes(2, "big") + bytes(4) + data


def station(number: int) -> bytes:
    """Return a hardware address."""
    return bytes([0, 0, 0x5E, 0, 0x53, number])


def framed(data: bytes, to: int = 1, by: int = 2, *, padded: int = 0) -> bytes:
    """Put a datagram into a frame, padded to at least so many octets behind the header."""
    return station(to) + station(by) + b"\x08\x00" + data.ljust(padded, b"\0")


def steps(aspect: str, every: int, *calls: Any) -> Question:
    """Make an object and call its methods: a text is a flow, None asks for the counts."""
    return Question(aspect, ([["new", every], *(_called(flow) for flow in calls)],))


def steps_of_two(aspect: str, periods: tuple[int, int], *calls: tuple[int, str | None]) -> Question:
    """Make two objects, and call their methods in turn: a number, and a flow or None."""
    made = [["new", every] for every in periods]
    return Question(aspect, ([*made, *([number, *_called(flow)] for number, flow in calls)],))


def _called(flow: str | None) -> list[str]:
    return ["counts"] if flow is None else ["passes", flow]
