"""Misconceptions about neighbours and special blocks: exercise 3.3."""

__all__ = ["NEIGHBOURHOOD"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_03.misconceptions.right_parts import (
    right_range,
    right_split,
)

Blocks = list[tuple[str, str]]
Found = tuple[bool, bool, str | None]


def right_holds(prefix: str, other: str) -> bool:
    """Tell whether a prefix, host bits or not, holds the address of another host."""
    first, behind = right_range(prefix)
    return first <= right_split(other)[0] < behind


def right_block(other: str, blocks: Blocks) -> str | None:
    """Return the name of the longest block around an address."""
    around = [(right_split(prefix)[1], name) for prefix, name in blocks
              if right_holds(prefix, other)]  # fmt: skip
    return max(around)[1] if around else None


def right_neighbourhood(own: str, other: str, blocks: Blocks) -> Found:
    """Return all three as asked."""
    return right_holds(own, other), right_holds(other, own), right_block(other, blocks)


def decided_by(
    holds: Callable[[str, str], bool], own: str, other: str, blocks: Blocks
) -> tuple[Any, ...]:
    """Return what a rule gives that both hosts follow, and the right block."""
    return holds(own, other), holds(other, own), right_block(other, blocks)


# Whose length decides


def near_if_both(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that two hosts are neighbours for each other or not at all: both must agree."""
    both = right_holds(own, other) and right_holds(other, own)
    return both, both, right_block(other, blocks)


def near_if_either(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that one host that takes the other for a neighbour is enough for both."""
    either = right_holds(own, other) or right_holds(other, own)
    return either, either, right_block(other, blocks)


def near_by_own_length(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that what the first one thinks holds for the other one too."""
    near = right_holds(own, other)
    return near, near, right_block(other, blocks)


def near_by_other_length(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the length of the other one decides."""
    return right_holds(other, own), right_holds(own, other), right_block(other, blocks)


def near_by_destination(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the length behind the other one's address decides for both."""
    near = right_holds(other, own)
    return near, near, right_block(other, blocks)


def near_if_same_network(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that both must have the same prefix, of the same length."""
    near = right_range(own) == right_range(other)
    return near, near, right_block(other, blocks)


def near_if_same_first(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that two hosts are neighbours if their first addresses are the same."""
    near = right_range(own)[0] == right_range(other)[0]
    return near, near, right_block(other, blocks)


# How addresses are compared


def near_as_text(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that whole octets, as they are written, decide."""

    def holds(prefix: str, host: str) -> bool:
        octets = prefix.split(".")[: int(prefix.split("/")[1]) // 8]
        return host.startswith(".".join(octets))

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_in_whole_octets(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that a prefix is cut only between octets."""

    def holds(prefix: str, host: str) -> bool:
        free = 32 - right_split(prefix)[1] // 8 * 8
        return right_split(prefix)[0] >> free == right_split(host)[0] >> free

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_rounded_up(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that all of an octet counts as soon as one of its bits does."""

    def holds(prefix: str, host: str) -> bool:
        free = (32 - right_split(prefix)[1]) // 8 * 8
        return right_split(prefix)[0] >> free == right_split(host)[0] >> free

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_in_the_same_24(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that three equal octets make neighbours."""

    def holds(prefix: str, host: str) -> bool:
        return right_split(prefix)[0] >> 8 == right_split(host)[0] >> 8

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_by_class(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that the first octet decides how long the prefix is."""

    def holds(prefix: str, host: str) -> bool:
        first = right_split(prefix)[0] >> 24
        free = 24 if first < 128 else 16 if first < 192 else 8
        return right_split(prefix)[0] >> free == right_split(host)[0] >> free

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_from_the_right(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that the length counts bits from the right end."""

    def holds(prefix: str, host: str) -> bool:
        mask = (1 << right_split(prefix)[1]) - 1
        return right_split(prefix)[0] & mask == right_split(host)[0] & mask

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_by_free_length(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that the length counts the bits that are free."""

    def holds(prefix: str, host: str) -> bool:
        number, length = right_split(prefix)
        return number >> length == right_split(host)[0] >> length

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_with_host_bits(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that there are no host bits in a host's own address."""

    def holds(prefix: str, host: str) -> bool:
        first, behind = right_range(prefix)
        return right_split(prefix)[0] == right_split(host)[0] // (behind - first) * (behind - first)

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_from_here(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that a link begins at a host's own address."""

    def holds(prefix: str, host: str) -> bool:
        number, length = right_split(prefix)
        return 0 <= right_split(host)[0] - number < 1 << 32 - length

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_within_the_size(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that whoever is no farther away than a link is large is a neighbour."""

    def holds(prefix: str, host: str) -> bool:
        number, length = right_split(prefix)
        return abs(right_split(host)[0] - number) < 1 << 32 - length

    return decided_by(holds, own, other, blocks)  # fmt: skip


def near_without_zero(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that a length of 0 makes no neighbours."""

    def holds(prefix: str, host: str) -> bool:
        return right_split(prefix)[1] > 0 and right_holds(prefix, host)

    return decided_by(holds, own, other, blocks)  # fmt: skip


def not_near(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that True is asked for whoever needs a router."""

    def holds(prefix: str, host: str) -> bool:
        return not right_holds(prefix, host)

    return decided_by(holds, own, other, blocks)  # fmt: skip


# Special blocks


def block_first(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the first block in the list decides."""
    around = [name for prefix, name in blocks if right_holds(prefix, other)]
    return *right_neighbourhood(own, other, [])[:2], around[0] if around else None


def block_last(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the last block in the list decides."""
    return block_first(own, other, blocks[::-1])


def block_widest(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the widest block decides."""
    return block_first(own, other, sorted(blocks, key=lambda block: right_split(block[0])[1]))


def block_by_text_of_length(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that lengths may be compared as texts."""
    by_text = sorted(blocks, key=lambda block: block[0].split("/")[1], reverse=True)
    return block_first(own, other, by_text)


def block_of_own(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the block of one's own address is asked for."""
    return *right_neighbourhood(own, other, [])[:2], right_block(own, blocks)


def block_of_both(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that both must lie in a block."""
    around = [block for block in blocks if right_holds(block[0], own)]
    return right_neighbourhood(own, other, around)


def block_in_whole_octets(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that blocks are cut only between octets."""
    cut = [(f"{prefix.split('/')[0]}/{right_split(prefix)[1] // 8 * 8}", name)
           for prefix, name in blocks]  # fmt: skip
    around = [(right_split(prefix)[1], name)
              for (one, name), (prefix, _) in zip(cut, blocks, strict=True)
              if right_holds(one, other)]  # fmt: skip
    return *right_neighbourhood(own, other, [])[:2], max(around)[1] if around else None


def block_of_whole_link(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that all of the other one's link must lie in a block."""
    around = [
        block for block in blocks if right_split(block[0])[1] <= right_split(other)[1]
    ]  # fmt: skip
    return right_neighbourhood(own, other, around)


def block_as_prefix(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that the block itself is asked for, and not its name."""
    return right_neighbourhood(own, other, [(prefix, prefix) for prefix, _ in blocks])


def block_or_empty(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that no name is an empty text."""
    one, two, name = right_neighbourhood(own, other, blocks)
    return one, two, name or ""


def block_all_names(own: str, other: str, blocks: Blocks) -> tuple[bool, bool, Any]:
    """Believe that all names are asked for."""
    names = [name for prefix, name in blocks if right_holds(prefix, other)]
    return *right_neighbourhood(own, other, [])[:2], names or None


def block_makes_far(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that whoever lies in a special block is nobody's neighbour."""
    one, two, name = right_neighbourhood(own, other, blocks)
    return one and name is None, two and name is None, name


def block_only_if_near(own: str, other: str, blocks: Blocks) -> Found:
    """Believe that blocks matter only among those that are no neighbours."""
    one, two, name = right_neighbourhood(own, other, blocks)
    return one, two, None if one else name


def as_list(own: str, other: str, blocks: Blocks) -> list[Any]:
    """Believe that a list is as good as a tuple."""
    return list(right_neighbourhood(own, other, blocks))


def two_alone(own: str, other: str, blocks: Blocks) -> tuple[Any, ...]:
    """Believe that there is a third value only if there is a block."""
    one, two, name = right_neighbourhood(own, other, blocks)
    return (one, two) if name is None else (one, two, name)


NEIGHBOURHOOD: dict[str, Callable[..., Any]] = {
    "both-must-agree": near_if_both,
    "one-is-enough": near_if_either,
    "own-decides-for-both": near_by_own_length,
    "lengths-exchanged": near_by_other_length,
    "other-decides-for-both": near_by_destination,
    "same-prefix-needed": near_if_same_network,
    "same-first-address": near_if_same_first,
    "octets-as-text": near_as_text,
    "whole-octets-only": near_in_whole_octets,
    "rounded-up-to-octets": near_rounded_up,
    "three-octets-decide": near_in_the_same_24,
    "first-octet-decides": near_by_class,
    "length-from-the-right": near_from_the_right,
    "length-counts-free-bits": near_by_free_length,
    "host-bits-in-the-key": near_with_host_bits,
    "link-begins-here": near_from_here,
    "near-by-distance": near_within_the_size,
    "zero-bits-hold-nothing": near_without_zero,
    "turned-round": not_near,
    "first-block-wins": block_first,
    "last-block-wins": block_last,
    "widest-block-wins": block_widest,
    "lengths-as-text": block_by_text_of_length,
    "block-of-own-address": block_of_own,
    "block-around-both": block_of_both,
    "blocks-in-whole-octets": block_in_whole_octets,
    "block-around-the-link": block_of_whole_link,
    "prefix-for-a-name": block_as_prefix,
    "empty-for-none": block_or_empty,
    "all-names": block_all_names,
    "special-is-far": block_makes_far,
    "near-has-no-block": block_only_if_near,
    "list-for-a-tuple": as_list,
    "two-values-alone": two_alone,
}
