"""Misconceptions about ready answers in two levels: exercise 4.5."""

__all__ = ["BUILD_TABLES"]

from collections.abc import Callable
from typing import Any

Routes = list[tuple[str, str]]
Levels = tuple[list[Any], list[list[Any]]]


def filled(
    routes: Routes,
    *,
    expand: Callable[[str, int], range],
    opens: Callable[[str, dict[int, list[Any]]], bool],
    inherits: bool = True,
    by_entry: bool = True,
) -> Levels:
    """Write routes into both levels, in the order given."""
    first: list[Any] = [None] * 8
    blocks: dict[int, list[Any]] = {}
    for prefix, hop in routes:
        bits = prefix.ljust(3, "0")[:3]
        entry = int(bits, 2)
        if opens(prefix, blocks):
            blocks[entry] = [first[entry] if inherits else None] * 8
        if len(prefix) > 3 or (len(prefix) == 3 and entry in blocks):
            for place in expand(prefix[3:], 3):
                blocks[entry][place] = hop
        else:
            for place in expand(prefix, 3):
                first[place] = hop
                if place in blocks:
                    blocks[place] = [hop] * 8
    order = sorted(blocks) if by_entry else list(blocks)
    for number, entry in enumerate(order):
        first[entry] = number
    return first, [blocks[entry] for entry in order]


def right_range(bits: str, depth: int) -> range:
    """Return the entries that begin with some bits."""
    start = int("0" + bits, 2) << depth - len(bits)
    return range(start, start + (1 << depth - len(bits)))


def right_opening(prefix: str, blocks: dict[int, list[Any]]) -> bool:
    """Open a block for the first prefix longer than three bits."""
    return len(prefix) > 3 and int(prefix[:3], 2) not in blocks


def right_order(routes: Routes) -> Routes:
    """Return the shortest prefixes first."""
    return sorted(routes, key=lambda route: len(route[0]))


def build_in_listed_order(routes: Routes) -> Levels:
    """Believe that the order in which routes come does not matter."""
    return filled(routes, expand=right_range, opens=right_opening)


def build_longest_first(routes: Routes) -> Levels:
    """Believe that what is written first stays."""
    return filled(right_order(routes)[::-1], expand=right_range, opens=right_opening)


def build_one_entry_each(routes: Routes) -> Levels:
    """Believe that a prefix has one entry."""
    return filled(
        right_order(routes),
        expand=lambda bits, depth: right_range(bits, depth)[:1],
        opens=right_opening,
    )


def build_empty_blocks(routes: Routes) -> Levels:
    """Believe that a new block is empty, whatever stood in the entry."""
    return filled(right_order(routes), expand=right_range, opens=right_opening, inherits=False)


def build_blocks_for_three_bits(routes: Routes) -> Levels:
    """Believe that three bits are too many for the first level."""
    return filled(
        right_order(routes),
        expand=right_range,
        opens=lambda prefix, blocks: len(prefix) >= 3 and int(prefix[:3], 2) not in blocks,
    )


def build_blocks_as_opened(routes: Routes) -> Levels:
    """Believe that blocks are numbered in the order in which routes open them."""
    longer = dict.fromkeys(int(prefix[:3], 2) for prefix, _ in routes if len(prefix) > 3)
    first, blocks = filled(right_order(routes), expand=right_range, opens=right_opening)
    old = sorted(longer)
    for number, entry in enumerate(longer):
        first[entry] = number
    return first, [blocks[old.index(entry)] for entry in longer]


def build_without_the_last(routes: Routes) -> Levels:
    """Believe that a range ends one entry earlier."""
    return filled(
        right_order(routes),
        expand=lambda bits, depth: (
            right_range(bits, depth)[:-1] if len(bits) < depth else right_range(bits, depth)
        ),
        opens=right_opening,
    )


def build_block_for_each(routes: Routes) -> Levels:
    """Believe that each longer prefix opens a new block, and the one before is lost."""
    return filled(right_order(routes), expand=right_range, opens=lambda prefix, _: len(prefix) > 3)


def right_best(routes: Routes, bits: str) -> str | None:
    """Return the next hop of the longest prefix with which the bits begin."""
    matching = [route for route in routes if bits.startswith(route[0])]
    return max(matching, key=lambda route: len(route[0]))[1] if matching else None


def right_tables(routes: Routes) -> Levels:
    """Return both levels as they should be."""
    return filled(right_order(routes), expand=right_range, opens=right_opening)


def build_one_too_far(routes: Routes) -> Levels:
    """Believe that a range ends one entry later."""
    return filled(
        right_order(routes),
        expand=lambda bits, depth: range(
            right_range(bits, depth).start, min(8, right_range(bits, depth).stop + 1)
        ),
        opens=right_opening,
    )


