"""Answers to 4.5 that break one clause of the contract and keep all others.

Most break it in one kind of table alone: of prefixes of up to three bits, of longer ones, or mixed.
"""

__all__: list[str] = []

from typing import Any

Routes = list[tuple[str, str]]
Levels = tuple[list[Any], list[list[Any]]]


def kind_of(routes: Routes) -> str:
    """Return which kind of table it is."""
    longer = [len(prefix) > 3 for prefix, _ in routes]
    return "mixed" if any(longer) and not all(longer) else "long" if any(longer) else "short"


def right_best(routes: Routes, bits: str) -> str | None:
    """Return the next hop of the longest prefix with which the bits begin."""
    matching = [route for route in routes if bits.startswith(route[0])]
    return max(matching, key=lambda route: len(route[0]))[1] if matching else None


def right_tables(routes: Routes) -> Levels:
    """Return both levels as they should be."""
    first: list[Any] = []
    blocks: list[list[Any]] = []
    for number in range(8):
        entry = f"{number:03b}"
        if any(len(prefix) > 3 and prefix.startswith(entry) for prefix, _ in routes):
            first.append(len(blocks))
            blocks.append([right_best(routes, f"{entry}{last:03b}") for last in range(8)])
        else:
            first.append(right_best(routes, entry))
    return first, blocks


def written(routes: Routes, bits: int, left_out: int = 0) -> list[Any]:
    """Write routes one over the other; leave out some entries at the end of each range."""
    answers: list[Any] = [None] * (1 << bits)
    for prefix, hop in routes:
        size = 1 << bits - len(prefix)
        start = int("0" + prefix, 2) * size
        for place in range(start, start + max(1, size - left_out)):
            answers[place] = hop
    return answers


def in_order(routes: Routes) -> Routes:
    """Return the shortest prefixes first."""
    return sorted(routes, key=lambda route: len(route[0]))


def build_as_list(routes: Routes) -> list[Any]:
    """Return a list."""
    return list(right_tables(routes))


def build_short_without_last(routes: Routes) -> Levels:
    """Leave out the last entry of a range in the first level."""
    if kind_of(routes) != "short":
        return right_tables(routes)
    return written(in_order(routes), 3, left_out=1), []


def build_short_as_listed(routes: Routes) -> Levels:
    """Write routes of the first level in the order in which they come."""
    return (written(routes, 3), []) if kind_of(routes) == "short" else right_tables(routes)


def build_short_with_words(routes: Routes) -> Levels:
    """Write an empty text for no route, in the first level."""
    first, blocks = right_tables(routes)
    if kind_of(routes) == "short":
        first = ["" if entry is None else entry for entry in first]
    return first, blocks


def build_short_without_default(routes: Routes) -> Levels:
    """Leave out the default route."""
    if kind_of(routes) != "short":
        return right_tables(routes)
    return right_tables([route for route in routes if route[0]])


def build_blocks_for_threes(routes: Routes) -> Levels:
    """Open blocks for prefixes of three bits, where all have three."""
    if any(len(prefix) != 3 for prefix, _ in routes):
        return right_tables(routes)
    first, blocks = right_tables(routes)
    numbers = iter(range(8))
    blocks = [[entry] * 8 for entry in first if entry is not None]
    return [None if entry is None else next(numbers) for entry in first], blocks


def build_long_without_equals(routes: Routes) -> Levels:
    """Write no block in which all answers are the same."""
    first, blocks = right_tables(routes)
    if kind_of(routes) != "long":
        return first, blocks
    kept: list[list[Any]] = []
    for place, entry in enumerate(first):
        if isinstance(entry, int):
            block = blocks[entry]
            first[place] = len(kept) if len(set(block)) > 1 else block[0]
            kept += [block] if len(set(block)) > 1 else []
    return first, kept


def build_long_as_opened(routes: Routes) -> Levels:
    """Number blocks in the order in which routes open them."""
    first, blocks = right_tables(routes)
    if kind_of(routes) != "long":
        return first, blocks
    opened = list(dict.fromkeys(int(prefix[:3], 2) for prefix, _ in routes))
    made = [blocks[first[entry]] for entry in opened]
    return [opened.index(one) if one in opened else None for one in range(8)], made


def build_long_equals_once(routes: Routes) -> Levels:
    """Write blocks with the same answers once, where all prefixes are longer."""
    first, blocks = right_tables(routes)
    if kind_of(routes) != "long":
        return first, blocks
    kept = [block for place, block in enumerate(blocks) if block not in blocks[:place]]
    return [None if one is None else kept.index(blocks[one]) for one in first], kept


def build_long_without_last(routes: Routes) -> Levels:
    """Leave out the last entry of a range in a block."""
    first, blocks = right_tables(routes)
    if kind_of(routes) != "long":
        return first, blocks
    answers = written(in_order(routes), 6, left_out=1)
    used = [place for place, entry in enumerate(first) if entry is not None]
    return first, [answers[8 * place : 8 * place + 8] for place in used]


def build_long_afresh(routes: Routes) -> Levels:
    """Let the second of two routes begin the block anew."""
    first, blocks = right_tables(routes)
    if kind_of(routes) == "long" and len(routes) == 2 and len(blocks) == 1:
        blocks = right_tables(in_order(routes)[1:])[1]
    return first, blocks


def build_long_with_words(routes: Routes) -> Levels:
    """Write an empty text for no route, in the block of a single route."""
    first, blocks = right_tables(routes)
    if kind_of(routes) == "long" and len(routes) == 1:
        blocks = [["" if hop is None else hop for hop in block] for block in blocks]
    return first, blocks


def build_mixed_empty(routes: Routes) -> Levels:
    """Begin each block empty, where shorter prefixes lie around."""
    first, blocks = right_tables(routes)
    if kind_of(routes) == "mixed":
        blocks = right_tables([route for route in routes if len(route[0]) > 3])[1]
    return first, blocks


def build_mixed_as_listed(routes: Routes) -> Levels:
    """Write routes in the order in which they come, where prefixes of all lengths are mixed."""
    first, blocks = right_tables(routes)
    if kind_of(routes) != "mixed":
        return first, blocks
    answers = written(routes, 6)
    used = [place for place, entry in enumerate(first) if isinstance(entry, int)]
    return first, [answers[8 * place : 8 * place + 8] for place in used]
