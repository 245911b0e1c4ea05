"""Misconceptions about where in a frame a field stands: exercise 6.2.

Each replaces what a field holds, wherever in the frame the same octets stand.
"""

__all__ = ["BY_VALUE"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.frames import (
    Station,
    right_aged,
    right_datagram,
    right_front,
    right_old,
    right_resummed,
)


def rewrite_all_words_like_it(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the word with the time to live is found by what stands in it."""
    old, aged = right_old(frame), right_aged(frame)
    changed = old.replace(old[8:10], aged[8:10])
    return right_front(leaves_by, next_hop) + right_resummed(changed)


def rewrite_first_word_like_it(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Replace the first word that is equal to the one with the time to live."""
    old, aged = right_old(frame), right_aged(frame)
    changed = old.replace(old[8:10], aged[8:10], 1)
    return right_front(leaves_by, next_hop) + right_resummed(changed)


def rewrite_all_words_like_the_field(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum is found by what stands in it."""
    aged, new = right_aged(frame), right_datagram(frame)
    return right_front(leaves_by, next_hop) + aged.replace(aged[10:12], new[10:12])


def rewrite_addresses_by_value(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that each hardware address is found by its value, one after the other."""
    front = frame[:12].replace(frame[:6], next_hop[0]).replace(frame[6:12], leaves_by[0])
    return front + frame[12:14] + right_datagram(frame)


BY_VALUE: dict[str, Callable[..., Any]] = {
    "word-found-by-value": rewrite_all_words_like_it,
    "field-found-by-value": rewrite_all_words_like_the_field,
    "addresses-found-by-value": rewrite_addresses_by_value,
}
