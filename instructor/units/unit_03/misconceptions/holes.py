"""Misconceptions about ranges, and what is free in them: exercise 3.4."""

__all__ = ["FREE_PREFIXES"]

from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import Any

from instructor.units.unit_03.misconceptions.right_parts import (
    right_number,
    right_range,
    right_text,
)

ALL = 2**32
Hole = tuple[int, int]
Piece = tuple[int, int]


def right_size(start: int, end: int) -> int:
    """Return the size of the largest prefix that begins at an address and ends in time."""
    size = start & -start or ALL
    while size > end - start:
        size //= 2
    return size


def pieces(holes: Iterable[Hole], size_at: Callable[[int, int], int] = right_size) -> list[Piece]:
    """Cut holes into pieces, each as large as a rule says: first address and size."""
    found = []
    for start, end in holes:
        while start < end:
            found.append((start, size_at(start, end)))
            start += found[-1][1]
    return found


def right_holes(first: str, last: str, taken: list[str]) -> list[Hole]:
    """Return what is free as ranges: each by its first address, and the first one behind it."""
    holes, start = [], right_number(first)
    for begin, end in sorted(map(right_range, taken)):
        holes.append((start, begin))
        start = max(start, end)
    return [hole for hole in [*holes, (start, right_number(last) + 1)] if hole[0] < hole[1]]


def written(found: Iterable[Piece]) -> list[str]:
    """Write pieces as prefixes."""
    return [f"{right_text(start)}/{33 - size.bit_length()}" for start, size in found]


def right_free(first: str, last: str, taken: list[str]) -> list[str]:
    """Return what is right."""
    return written(pieces(right_holes(first, last, taken)))


# Ranges


