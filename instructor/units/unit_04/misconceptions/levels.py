"""Misconceptions about ready answers and about routes to spare: exercises 4.5 and 4.6."""

__all__ = ["BUILD_TABLES", "SPARE_ROUTES"]

from collections.abc import Callable
from typing import Any

Routes = list[tuple[str, str]]
Levels = tuple[list[Any], list[list[Any]]]


# 4.5 build_tables


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


BUILD_TABLES: dict[str, Callable[..., Any]] = {
    "later-routes-overwrite": build_in_listed_order,
    "shorter-ones-overwrite": build_longest_first,
    "one-entry-for-each-prefix": build_one_entry_each,
    "blocks-begin-empty": build_empty_blocks,
    "three-bits-open-a-block": build_blocks_for_three_bits,
    "blocks-numbered-by-route": build_blocks_as_opened,
    "last-entry-left-out": build_without_the_last,
    "a-block-for-each-prefix": build_block_for_each,
}


# 4.6 spare_routes


def right_range_of(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    network, length = prefix.split("/")
    first = int.from_bytes(bytes(int(part) for part in network.split(".")), "big")
    return first, first + 2 ** (32 - int(length))


def lies_in(inner: str, outer: str) -> bool:
    """Tell whether one prefix lies inside another one."""
    first, behind = right_range_of(outer)
    start, end = right_range_of(inner)
    return inner != outer and first <= start and end <= behind


def right_around(routes: Routes, prefix: str) -> list[tuple[str, str]]:
    """Return the routes around a prefix, the next one first."""
    around = [route for route in routes if lies_in(prefix, route[0])]
    return sorted(around, key=lambda route: -int(route[0].split("/")[1]))


def right_unused(routes: Routes, prefix: str) -> bool:
    """Tell whether longer prefixes leave nothing of a prefix."""
    inside = [other for other, _ in routes if lies_in(other, prefix)]
    widest = [one for one in inside if not any(lies_in(one, other) for other in inside)]
    first, behind = right_range_of(prefix)
    taken = sum(end - start for start, end in map(right_range_of, widest))
    return taken == behind - first


def right_same(routes: Routes, prefix: str, hop: str) -> bool:
    """Tell whether the next route around has the same next hop."""
    around = right_around(routes, prefix)
    return bool(around) and around[0][1] == hop


def spare_if_covered(routes: Routes) -> list[str]:
    """Believe that a route inside another one is not needed."""
    return [
        prefix
        for prefix, _ in routes
        if right_around(routes, prefix) or right_unused(routes, prefix)
    ]


def spare_if_any_around(routes: Routes) -> list[str]:
    """Believe that any route around with the same next hop will do."""
    return [
        prefix
        for prefix, hop in routes
        if any(other == hop for _, other in right_around(routes, prefix))
        or right_unused(routes, prefix)
    ]


def spare_unless_unused(routes: Routes) -> list[str]:
    """Believe that a route goes only if another one around it says the same."""
    return [prefix for prefix, hop in routes if right_same(routes, prefix, hop)]


def spare_if_longer_inside(routes: Routes) -> list[str]:
    """Believe that a route with a longer one inside it is never used."""
    return [
        prefix
        for prefix, hop in routes
        if right_same(routes, prefix, hop) or any(lies_in(other, prefix) for other, _ in routes)
    ]


def spare_one_after_the_other(routes: Routes) -> list[str]:
    """Believe that each route is judged after the earlier ones have gone."""
    left, spare = list(routes), []
    for prefix, hop in routes:
        if right_same(left, prefix, hop) or right_unused(left, prefix):
            left = [route for route in left if route[0] != prefix]
            spare.append(prefix)
    return spare


def spare_if_same_hop(routes: Routes) -> list[str]:
    """Believe that two routes with the same next hop say the same."""
    return [
        prefix
        for prefix, hop in routes
        if sum(other == hop for _, other in routes) > 1 or right_unused(routes, prefix)
    ]


def spare_if_halves(routes: Routes) -> list[str]:
    """Believe that only two halves can take all of a prefix."""
    spare = []
    for prefix, hop in routes:
        first, behind = right_range_of(prefix)
        middle = (first + behind) // 2
        ranges = [right_range_of(other) for other, _ in routes]
        halves = (first, middle) in ranges and (middle, behind) in ranges
        if halves or right_same(routes, prefix, hop):
            spare.append(prefix)
    return spare


SPARE_ROUTES: dict[str, Callable[..., Any]] = {
    "covered-means-spare": spare_if_covered,
    "any-route-around-will-do": spare_if_any_around,
    "never-used-not-noticed": spare_unless_unused,
    "longer-ones-win-everywhere": spare_if_longer_inside,
    "withdraws-as-it-goes": spare_one_after_the_other,
    "same-next-hop-is-enough": spare_if_same_hop,
    "only-halves-use-it-up": spare_if_halves,
}
