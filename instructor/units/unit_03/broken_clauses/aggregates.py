"""Answers to 3.5 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from collections.abc import Callable

from instructor.units.unit_03.misconceptions.aggregates import (
    Place,
    Routes,
    Table,
    drop_what_is_covered,
    join_any_neighbours,
    join_once,
    never_drop,
    right_aggregated,
    right_around,
    right_dropped,
    right_joined,
    right_routes,
    right_table,
    right_whole,
)


def hops_of(routes: Routes) -> set[str]:
    """Return all next hops."""
    return {hop for _, hop in routes}


def where_all_agree(rule: Callable[[Routes], Routes], routes: Routes) -> Routes:
    """Break a clause only where all routes have the same next hop."""
    return (rule if len(hops_of(routes)) == 1 else right_aggregated)(routes)


def fewer_covered_stay(routes: Routes) -> Routes:
    """Leave what is covered where all agree."""
    return where_all_agree(never_drop, routes)


def fewer_any_neighbours(routes: Routes) -> Routes:
    """Join neighbours where all agree."""
    return where_all_agree(join_any_neighbours, routes)


def fewer_joined_once(routes: Routes) -> Routes:
    """Join once where all agree."""
    return where_all_agree(join_once, routes)


def fewer_in_order(routes: Routes) -> Routes:
    """Join only halves of which the lower one came first, where all agree."""
    return where_all_agree(joined_as_they_came, routes)


def joined_as_they_came(routes: Routes) -> Routes:
    """Join halves of which the lower one came first; what has become one came when that one did."""
    table = right_table(routes)
    came = {place: number for number, place in enumerate(table)}
    for length in range(32, 0, -1):
        for one in [place for place in table if place[1] == length]:
            other, whole = right_whole(one)
            if one < other and table.get(other) == table.get(one) and came[one] < came[other]:
                table[whole] = table.pop(one)
                came[whole] = came[one]
                del table[other]
    return right_routes(right_dropped(table))


def fewer_none_for_none(routes: Routes) -> Routes | None:
    """Return None for no routes."""
    return right_aggregated(routes) if routes else None


def fewer_as_lists(routes: Routes) -> list[list[str]]:
    """Return lists in place of tuples; an empty list stays one."""
    return [list(route) for route in right_aggregated(routes)]


def fewer_from_the_end(routes: Routes) -> Routes:
    """Put the highest address first, where that can be seen."""
    return right_aggregated(routes)[::-1]


def fewer_shortest_first(routes: Routes) -> Routes:
    """Join the shortest halves first, until there are none."""
    table = right_table(routes)
    while pairs := pairs_in(table):
        join(table, min(pairs, key=lambda one: one[1]))
    return right_routes(right_dropped(table))


def fewer_downwards(routes: Routes) -> Routes:
    """Go once from the shortest to the longest, where next hops differ."""
    table = right_table(routes)
    for length in range(1, 33):
        for one in pairs_in(table):
            if one[1] == length:
                join(table, one)
    result = right_routes(right_dropped(table))
    return right_aggregated(routes) if len(hops_of(routes)) == 1 else result


def pairs_in(table: Table) -> list[Place]:
    """Return the lower halves of all pairs that can be joined."""
    return [
        one for one in table
        if one[1] and one < right_whole(one)[0] and table.get(right_whole(one)[0]) == table[one]
    ]  # fmt: skip


def join(table: Table, lower: Place) -> None:
    """Put two halves together."""
    other, whole = right_whole(lower)
    table[whole] = table.pop(lower)
    del table[other]


def fewer_with_the_first_hop(routes: Routes) -> Routes:
    """Give what becomes one the next hop of the first route, if it had none of its own."""
    table = right_table(routes)
    had = set(table)
    while pairs := pairs_in(table):
        longest = max(pairs, key=lambda one: one[1])
        whole = right_whole(longest)[1]
        join(table, longest)
        if whole not in had:
            table[whole] = routes[0][1]
    return right_routes(right_dropped(table))


def fewer_covered_go(routes: Routes) -> Routes:
    """Drop what is covered by a route with another next hop, where nothing is nested twice."""
    table = right_joined(right_table(routes))
    depth = max((len(right_around(table, one)) for one in table), default=0)
    return (drop_what_is_covered if depth == 1 else right_aggregated)(routes)