def free_without_last(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a range stops in front of its last address."""
    end = right_number(last)
    holes = [(start, min(behind, end)) for start, behind in right_holes(first, last, taken)]
    return written(pieces(holes))


def free_without_first(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the first address is no part of a range."""
    begin = right_number(first) + 1
    holes = [(max(start, begin), end) for start, end in right_holes(first, last, taken)]
    return written(pieces(holes))


def free_unless_single(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a single address is no range."""
    return [] if first == last else right_free(first, last, taken)


def free_from_anywhere(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a prefix may begin at any address."""
    return written(pieces(right_holes(first, last, taken),
                          lambda start, end: 1 << (end - start).bit_length() - 1))  # fmt: skip


def free_beyond_the_last(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that only the beginning limits a prefix."""
    return written(pieces(right_holes(first, last, taken), lambda start, _: start & -start or ALL))


def free_in_one(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the smallest prefix around a range is the range."""
    found = []
    for start, end in right_holes(first, last, taken):
        size = 1 << (start ^ end - 1).bit_length()
        found.append((start // size * size, size))
    return written(found)


def free_in_whole_octets(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a prefix is cut only between octets."""

    def size_at(start: int, end: int) -> int:
        size = right_size(start, end)
        return 1 << (size.bit_length() - 1) // 8 * 8

    return written(pieces(right_holes(first, last, taken), size_at))  # fmt: skip


def free_from_zero_alone(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that address 0 is a multiple of nothing but 1."""

    def size_at(start: int, end: int) -> int:
        return right_size(start, end) if start else 1

    return written(pieces(right_holes(first, last, taken), size_at))  # fmt: skip


def free_half_as_large(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a prefix must be smaller than what is left, and not as large."""

    def size_at(start: int, end: int) -> int:
        return right_size(start, end - 1) if end - start > 1 else 1

    return written(pieces(right_holes(first, last, taken), size_at))  # fmt: skip


def free_for_hosts(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that first and last address of a range are not for use."""
    holes = [(start + 1, end - 1) for start, end in right_holes(first, last, taken)]
    return written(pieces(holes))


# What is taken


def free_all(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that what is taken does not matter."""
    return right_free(first, last, [])


def free_in_order_given(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that what is taken comes in order."""
    holes, start = [], right_number(first)
    for begin, end in map(right_range, taken):
        holes.append((start, begin))
        start = max(start, end)
    return written(pieces([*holes, (start, right_number(last) + 1)]))


def free_in_order_of_text(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that prefixes in order of their texts are in order."""
    return free_in_order_given(first, last, sorted(taken))


def free_after_the_latest(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that what begins later also ends later."""
    holes, start = [], right_number(first)
    for begin, end in sorted(map(right_range, taken)):
        holes.append((start, begin))
        start = end
    return written(pieces([*holes, (start, right_number(last) + 1)]))


def free_but_first_addresses(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a prefix takes the address in front of its slash."""
    return right_free(first, last, [prefix.split("/")[0] + "/32" for prefix in taken])


def free_up_to_the_last_taken(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that nothing is free behind what is taken."""
    holes = right_holes(first, last, taken)
    if taken and holes and holes[-1][1] == right_number(last) + 1:
        holes.pop()
    return written(pieces(holes))


def free_from_the_first_taken(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that nothing is free in front of what is taken."""
    holes = right_holes(first, last, taken)
    if taken and holes and holes[0][0] == right_number(first):
        holes.pop(0)
    return written(pieces(holes))


def free_between_taken(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that only what lies between two that are taken is free."""
    if not taken:
        return right_free(first, last, taken)
    ranges = sorted(map(right_range, taken))
    ends = [max(end for _, end in ranges[: number + 1]) for number in range(len(ranges))]
    holes = [(ends[number], begin) for number, (_, (begin, _)) in enumerate(pairwise(ranges))]
    return written(pieces(holes))


def free_behind_one_more(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the address right behind a taken prefix is taken, too."""
    start = right_number(first)
    holes = [(one if one == start else one + 1, end)
             for one, end in right_holes(first, last, taken)]  # fmt: skip
    return written(pieces(holes))


def free_with_last_taken(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the last address of a taken prefix is free."""
    start = right_number(first)
    holes = [(one if one == start else one - 1, end)
             for one, end in right_holes(first, last, taken)]  # fmt: skip
    return written(pieces(holes))


def free_turned_round(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that what is taken is asked for, as the fewest prefixes."""
    holes = right_holes(first, last, taken)
    ends = [right_number(first), *(end for hole in holes for end in hole), right_number(last) + 1]
    return written(pieces(zip(ends[::2], ends[1::2], strict=True)))


# What is returned


def free_largest_first(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the largest prefix comes first."""
    found = pieces(right_holes(first, last, taken))
    return written(sorted(found, key=lambda piece: -piece[1]))


def free_sorted_as_text(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that texts are in the order of addresses."""
    return sorted(right_free(first, last, taken))


def free_without_32(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a single address needs no length."""
    return [prefix.removesuffix("/32") for prefix in right_free(first, last, taken)]


def free_with_sizes(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the number of addresses stands behind the slash."""
    found = pieces(right_holes(first, last, taken))
    return [f"{right_text(start)}/{size}" for start, size in found]


def free_with_free_bits(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that the number of free bits stands behind the slash."""
    found = pieces(right_holes(first, last, taken))
    return [f"{right_text(start)}/{size.bit_length() - 1}" for start, size in found]


def free_with_masks(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that a mask is as good as a length."""
    found = pieces(right_holes(first, last, taken))
    return [f"{right_text(start)}/{right_text(ALL - size)}" for start, size in found]


def free_as_ranges(first: str, last: str, taken: list[str]) -> list[str]:
    """Believe that ranges are asked for."""
    holes = right_holes(first, last, taken)
    return [f"{right_text(start)}-{right_text(end - 1)}" for start, end in holes]


def free_as_pairs(first: str, last: str, taken: list[str]) -> list[tuple[str, int]]:
    """Believe that address and length are two things."""
    parts = (prefix.split("/") for prefix in right_free(first, last, taken))
    return [(address, int(length)) for address, length in parts]


def free_as_tuple(first: str, last: str, taken: list[str]) -> tuple[str, ...]:
    """Believe that a tuple is as good as a list."""
    return tuple(right_free(first, last, taken))


def free_or_none(first: str, last: str, taken: list[str]) -> list[str] | None:
    """Believe that nothing is None."""
    return right_free(first, last, taken) or None


FREE_PREFIXES: dict[str, Callable[..., Any]] = {
    "last-not-included": free_without_last,
    "first-not-included": free_without_first,
    "single-is-no-range": free_unless_single,
    "begins-anywhere": free_from_anywhere,
    "reaches-beyond": free_beyond_the_last,
    "one-prefix-around": free_in_one,
    "whole-octets-only": free_in_whole_octets,
    "zero-begins-nothing": free_from_zero_alone,
    "smaller-than-what-is-left": free_half_as_large,
    "ends-not-for-use": free_for_hosts,
    "taken-ignored": free_all,
    "taken-in-order": free_in_order_given,
    "taken-in-order-of-text": free_in_order_of_text,
    "later-ends-later": free_after_the_latest,
    "taken-is-one-address": free_but_first_addresses,
    "nothing-behind": free_up_to_the_last_taken,
    "nothing-in-front": free_from_the_first_taken,
    "between-taken-only": free_between_taken,
    "one-more-taken": free_behind_one_more,
    "one-less-taken": free_with_last_taken,
    "turned-round": free_turned_round,
    "largest-first": free_largest_first,
    "sorted-as-text": free_sorted_as_text,
    "no-length-for-one": free_without_32,
    "size-for-a-length": free_with_sizes,
    "free-bits-for-a-length": free_with_free_bits,
    "mask-for-a-length": free_with_masks,
    "ranges-for-prefixes": free_as_ranges,
    "pairs-for-texts": free_as_pairs,
    "tuple-for-a-list": free_as_tuple,
    "none-for-nothing": free_or_none,
}
