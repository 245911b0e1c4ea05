"""What the public questions of unit 01 have in common: octets, and where they are from.

Where a standard prints field values only, the octets around them are of this course: addresses
from the plan of the story, hardware addresses from the range for documentation (RFC 9542, section
2.1, from memory) and, where both ends must be alike, from those that nobody assigns.
"""

__all__ = [
    "EXAMPLE_3",
    "MADE_HERE",
    "MAST",
    "PLOVER",
    "REED_PIER",
    "RFC_768",
    "RFC_791",
    "RFC_791_3",
    "RFC_894",
    "RFC_2113",
    "RFC_9542",
    "ROUTER_ALERT",
    "TO_1_FROM_2",
    "TO_ITSELF",
    "TYPES_BEGIN",
    "ask",
    "octets",
    "packet",
]

from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question

REFUSED = Expected(raises="ValueError")

REED_PIER, PLOVER = ADDRESSES["Reed Pier"], ADDRESSES["Plover"]
MAST = ADDRESSES["Weather Mast"]

TO_1_FROM_2 = bytes.fromhex("00005e005301 00005e005302")
TO_ITSELF = bytes.fromhex("222222222222 222222222222")

# RFC 791, appendix A, example 3 prints the shape of these options, with codes x and y that it
# leaves open; here they are 158 and 30, kept for experiments by RFC 4727.
EXAMPLE_3 = bytes.fromhex("9e03a1 9e04b1b2 01 1e03c1 00")
ROUTER_ALERT = bytes.fromhex("94040000")  # RFC 2113, section 2.1

RFC_791 = "RFC 791, section 3.1"
RFC_791_3 = "RFC 791, appendix A, example 3 (codes and values chosen)"
RFC_894 = "RFC 894: the ether type of IPv4 is 0x0800"
RFC_9542 = "RFC 9542, section 3 and appendix B"  # as in RFC 7042, which it obsoletes
TYPES_BEGIN = RFC_9542 + ": from 0x0600 on it is a type"
RFC_2113 = "RFC 2113, section 2.1"
RFC_768 = "RFC 768: the length counts header and data; written out by hand"
MADE_HERE = "written for this course"


def ask(aspect: str, *arguments: Any, source: str = MADE_HERE, **published: Any) -> Question:
    """Return a question; `gives=value` or `refused=True` says what the source prints."""
    expected = Expected(published["gives"]) if "gives" in published else None
    return Question(aspect, arguments, source, REFUSED if "refused" in published else expected)


def octets(text: str) -> bytes:
    """Return the octets that hexadecimal digits write."""
    return bytes.fromhex(text)


def packet(
    payload: bytes = b"",
    options: bytes = b"",
    *,
    first: int | None = None,
    total: int | None = None,
    ends: tuple[str, str] = (MAST, MAST),
    life_and_protocol: tuple[int, int] = (17, 17),
) -> bytes:
    """Return an IPv4 packet; `first` and `total` replace its first octet and its total length.

    Both ends are alike, and so are time to live and protocol, unless it is said otherwise: then
    who takes the one for the other loses nothing.
    """
    header = 20 + len(options)
    whole = header + len(payload) if total is None else total
    words = bytes([0x40 + header // 4 if first is None else first, 0xB8]) + whole.to_bytes(2, "big")
    words += bytes([0, 111, 0, 0, *life_and_protocol, 0x33, 0x17])
    addresses = bytes(int(part) for part in ".".join(ends).split("."))
    return words + addresses + options + payload
