"""What learners believe about a word of two octets, as code (exercise 1.1)."""

__all__ = ["READ_WORD"]

from collections.abc import Callable
from typing import Any

Rule = Callable[[bytes, int], Any]


def _inside(data: bytes, offset: int) -> None:
    if offset < 0 or offset + 2 > len(data):
        raise ValueError("out of range")


def _right(data: bytes, offset: int) -> int:
    _inside(data, offset)
    return data[offset] * 256 + data[offset + 1]


def low_octet_first(data: bytes, offset: int) -> int:
    """Read the word as most desktop processors store it."""
    _inside(data, offset)
    return data[offset] + data[offset + 1] * 256


def offset_counts_words(data: bytes, offset: int) -> int:
    """Count the offset in words."""
    if offset < 0 or 2 * offset + 2 > len(data):
        raise ValueError("out of range")
    return data[2 * offset] * 256 + data[2 * offset + 1]


def counts_octets_from_1(data: bytes, offset: int) -> int:
    """Call the first octet number 1."""
    return _right(data, offset - 1)


def first_octet_alone(data: bytes, offset: int) -> int:
    """Take one octet for the word."""
    _inside(data, offset)
    return data[offset]


def adds_the_octets(data: bytes, offset: int) -> int:
    """Add both octets, each with weight one."""
    _inside(data, offset)
    return data[offset] + data[offset + 1]


def weight_255(data: bytes, offset: int) -> int:
    """Weigh the high octet with the largest octet, not with the number of octets."""
    _inside(data, offset)
    return data[offset] * 255 + data[offset + 1]


def weight_16(data: bytes, offset: int) -> int:
    """Make room for one hexadecimal digit, not for two."""
    _inside(data, offset)
    return data[offset] * 16 + data[offset + 1]


def digits_side_by_side(data: bytes, offset: int) -> int:
    """Write the octets next to each other without their leading zeros."""
    _inside(data, offset)
    return int(f"{data[offset]:x}{data[offset + 1]:x}", 16)


def decimal_side_by_side(data: bytes, offset: int) -> int:
    """Write the octets next to each other in decimal."""
    _inside(data, offset)
    return int(f"{data[offset]}{data[offset + 1]}")


def word_with_a_sign(data: bytes, offset: int) -> int:
    """Take the first bit for a sign."""
    _inside(data, offset)
    return int.from_bytes(data[offset : offset + 2], "big", signed=True)


def word_as_text(data: bytes, offset: int) -> str:
    """Return digits, not the number that they write."""
    return hex(_right(data, offset))


def word_as_octets(data: bytes, offset: int) -> bytes:
    """Return the two octets, not the number that they make."""
    _inside(data, offset)
    return data[offset : offset + 2]


def odd_offset_refused(data: bytes, offset: int) -> int:
    """Let words begin at even octets only."""
    if offset % 2:
        raise ValueError("odd offset")
    return _right(data, offset)


def odd_offset_rounded_down(data: bytes, offset: int) -> int:
    """Read the pair that an odd octet belongs to."""
    _inside(data, offset)
    return _right(data, offset - offset % 2)


def offset_0_refused(data: bytes, offset: int) -> int:
    """Take 0 for no offset at all."""
    if offset <= 0:
        raise ValueError("no offset")
    return _right(data, offset)


def shortens_at_the_end(data: bytes, offset: int) -> int:
    """Trust the slice, which is silently shorter at both ends."""
    return int.from_bytes(data[offset : offset + 2], "big")


def end_not_looked_at(data: bytes, offset: int) -> int:
    """Look at the sign of the offset only, and trust the slice."""
    if offset < 0:
        raise ValueError("negative")
    return int.from_bytes(data[offset : offset + 2], "big")


def counts_back_from_the_end(data: bytes, offset: int) -> int:
    """Check one end only: a negative place is a place for Python."""
    if offset + 2 > len(data):
        raise ValueError("out of range")
    return data[offset] * 256 + data[offset + 1]


def nothing_looked_at(data: bytes, offset: int) -> int:
    """Leave it to Python, which raises another error at one end and none at the other."""
    return data[offset] * 256 + data[offset + 1]


def one_octet_is_enough(data: bytes, offset: int) -> int:
    """Check the first octet of the two; the second is then missed in Python's own way."""
    if offset < 0 or offset >= len(data):
        raise ValueError("out of range")
    return data[offset] * 256 + data[offset + 1]


def half_a_word_returned(data: bytes, offset: int) -> int:
    """Take the last octet for a word."""
    if offset < 0 or offset >= len(data):
        raise ValueError("out of range")
    return int.from_bytes(data[offset : offset + 2], "big")


def last_word_refused(data: bytes, offset: int) -> int:
    """Be off by one at the end."""
    if offset < 0 or offset + 2 >= len(data):
        raise ValueError("out of range")
    return data[offset] * 256 + data[offset + 1]


def refuses_with_another_error(data: bytes, offset: int) -> int:
    """Refuse as asked, with another kind of exception."""
    if offset < 0 or offset + 2 > len(data):
        raise Exception("out of range")
    return data[offset] * 256 + data[offset + 1]


def another_error_beyond_the_end(data: bytes, offset: int) -> int:
    """Read the first octet before asking whether it is there."""
    if offset >= len(data):
        raise IndexError("index out of range")
    return _right(data, offset)


def none_in_place_of_an_error(data: bytes, offset: int) -> int | None:
    """Return None where an error is asked for."""
    if offset < 0 or offset + 2 > len(data):
        return None
    return data[offset] * 256 + data[offset + 1]


def zero_in_place_of_an_error(data: bytes, offset: int) -> int:
    """Return 0 where an error is asked for."""
    if offset < 0 or offset + 2 > len(data):
        return 0
    return data[offset] * 256 + data[offset + 1]


READ_WORD: dict[str, Rule] = {
    "low-octet-first": low_octet_first,
    "offset-counts-words": offset_counts_words,
    "counts-from-1": counts_octets_from_1,
    "first-octet-alone": first_octet_alone,
    "adds-the-octets": adds_the_octets,
    "weight-255": weight_255,
    "weight-16": weight_16,
    "digits-side-by-side": digits_side_by_side,
    "decimal-side-by-side": decimal_side_by_side,
    "word-with-a-sign": word_with_a_sign,
    "word-as-text": word_as_text,
    "word-as-octets": word_as_octets,
    "odd-offset-refused": odd_offset_refused,
    "odd-offset-rounded-down": odd_offset_rounded_down,
    "offset-0-refused": offset_0_refused,
    "shortens-at-the-end": shortens_at_the_end,
    "end-not-looked-at": end_not_looked_at,
    "counts-back-from-the-end": counts_back_from_the_end,
    "nothing-looked-at": nothing_looked_at,
    "one-octet-is-enough": one_octet_is_enough,
    "half-a-word-returned": half_a_word_returned,
    "last-word-refused": last_word_refused,
    "another-error": refuses_with_another_error,
    "another-error-beyond": another_error_beyond_the_end,
    "none-for-an-error": none_in_place_of_an_error,
    "zero-for-an-error": zero_in_place_of_an_error,
}
