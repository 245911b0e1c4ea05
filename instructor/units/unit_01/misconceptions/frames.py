"""What learners believe about words and Ethernet frames, as code (exercises 1.1 and 1.2).

See `unit_01.py`.
"""

__all__ = ["PARSE_FRAME", "READ_WORD"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def low_octet_first(data: bytes, offset: int) -> int:
    """Read the word as most desktop processors store it."""
    if offset < 0 or offset + 2 > len(data):
        raise ValueError("out of range")
    return data[offset] + data[offset + 1] * 256


def offset_counts_words(data: bytes, offset: int) -> int:
    """Count the offset in words."""
    if offset < 0 or 2 * offset + 2 > len(data):
        raise ValueError("out of range")
    return data[2 * offset] * 256 + data[2 * offset + 1]


def adds_the_octets(data: bytes, offset: int) -> int:
    """Add both octets, each with weight one."""
    if offset < 0 or offset + 2 > len(data):
        raise ValueError("out of range")
    return data[offset] + data[offset + 1]


def weight_255(data: bytes, offset: int) -> int:
    """Weigh the high octet with the largest octet, not with the number of octets."""
    if offset < 0 or offset + 2 > len(data):
        raise ValueError("out of range")
    return data[offset] * 255 + data[offset + 1]


def digits_side_by_side(data: bytes, offset: int) -> int:
    """Write the octets next to each other without their leading zeros."""
    if offset < 0 or offset + 2 > len(data):
        raise ValueError("out of range")
    return int(f"{data[offset]:x}{data[offset + 1]:x}", 16)


def shortens_at_the_end(data: bytes, offset: int) -> int:
    """Trust the slice, which is silently shorter at the end."""
    return int.from_bytes(data[offset : offset + 2], "big")


def counts_back_from_the_end(data: bytes, offset: int) -> int:
    """Check one end only: a negative place is a place for Python."""
    if offset + 2 > len(data):
        raise ValueError("out of range")
    return data[offset] * 256 + data[offset + 1]


def last_word_refused(data: bytes, offset: int) -> int:
    """Be off by one at the end."""
    if offset < 0 or offset + 2 >= len(data):
        raise ValueError("out of range")
    return data[offset] * 256 + data[offset + 1]


def _address(octets: bytes) -> str:
    return octets.hex(":")


def _frame(
    frame: bytes,
    *,
    address: Callable[[bytes], str] = _address,
    order: Order = "big",
    start: int = 0,
    tag_type: int = 0x8100,
    id_mask: int = 0x0FFF,
    payload_after_tag: int = 18,
    trailer: int = 0,
    smallest_type: int = 0x0600,
) -> tuple[str, str, int | None, int, bytes]:
    frame = frame[start:]
    vlan, end, ether_type = None, 14, int.from_bytes(frame[12:14], order)
    if ether_type == tag_type:
        vlan = int.from_bytes(frame[14:16], order) & id_mask
        end, ether_type = 18, int.from_bytes(frame[16:18], order)
    if len(frame) < end:
        raise ValueError("too short")
    if ether_type < smallest_type:
        raise ValueError("a length")
    payload = frame[end if vlan is None else payload_after_tag : len(frame) - trailer]
    return address(frame[0:6]), address(frame[6:12]), vlan, ether_type, payload


def source_comes_first(frame: bytes) -> tuple[Any, ...]:
    """Expect the sender in front, as in the IPv4 header."""
    destination, source, *rest = _frame(frame)
    return source, destination, *rest


def no_leading_zeros(frame: bytes) -> tuple[Any, ...]:
    """Write an octet with as many digits as it needs."""
    return _frame(frame, address=lambda octets: ":".join(f"{octet:x}" for octet in octets))


def decimal_octets(frame: bytes) -> tuple[Any, ...]:
    """Write hardware addresses in decimal, as IPv4 addresses are."""
    return _frame(frame, address=lambda octets: ":".join(str(octet) for octet in octets))


def type_low_octet_first(frame: bytes) -> tuple[Any, ...]:
    """Read the 16-bit fields low octet first."""
    return _frame(frame, order="little", tag_type=0x0081)


def preamble_in_front(frame: bytes) -> tuple[Any, ...]:
    """Expect the eight octets of the preamble in front of the frame."""
    return _frame(frame, start=8)


def whole_tag_as_id(frame: bytes) -> tuple[Any, ...]:
    """Take all 16 bits behind 0x8100 as the VLAN id."""
    return _frame(frame, id_mask=0xFFFF)


def one_octet_id(frame: bytes) -> tuple[Any, ...]:
    """Take the last octet of the tag as the VLAN id."""
    return _frame(frame, id_mask=0x00FF)


def tag_type_as_ether_type(frame: bytes) -> tuple[Any, ...]:
    """Report 0x8100 as what the frame carries."""
    destination, source, vlan, ether_type, payload = _frame(frame)
    return destination, source, vlan, ether_type if vlan is None else 0x8100, payload


def tags_unknown(frame: bytes) -> tuple[Any, ...]:
    """Take every header for 14 octets long."""
    return _frame(frame, tag_type=-1)


def payload_always_at_14(frame: bytes) -> tuple[Any, ...]:
    """Find the tag, and forget that it moves the payload."""
    return _frame(frame, payload_after_tag=14)


def check_sequence_cut_off(frame: bytes) -> tuple[Any, ...]:
    """Take the last four octets for the frame check sequence."""
    return _frame(frame, trailer=4)


def lengths_as_types(frame: bytes) -> tuple[Any, ...]:
    """Accept whatever number stands in the type field."""
    return _frame(frame, smallest_type=0)


def only_ipv4(frame: bytes) -> tuple[Any, ...]:
    """Refuse every frame that does not carry IPv4."""
    fields = _frame(frame)
    if fields[3] != 0x0800:
        raise ValueError("not IPv4")
    return fields


READ_WORD: dict[str, Callable[..., Any]] = {
    "low-octet-first": low_octet_first,
    "offset-counts-words": offset_counts_words,
    "adds-the-octets": adds_the_octets,
    "weight-255": weight_255,
    "digits-side-by-side": digits_side_by_side,
    "shortens-at-the-end": shortens_at_the_end,
    "counts-back-from-the-end": counts_back_from_the_end,
    "last-word-refused": last_word_refused,
}

PARSE_FRAME: dict[str, Callable[..., Any]] = {
    "source-first": source_comes_first,
    "no-leading-zeros": no_leading_zeros,
    "decimal-octets": decimal_octets,
    "low-octet-first": type_low_octet_first,
    "preamble-in-front": preamble_in_front,
    "whole-tag-as-id": whole_tag_as_id,
    "one-octet-id": one_octet_id,
    "tag-type-as-ether-type": tag_type_as_ether_type,
    "tags-unknown": tags_unknown,
    "payload-always-at-14": payload_always_at_14,
    "check-sequence-cut-off": check_sequence_cut_off,
    "lengths-as-types": lengths_as_types,
    "only-ipv4": only_ipv4,
}
