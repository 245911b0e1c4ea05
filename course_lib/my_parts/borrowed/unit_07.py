"""Borrowed parts of unit 07: its exercises' contracts, kept by way of the library's routing.

The library's distance vector keeps its own table; here one is made for each call, with the table
that came. The library's shortest paths want every link to cost something; here all cost a little
more, and first hops are those from which the rest of the way costs just what is left.

Not here: `new_flooder` and `new_process`, whose rules are the library's step by step, so a loan
would give the answers away; and `plan_changes`, since the library has another order of changes.
"""

__all__ = ["first_hops", "hear_update", "tell_neighbours"]

import math
from collections.abc import Iterable
from typing import Any

from course_lib.routing.distance_vector import (
    DistanceVector,
    Settings,
    SplitHorizon,
    TableEntry,
)
from course_lib.routing.distance_vector_messages import RouteEntry, Update
from course_lib.routing.protocol import NextHop
from course_lib.routing.shortest_path_tree import Graph, shortest_paths

Table = dict[str, tuple[int, str | None]]
_HORIZONS = {
    "off": SplitHorizon.OFF,
    "split horizon": SplitHorizon.SIMPLE,
    "poisoned reverse": SplitHorizon.POISONED_REVERSE,
}


class TableGiven(DistanceVector[str]):
    """The library's distance vector with a table that came; links are called as neighbours."""

    def __init__(self, table: Table, costs: dict[str, int], horizon: str = "off") -> None:
        super().__init__("us", costs, {}, Settings(_HORIZONS[horizon]))
        self._table = {
            destination: TableEntry(
                metric, None if hop is None else NextHop(hop, hop), math.inf, False
            )
            for destination, (metric, hop) in table.items()
        }

    def pairs(self) -> Table:
        """Return the table as it came."""
        return {
            destination: (entry.metric, entry.next_hop and entry.next_hop.router)
            for destination, entry in self._table.items()
        }

    def entries_for(self, neighbour: str, about: Iterable[str]) -> list[tuple[str, int]]:
        """Return what a neighbour is told."""
        entries = [self._entry_for(neighbour, destination) for destination in about]
        return [(entry.destination, entry.metric) for entry in entries if entry is not None]


def hear_update(table: Table, neighbour: str, cost: int, update: list[tuple[str, int]]) -> Table:
    """Return the table of routes after an update from a neighbour: exercise 7.1."""
    router = TableGiven(table, {neighbour: cost})
    for destination, metric in update:  # one at a time: how many there are is no matter here
        router.receive(0, Update(neighbour, (RouteEntry(destination, metric),)), neighbour)
    return router.pairs()


def tell_neighbours(
    table: Table, neighbours: list[str], horizon: str, changed: list[str] | None, most: int
) -> list[tuple[str, list[tuple[str, int]]]]:
    """Return the messages to send now: exercise 7.2."""
    router = TableGiven(table, dict.fromkeys(neighbours, 1), horizon)
    told = {
        neighbour: router.entries_for(neighbour, sorted(table if changed is None else changed))
        for neighbour in neighbours
    }
    return [
        (neighbour, entries[start : start + most])
        for neighbour, entries in told.items()
        for start in range(0, len(entries), most)
    ]


def first_hops(links: list[tuple[str, str, int]], root: str) -> dict[str, tuple[int, list[str]]]:
    """Return costs and first hops of the cheapest ways: exercise 7.3."""
    graph: dict[str, dict[str, int]] = {root: {}}
    for start, end, cost in links:
        ways, lengthened = graph.setdefault(start, {}), cost * (len(links) + 1) + 1
        ways[end] = min(lengthened, ways.get(end, lengthened))
        graph.setdefault(end, {})
    part = len(links) + 1
    costs = _costs(graph, root, part)
    rests = {hop: _costs(graph, hop, part) for hop in graph[root]}
    return {
        place: (
            cost,
            sorted(
                hop
                for hop, first in graph[root].items()
                if place in rests[hop] and first // part + rests[hop][place] == cost
            ),
        )
        for place, cost in costs.items()
        if place != root
    }


def _costs(graph: Graph[Any], root: str, part: int) -> dict[str, int]:
    """Return what the cheapest ways cost, without what was added to each link."""
    return {place: path.cost // part for place, path in shortest_paths(graph, root).items()}
