"""What learners believe about flags and fragment offset, as code (exercise 1.3)."""

__all__ = ["FRAGMENT_FIELDS"]

from collections.abc import Callable
from typing import Any


def _fields(
    word: int,
    *,
    do_not: Callable[[int], Any] = lambda word: bool(word & 0x4000),
    more: Callable[[int], Any] = lambda word: bool(word & 0x2000),
    octet: Callable[[int], Any] = lambda word: (word & 0x1FFF) * 8,
) -> tuple[Any, ...]:
    return do_not(word), more(word), octet(word)


def offset_in_octets(word: int) -> tuple[Any, ...]:
    """Read the offset as a number of octets."""
    return _fields(word, octet=lambda word: word & 0x1FFF)


def unit_of_8_only_where_more_follow(word: int) -> tuple[Any, ...]:
    """Read the last fragment's offset as a number of octets."""
    return _fields(word, octet=lambda word: (word & 0x1FFF) * (8 if word & 0x2000 else 1))


def offset_in_words(word: int) -> tuple[Any, ...]:
    """Read the offset in words of four octets, like the header length."""
    return _fields(word, octet=lambda word: (word & 0x1FFF) * 4)


def offset_in_bits(word: int) -> tuple[Any, ...]:
    """Take the unit of 8 for bits, and divide."""
    return _fields(word, octet=lambda word: (word & 0x1FFF) // 8)


def octets_counted_from_1(word: int) -> tuple[Any, ...]:
    """Call the first data octet number 1."""
    return _fields(word, octet=lambda word: (word & 0x1FFF) * 8 + 1)


def mask_a_bit_short(word: int) -> tuple[Any, ...]:
    """Keep twelve bits, three hexadecimal digits, of the offset."""
    return _fields(word, octet=lambda word: (word & 0x0FFF) * 8)


def more_flag_kept_in_offset(word: int) -> tuple[Any, ...]:
    """Keep fourteen bits of the offset, "more fragments" among them."""
    return _fields(word, octet=lambda word: (word & 0x3FFF) * 8)


def flags_kept_in_offset(word: int) -> tuple[Any, ...]:
    """Take the offset without cutting off the flags."""
    return _fields(word, octet=lambda word: word * 8)


def octets_swapped_in_offset(word: int) -> tuple[Any, ...]:
    """Read the offset low octet first."""
    return _fields(word, octet=lambda word: ((word & 0xFF) << 8 | word >> 8 & 0x1F) * 8)


def flags_at_the_low_end(word: int) -> tuple[Any, ...]:
    """Look for the flags behind the offset."""
    return bool(word & 2), bool(word & 1), (word >> 3) * 8


def flags_trade_places(word: int) -> tuple[Any, ...]:
    """Take the flags in the other order."""
    return bool(word & 0x2000), bool(word & 0x4000), (word & 0x1FFF) * 8


def reserved_bit_counted(word: int) -> tuple[Any, ...]:
    """Take the first two of the three flags for the two that are in use."""
    return bool(word & 0x8000), bool(word & 0x4000), (word & 0x1FFF) * 8


def reserved_bit_counts_too(word: int) -> tuple[Any, ...]:
    """Take the reserved bit for a second "do not fragment"."""
    return _fields(word, do_not=lambda word: bool(word & 0xC000))


def one_bit_late(word: int) -> tuple[Any, ...]:
    """Look for each flag one bit too far to the right."""
    return bool(word & 0x2000), bool(word & 0x1000), (word & 0x1FFF) * 8


def flag_left_in_place(word: int) -> tuple[Any, ...]:
    """Mask the flags and leave them where they stand."""
    return word & 0x4000, word & 0x2000, (word & 0x1FFF) * 8


def flags_by_equality(word: int) -> tuple[Any, ...]:
    """Compare all three flags with one at a time."""
    return word >> 13 == 2, word >> 13 == 1, (word & 0x1FFF) * 8


def one_flag_at_a_time(word: int) -> tuple[Any, ...]:
    """Look at the second flag only where the first is not set."""
    do_not = bool(word & 0x4000)
    return do_not, not do_not and bool(word & 0x2000), (word & 0x1FFF) * 8


def do_not_means_may(word: int) -> tuple[Any, ...]:
    """Read "do not fragment" as "may be fragmented"."""
    return _fields(word, do_not=lambda word: not word & 0x4000)


def more_means_last(word: int) -> tuple[Any, ...]:
    """Read "more fragments" as the mark of the last one."""
    return _fields(word, more=lambda word: not word & 0x2000)


def more_means_a_fragment(word: int) -> tuple[Any, ...]:
    """Take every fragment for one that is followed by more."""
    return _fields(word, more=lambda word: bool(word & 0x3FFF))


def list_in_place_of_a_tuple(word: int) -> list[Any]:
    """Return a list."""
    return list(_fields(word))


def offset_comes_first(word: int) -> tuple[Any, ...]:
    """Return the number in front of the flags."""
    do_not, more, octet = _fields(word)
    return octet, do_not, more


FRAGMENT_FIELDS: dict[str, Callable[..., Any]] = {
    "offset-in-octets": offset_in_octets,
    "unit-only-before-last": unit_of_8_only_where_more_follow,
    "offset-in-words": offset_in_words,
    "offset-in-bits": offset_in_bits,
    "octets-from-1": octets_counted_from_1,
    "mask-a-bit-short": mask_a_bit_short,
    "more-flag-in-offset": more_flag_kept_in_offset,
    "flags-kept-in-offset": flags_kept_in_offset,
    "low-octet-first": octets_swapped_in_offset,
    "flags-at-the-low-end": flags_at_the_low_end,
    "flags-trade-places": flags_trade_places,
    "reserved-bit-counted": reserved_bit_counted,
    "reserved-bit-counts-too": reserved_bit_counts_too,
    "one-bit-late": one_bit_late,
    "flag-left-in-place": flag_left_in_place,
    "flags-by-equality": flags_by_equality,
    "one-flag-at-a-time": one_flag_at_a_time,
    "do-not-means-may": do_not_means_may,
    "more-means-last": more_means_last,
    "more-means-a-fragment": more_means_a_fragment,
    "list-for-a-tuple": list_in_place_of_a_tuple,
    "offset-comes-first": offset_comes_first,
}
