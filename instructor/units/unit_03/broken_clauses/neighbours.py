"""Answers to 3.3 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_03.misconceptions.neighbours import (
    Blocks,
    Found,
    block_as_prefix,
    block_last,
    block_of_own,
    block_widest,
    near_by_other_length,
    near_if_both,
    near_in_whole_octets,
    near_without_zero,
    right_holds,
    right_neighbourhood,
)
from instructor.units.unit_03.misconceptions.right_parts import right_split


def lengths_of(own: str, other: str) -> tuple[int, int]:
    """Return both lengths."""
    return right_split(own)[1], right_split(other)[1]


def near_cut_between_octets(own: str, other: str, blocks: Blocks) -> tuple[object, ...]:
    """Cut two equal prefixes between octets."""
    one, two = lengths_of(own, other)
    rule = near_in_whole_octets if one == two else right_neighbourhood
    return rule(own, other, blocks)


def near_unless_both_zero(own: str, other: str, blocks: Blocks) -> tuple[object, ...]:
    """Take two hosts without any bits in common for strangers."""
    rule = near_without_zero if lengths_of(own, other) == (0, 0) else right_neighbourhood
    return rule(own, other, blocks)


def near_if_both_agree_with_the_shorter(own: str, other: str, blocks: Blocks) -> Found:
    """Let both decide where one's own length is the shorter one."""
    one, two = lengths_of(own, other)
    return (near_if_both if one < two else right_neighbourhood)(own, other, blocks)


def near_exchanged_with_the_longer(own: str, other: str, blocks: Blocks) -> Found:
    """Exchange the answers where one's own length is the longer one."""
    one, two = lengths_of(own, other)
    return (near_by_other_length if one > two else right_neighbourhood)(own, other, blocks)


def around(other: str, blocks: Blocks) -> int:
    """Count the blocks around an address."""
    return sum(right_holds(prefix, other) for prefix, _ in blocks)


def block_last_of_three(own: str, other: str, blocks: Blocks) -> Found:
    """Take the last block of several, if they are three."""
    rule = block_last if around(other, blocks) == 3 else right_neighbourhood
    return rule(own, other, blocks)


def block_widest_of_two(own: str, other: str, blocks: Blocks) -> Found:
    """Take the widest block of several, if they are two."""
    rule = block_widest if around(other, blocks) == 2 else right_neighbourhood
    return rule(own, other, blocks)


def block_of_own_if_far(own: str, other: str, blocks: Blocks) -> Found:
    """Look for the block of one's own address, where the other one is far and in one at most."""
    far = around(other, blocks) < 2 and not right_holds(own, other)
    return (block_of_own if far else right_neighbourhood)(own, other, blocks)


def block_as_prefix_if_near(own: str, other: str, blocks: Blocks) -> Found:
    """Return the block itself, where the other one is near."""
    near = right_holds(own, other)
    return (block_as_prefix if near else right_neighbourhood)(own, other, blocks)


def block_needed(own: str, other: str, blocks: Blocks) -> Found:
    """Look into the first block, whether there is one or not."""
    blocks[0]
    return right_neighbourhood(own, other, blocks)
