"""Public questions about one hop of a whole frame (6.2).

Only where addresses are at stake do they change. Everywhere else the frame comes with the hardware
addresses with which it has to leave, and the datagram goes from one end of the next link to the
other: who takes the wrong address loses the points for addresses, and no others.
"""

__all__ = ["REWRITE_FRAME", "folding_twice", "on_the_link"]

from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import (
    OFFICE,
    aimed,
    ask,
    datagram,
    framed,
    printed,
    station,
    with_field,
)
from instructor.units.unit_06.public_cases.faults import NO_OPTIONS, OPTIONS

ENVELOPE, LIFE, BELONGS, REFUSALS = (
    "addresses", "time to live and checksum", "options and padding", "refusals",
)  # fmt: skip
FORWARDS = "RFC 1812, section 5.3.1"
SILENT = "RFC 1624, section 4: 0x0000, not 0xFFFF, is the updated checksum"
EXAMPLE = "the contract's own example"

NORTH = (station(0x10), bytes([192, 0, 2, 8]))
REED = (station(0x21), bytes([192, 0, 2, 1]))
PLOVER = (station(0x11), bytes([192, 0, 2, 9]))
WORKED = (station(0), bytes([192, 0, 2, 0])), (station(1), bytes([192, 0, 2, 1]))
LINK: dict[str, Any] = {"source": "192.0.2.8", "destination": "192.0.2.9"}


def on_the_link(aspect: str, data: bytes, padded: int = 0) -> Question:
    """Put a datagram to the question whose frame comes as it has to leave."""
    return ask(aspect, framed(data, 0x11, 0x10, padded=padded), NORTH, PLOVER)


def _refused(data: bytes, padded: int = 0) -> Question:
    frame = framed(data, 0x11, 0x10, padded=padded)
    return printed(REFUSALS, FORWARDS, Expected(raises="ValueError"), frame, NORTH, PLOVER)


def folding_twice(**fields: Any) -> bytes:
    """Return a datagram whose sum, one hop on, carries again when its carries come back in."""
    start = datagram(identification=0, **fields)
    words = [int.from_bytes(start[place : place + 2], "big") for place in range(0, 20, 2)]
    rest = sum(words) - words[5] - 0x0100  # the checksum counts as zero, one hop on
    needed = next(
        number for number in range(0x10000)
        if (rest + number & 0xFFFF) + (rest + number >> 16) > 0xFFFF
    )  # fmt: skip
    return datagram(**fields | {"identification": needed})


def carrying_its_checksum(data: bytes, **fields: Any) -> bytes:
    """Return a datagram whose data end in the two octets of its own checksum."""
    start = datagram(data + bytes(2), **fields)  # the checksum does not cover data
    return start[:-2] + start[10:12]


CORNER = aimed(0xFEFF, **LINK)
REWRITE_FRAME = (
    ask(ENVELOPE, framed(datagram()), NORTH, PLOVER),
    ask(ENVELOPE, framed(aimed(0x2605, destination=ADDRESSES["Timetable Board"]), 7, 8), *WORKED),
    ask(ENVELOPE, framed(datagram(source=OFFICE), 0x11, 8), PLOVER, NORTH),
    ask(ENVELOPE, framed(datagram(protocol=1), 0x10, 3), NORTH, REED),
    ask(ENVELOPE, framed(datagram(**LINK), 5, 0x10), NORTH, PLOVER),
    ask(ENVELOPE, framed(datagram(**LINK), 0x11, 6), NORTH, PLOVER),
    ask(ENVELOPE, framed(datagram(**LINK | {"source": OFFICE}), 0x11, 0x10), NORTH, PLOVER),
    ask(ENVELOPE, framed(datagram(source="192.0.2.8"), 0x11, 0x10), NORTH, PLOVER),
    ask(ENVELOPE, framed(datagram(**LINK), 5, 0x11), NORTH, PLOVER),  # back where it came from
    ask(ENVELOPE, framed(datagram(**LINK), 0x10, 0x11), NORTH, PLOVER),
    printed(LIFE, EXAMPLE,
            framed(aimed(0x2705, hops=63, **LINK), 0x11, 0x10),
            framed(aimed(0x2605, **LINK), 0x11, 0x10), NORTH, PLOVER),
    on_the_link(LIFE, datagram(hops=255, **LINK)),
    on_the_link(LIFE, datagram(hops=9, protocol=253, **LINK)),
    on_the_link(LIFE, aimed(0xFFC3, **LINK)),
    on_the_link(LIFE, aimed(0xFFFE, hops=3, **LINK)),
    on_the_link(LIFE, aimed(0xFF00, **LINK)),
    on_the_link(LIFE, aimed(0xFEFE, **LINK)),
    on_the_link(LIFE, aimed(0, **LINK)),
    printed(LIFE, SILENT,
            framed(with_field(CORNER[:8] + b"\x3f" + CORNER[9:], 0), 0x11, 0x10),
            framed(CORNER, 0x11, 0x10), NORTH, PLOVER),
    on_the_link(LIFE, aimed(0xFEFF, hops=17, protocol=6, **LINK)),
    on_the_link(LIFE, folding_twice(**LINK)),
    on_the_link(LIFE, folding_twice(protocol=6, **LINK)),
    on_the_link(BELONGS, datagram(**LINK), padded=46),
    on_the_link(BELONGS, datagram(b"quay", **LINK), padded=46),
    on_the_link(BELONGS, datagram(b"ferry", **LINK), padded=26),
    on_the_link(BELONGS, datagram(b"ferry at 7:40", **LINK)),
    on_the_link(BELONGS, datagram(bytes(range(60)), **LINK)),
    on_the_link(BELONGS, datagram(b"ferry" * 50, **LINK)),
    on_the_link(BELONGS, datagram(b"quay", options=OPTIONS, **LINK)),
    on_the_link(BELONGS, datagram(options=OPTIONS, **LINK), padded=46),
    on_the_link(BELONGS, datagram(b"quay", options=10 * NO_OPTIONS, **LINK)),
    on_the_link(BELONGS, datagram(b"quay", options=b"\1" * 40, **LINK)),
    on_the_link(BELONGS, datagram(fragment=0x4000, identification=7, **LINK)),
    on_the_link(BELONGS, datagram(service=0xB8, identification=8, **LINK)),
    on_the_link(BELONGS, datagram(bytes(8), fragment=0x2001, identification=9, **LINK)),
    on_the_link(BELONGS, datagram(bytes.fromhex("4011 aaaa"), **LINK)),
    on_the_link(BELONGS, datagram(b"quay\x80\x06", hops=128, protocol=6, **LINK)),
    on_the_link(BELONGS, datagram(identification=0x4011, **LINK)),
    on_the_link(BELONGS, carrying_its_checksum(b"ferry ", **LINK)),
    on_the_link(BELONGS, carrying_its_checksum(b"", protocol=6, **LINK)),
    _refused(datagram(hops=1, **LINK)),
    _refused(datagram(bytes(8), hops=1, **LINK)),
    _refused(datagram(hops=0, **LINK)),
    _refused(datagram(hops=0, protocol=1, **LINK)),
    printed(REFUSALS, f"{FORWARDS}: a packet with more than 1 is forwarded",
            framed(datagram(hops=1, **LINK), 0x11, 0x10),
            framed(datagram(hops=2, **LINK), 0x11, 0x10), NORTH, PLOVER),
    on_the_link(REFUSALS, datagram(hops=2, protocol=1, **LINK)),
    on_the_link(REFUSALS, datagram(hops=3, **LINK)),
)  # fmt: skip
