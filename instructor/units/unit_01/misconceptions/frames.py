"""What learners believe about Ethernet frames, as code (exercise 1.2).

Many beliefs bend one function: the bends are keyword arguments of a helper.
"""

__all__ = ["PARSE_FRAME"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def _address(octets: bytes) -> str:
    return octets.hex(":")


def _frame(
    frame: bytes,
    *,
    address: Callable[[bytes], Any] = _address,
    order: Order = "big",
    start: int = 0,
    tag_type: int = 0x8100,
    vlan_of: Callable[[int], int | None] = lambda tag: tag & 0x0FFF,
    payload_after_tag: int = 18,
    payload_of: Callable[[bytes], bytes] = lambda rest: rest,
    shortest: int = 0,
    tag_complete: bool = True,
    smallest_type: int = 0x0600,
    smallest_behind_tag: int | None = None,
    refusal: type[Exception] = ValueError,
    short: type[Exception] | None = None,
    checked: bool = True,
) -> tuple[Any, ...]:
    frame = frame[start:]
    if checked and len(frame) < 14:
        raise (short or refusal)("too short")
    vlan, end, ether_type = None, 14, int.from_bytes(frame[12:14], order)
    if ether_type == tag_type:
        if checked and len(frame) < 18:
            raise (
                (short or refusal)("too short")
                if tag_complete
                else IndexError("index out of range")
            )
        vlan = vlan_of(int.from_bytes(frame[14:16], order))
        end, ether_type = 18, int.from_bytes(frame[16:18], order)
        smallest_type = smallest_type if smallest_behind_tag is None else smallest_behind_tag
    if ether_type < smallest_type or (shortest and len(frame) < end + shortest):
        raise refusal("a length")
    payload = payload_of(frame[end if end == 14 else payload_after_tag :])
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


def upper_case_digits(frame: bytes) -> tuple[Any, ...]:
    """Write digits above 9 as capitals."""
    return _frame(frame, address=lambda octets: octets.hex(":").upper())


def no_colons(frame: bytes) -> tuple[Any, ...]:
    """Write twelve digits in a row."""
    return _frame(frame, address=lambda octets: octets.hex())


def addresses_as_octets(frame: bytes) -> tuple[Any, ...]:
    """Leave the addresses as they are."""
    return _frame(frame, address=bytes)


def type_low_octet_first(frame: bytes) -> tuple[Any, ...]:
    """Read the 16-bit fields low octet first."""
    return _frame(frame, order="little", tag_type=0x0081)


def preamble_in_front(frame: bytes) -> tuple[Any, ...]:
    """Expect the eight octets of the preamble in front of the frame."""
    return _frame(frame, start=8)


def whole_tag_as_id(frame: bytes) -> tuple[Any, ...]:
    """Take all 16 bits behind 0x8100 as the VLAN id."""
    return _frame(frame, vlan_of=lambda tag: tag)


def one_octet_id(frame: bytes) -> tuple[Any, ...]:
    """Take the last octet of the tag as the VLAN id."""
    return _frame(frame, vlan_of=lambda tag: tag & 0x00FF)


def first_12_bits_as_id(frame: bytes) -> tuple[Any, ...]:
    """Take the id from the front of the tag."""
    return _frame(frame, vlan_of=lambda tag: tag >> 4)


def id_0_is_no_id(frame: bytes) -> tuple[Any, ...]:
    """Take a VLAN id of 0 for none, as Python's `or` does."""
    return _frame(frame, vlan_of=lambda tag: (tag & 0x0FFF) or None)


def zero_without_a_tag(frame: bytes) -> tuple[Any, ...]:
    """Give the VLAN id 0 where there is no tag."""
    destination, source, vlan, *rest = _frame(frame)
    return destination, source, vlan or 0, *rest


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


def payload_behind_the_id(frame: bytes) -> tuple[Any, ...]:
    """Take the ether type behind the tag for the first octets of the payload."""
    return _frame(frame, payload_after_tag=16)


def check_sequence_cut_off(frame: bytes) -> tuple[Any, ...]:
    """Take the last four octets for the frame check sequence."""
    return _frame(frame, payload_of=lambda rest: rest[:-4])


def padding_cut_off(frame: bytes) -> tuple[Any, ...]:
    """Take zeros at the end for padding, and remove them."""
    return _frame(frame, payload_of=lambda rest: rest.rstrip(b"\x00"))


def lengths_as_types(frame: bytes) -> tuple[Any, ...]:
    """Accept whatever number stands in the type field."""
    return _frame(frame, smallest_type=0)


def lengths_end_at_1500(frame: bytes) -> tuple[Any, ...]:
    """Refuse lengths only, and take the numbers between lengths and types for types."""
    return _frame(frame, smallest_type=1501)


def first_type_refused(frame: bytes) -> tuple[Any, ...]:
    """Refuse 0x0600 itself."""
    return _frame(frame, smallest_type=0x0601)


def type_behind_a_tag_trusted(frame: bytes) -> tuple[Any, ...]:
    """Look at octets 12 and 13 only."""
    return _frame(frame, smallest_behind_tag=0)


def type_without_a_tag_trusted(frame: bytes) -> tuple[Any, ...]:
    """Look at the type behind a tag only."""
    return _frame(frame, smallest_type=0, smallest_behind_tag=0x0600)


def tag_sought_in_the_payload(frame: bytes) -> tuple[Any, ...]:
    """Find a tag wherever 81 00 stands."""
    destination, source, vlan, ether_type, payload = _frame(frame)
    place = payload.find(b"\x81\x00")
    if vlan is None and 0 <= place <= len(payload) - 4:
        vlan = (payload[place + 2] * 256 + payload[place + 3]) & 0x0FFF
    return destination, source, vlan, ether_type, payload


def cut_frames_in_python_s_way(frame: bytes) -> tuple[Any, ...]:
    """Take a header off the frame; where it is not all there, Python raises an error of its own."""
    return _frame(frame, short=Exception)


def short_frames_in_python_s_way(frame: bytes) -> tuple[Any, ...]:
    """Look for the end of a tagged header only."""
    return _frame(frame, short=Exception if len(frame) < 14 else None)


def nothing_refused(frame: bytes) -> tuple[Any, ...]:
    """Trust slices, which are silently shorter, and take any number for a type."""
    return _frame(frame, checked=False, smallest_type=0)


def cut_tags_not_noticed(frame: bytes) -> tuple[Any, ...]:
    """Take 14 octets for enough, tag or no tag."""
    return _frame(frame, tag_complete=False)


def only_ipv4(frame: bytes) -> tuple[Any, ...]:
    """Refuse every frame that does not carry IPv4."""
    fields = _frame(frame)
    if fields[3] != 0x0800:
        raise ValueError("not IPv4")
    return fields


def empty_payload_refused(frame: bytes) -> tuple[Any, ...]:
    """Want something behind the header."""
    return _frame(frame, shortest=1)


def frame_of_14_refused(frame: bytes) -> tuple[Any, ...]:
    """Be off by one at the end of a header without a tag."""
    if len(frame) <= 14:
        raise ValueError("too short")
    return _frame(frame)


def frame_of_18_refused(frame: bytes) -> tuple[Any, ...]:
    """Be off by one at the end of a header with a tag."""
    if frame[12:14] == b"\x81\x00" and len(frame) <= 18:
        raise ValueError("too short")
    return _frame(frame)


def short_frames_refused(frame: bytes) -> tuple[Any, ...]:
    """Want the 46 octets of data that a real wire wants."""
    return _frame(frame, shortest=46)


def refuses_with_another_error(frame: bytes) -> tuple[Any, ...]:
    """Refuse as asked, with another kind of exception."""
    return _frame(frame, refusal=Exception)


def none_in_place_of_an_error(frame: bytes) -> tuple[Any, ...] | None:
    """Return None where an error is asked for."""
    try:
        return _frame(frame)
    except ValueError:
        return None


def list_in_place_of_a_tuple(frame: bytes) -> list[Any]:
    """Return a list."""
    return list(_frame(frame))


PARSE_FRAME: dict[str, Callable[..., Any]] = {
    "source-first": source_comes_first,
    "no-leading-zeros": no_leading_zeros,
    "decimal-octets": decimal_octets,
    "upper-case-digits": upper_case_digits,
    "no-colons": no_colons,
    "addresses-as-octets": addresses_as_octets,
    "low-octet-first": type_low_octet_first,
    "preamble-in-front": preamble_in_front,
    "whole-tag-as-id": whole_tag_as_id,
    "one-octet-id": one_octet_id,
    "first-12-bits-as-id": first_12_bits_as_id,
    "id-0-is-no-id": id_0_is_no_id,
    "zero-without-a-tag": zero_without_a_tag,
    "tag-type-as-ether-type": tag_type_as_ether_type,
    "tags-unknown": tags_unknown,
    "payload-always-at-14": payload_always_at_14,
    "payload-behind-the-id": payload_behind_the_id,
    "check-sequence-cut-off": check_sequence_cut_off,
    "padding-cut-off": padding_cut_off,
    "lengths-as-types": lengths_as_types,
    "lengths-end-at-1500": lengths_end_at_1500,
    "first-type-refused": first_type_refused,
    "type-behind-tag-trusted": type_behind_a_tag_trusted,
    "type-without-tag-trusted": type_without_a_tag_trusted,
    "tag-sought-in-payload": tag_sought_in_the_payload,
    "short-frame-another-error": short_frames_in_python_s_way,
    "cut-frame-another-error": cut_frames_in_python_s_way,
    "nothing-refused": nothing_refused,
    "cut-tags-not-noticed": cut_tags_not_noticed,
    "only-ipv4": only_ipv4,
    "empty-payload-refused": empty_payload_refused,
    "frame-of-14-refused": frame_of_14_refused,
    "frame-of-18-refused": frame_of_18_refused,
    "short-frames-refused": short_frames_refused,
    "another-error": refuses_with_another_error,
    "none-for-an-error": none_in_place_of_an_error,
    "list-for-a-tuple": list_in_place_of_a_tuple,
}
