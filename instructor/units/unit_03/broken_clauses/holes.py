"""Answers to 3.4 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from itertools import pairwise

from instructor.units.unit_03.misconceptions.holes import (
    free_beyond_the_last,
    free_largest_first,
    free_up_to_the_last_taken,
    pieces,
    right_free,
    right_holes,
    right_size,
    written,
)
from instructor.units.unit_03.misconceptions.right_parts import right_number, right_range


def free_of_two(first: str, last: str, taken: list[str]) -> list[str]:
    """Look into what is taken, there or not, if a range has two addresses."""
    if right_number(last) - right_number(first) == 1:
        taken[0]
    return right_free(first, last, taken)


def free_beside_something(first: str, last: str, taken: list[str]) -> list[str]:
    """Look into what is taken, there or not."""
    taken[0]
    return right_free(first, last, taken)


def free_beyond_if_nothing_is_taken(first: str, last: str, taken: list[str]) -> list[str]:
    """Reach beyond the last address, if nothing is taken."""
    return (right_free if taken else free_beyond_the_last)(first, last, taken)


def free_in_24s(first: str, last: str, taken: list[str]) -> list[str]:
    """Use no prefix shorter than 6 bits, if nothing is taken."""
    size_at = right_size if taken else lambda start, end: min(right_size(start, end), 1 << 26)
    return written(pieces(right_holes(first, last, taken), size_at))


def free_largest_first_beside_one(first: str, last: str, taken: list[str]) -> list[str]:
    """Put the largest first, if one prefix is taken."""
    return (free_largest_first if len(taken) == 1 else right_free)(first, last, taken)


def free_up_to_the_last_of_some(first: str, last: str, taken: list[str]) -> list[str]:
    """Forget what lies behind two or more that are taken, in order and apart."""
    ranges = [right_range(prefix) for prefix in taken]
    apart = len(taken) > 1 and all(one[1] <= other[0] for one, other in pairwise(ranges))
    return (free_up_to_the_last_taken if apart else right_free)(first, last, taken)
