"""What learners believe about where a tag stands, and which ids it holds (exercise 1.2)."""

__all__ = ["TAGS"]

from collections.abc import Callable
from typing import Any

Fields = tuple[str, str, int | None, int, bytes]


def right_fields(frame: bytes, is_tagged: Callable[[bytes], bool]) -> Fields:
    """Parse a frame; only how a tag is told may be wrong."""
    if len(frame) < 14 or (is_tagged(frame) and len(frame) < 18):
        raise ValueError("too short")
    start = 18 if is_tagged(frame) else 14
    ether_type = int.from_bytes(frame[start - 2 : start], "big")
    if ether_type < 0x0600:
        raise ValueError("a length")
    vlan = int.from_bytes(frame[14:16], "big") & 0x0FFF if start == 18 else None
    return frame[:6].hex(":"), frame[6:12].hex(":"), vlan, ether_type, frame[start:]


def tag_sought_in_the_header(frame: bytes) -> Fields:
    """Find a tag wherever 81 00 stands in the first 14 octets."""
    return right_fields(frame, lambda frame: b"\x81\x00" in frame[:14])


def tag_by_its_first_octet(frame: bytes) -> Fields:
    """Take 81 for enough, whatever follows."""
    return right_fields(frame, lambda frame: frame[12] == 0x81)


def tag_by_a_comparison(frame: bytes) -> Fields:
    """Take whatever is not below 81 and ends in 00 for a tag."""
    return right_fields(frame, lambda frame: frame[12] >= 0x81 and frame[13] == 0)


def last_id_refused(frame: bytes) -> Fields:
    """Refuse the VLAN id 4095, which is reserved elsewhere."""
    fields = right_fields(frame, lambda frame: frame[12:14] == b"\x81\x00")
    if fields[2] == 4095:
        raise ValueError("this id is reserved")
    return fields


TAGS: dict[str, Callable[..., Any]] = {
    "tag-sought-in-the-addresses": tag_sought_in_the_header,
    "one-octet-makes-a-tag": tag_by_its_first_octet,
    "last-id-refused": last_id_refused,
}