def build_without_default(routes: Routes) -> Levels:
    """Believe that a prefix without bits fills nothing."""
    return right_tables([route for route in routes if route[0]])


def build_without_equal_blocks(routes: Routes) -> Levels:
    """Believe that a block with a single answer is not needed."""
    first, blocks = right_tables(routes)
    kept = [block for block in blocks if len(set(block)) > 1]
    numbers = iter(range(8))
    entries = [
        entry if not isinstance(entry, int)
        else next(numbers) if blocks[entry] in kept
        else blocks[entry][0]
        for entry in first
    ]  # fmt: skip
    return entries, kept


def build_equal_blocks_once(routes: Routes) -> Levels:
    """Believe that entries with equal answers may share a block."""
    first, blocks = right_tables(routes)
    kept = [block for place, block in enumerate(blocks) if block not in blocks[:place]]
    return [kept.index(blocks[one]) if isinstance(one, int) else one for one in first], kept


def build_from_one(routes: Routes) -> Levels:
    """Believe that blocks are numbered from 1."""
    first, blocks = right_tables(routes)
    return [entry + 1 if isinstance(entry, int) else entry for entry in first], blocks


def build_numbered_by_entry(routes: Routes) -> Levels:
    """Believe that a block has the number of its entry."""
    first, blocks = right_tables(routes)
    return [place if isinstance(one, int) else one for place, one in enumerate(first)], blocks


def build_all_blocks(routes: Routes) -> Levels:
    """Believe that each entry has a block."""
    answers = [right_best(routes, f"{address:06b}") for address in range(64)]
    return list(range(8)), [answers[place : place + 8] for place in range(0, 64, 8)]


def build_without_numbers(routes: Routes) -> Levels:
    """Believe that an entry keeps its own answer, also where there is a block."""
    _, blocks = right_tables(routes)
    return [right_best(routes, f"{entry:03b}") for entry in range(8)], blocks


def build_with_gaps(routes: Routes) -> Levels:
    """Believe that an entry with a block stays empty."""
    first, blocks = right_tables(routes)
    return [None if isinstance(entry, int) else entry for entry in first], blocks


def build_one_answer_each(routes: Routes) -> Levels:
    """Believe that a block has one answer, that of its longest prefix."""
    first, blocks = right_tables(routes)
    longest = []
    for number in range(len(blocks)):
        bits = f"{first.index(number):03b}"
        inside = [route for route in right_order(routes) if route[0].startswith(bits)]
        longest.append([inside[-1][1]] * 8)
    return first, longest


def build_from_behind(routes: Routes) -> Levels:
    """Believe that the last bit of an entry comes first."""
    first, blocks = right_tables(routes)
    order = [int(f"{place:03b}"[::-1], 2) for place in range(8)]
    return [first[place] for place in order], [
        [block[place] for place in order] for block in blocks
    ]


def build_swapped(routes: Routes) -> tuple[Any, ...]:
    """Believe that the blocks come first."""
    return right_tables(routes)[::-1]


def build_with_dictionary(routes: Routes) -> tuple[list[Any], dict[int, list[Any]]]:
    """Believe that blocks may be kept by number in a dictionary."""
    first, blocks = right_tables(routes)
    return first, dict(enumerate(blocks))


BUILD_TABLES: dict[str, Callable[..., Any]] = {
    "later-routes-overwrite": build_in_listed_order,
    "shorter-ones-overwrite": build_longest_first,
    "one-entry-for-each-prefix": build_one_entry_each,
    "blocks-begin-empty": build_empty_blocks,
    "three-bits-open-a-block": build_blocks_for_three_bits,
    "blocks-numbered-by-route": build_blocks_as_opened,
    "last-entry-left-out": build_without_the_last,
    "one-entry-too-many": build_one_too_far,
    "a-block-for-each-prefix": build_block_for_each,
    "default-fills-nothing": build_without_default,
    "equal-answers-need-no-block": build_without_equal_blocks,
    "equal-blocks-stored-once": build_equal_blocks_once,
    "blocks-numbered-from-one": build_from_one,
    "blocks-numbered-by-entry": build_numbered_by_entry,
    "a-block-for-each-entry": build_all_blocks,
    "entry-keeps-its-answer": build_without_numbers,
    "entry-stays-empty": build_with_gaps,
    "one-answer-for-a-block": build_one_answer_each,
    "low-bit-first": build_from_behind,
    "blocks-come-first": build_swapped,
    "blocks-in-a-dictionary": build_with_dictionary,
}
