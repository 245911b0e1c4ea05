"""All cheapest paths from one router to everywhere (RFC 2328, sections 2.2, 2.4 and 16.1).

The map is a directed graph: `graph[a][b]` is the cost of the arc from a to b. A cost belongs to the
side that sends, so the two directions may differ. Rules that are easy to get wrong:

* The first hop is read at the *root's* end of a path, never at the far end. Here it is handed on
  from vertex to vertex while the tree grows.
* Paths of equal cost are all kept, so a vertex has a *set* of first hops.
* A network with many routers on it is a vertex too. Its arcs cost nothing (the cost was paid on the
  way in), and the first hop across an attached network is the router behind it.
* Among vertices of equal cost, networks leave the queue first. An arc of cost 0 leads from them
  to routers of the same cost, which could otherwise be finished before all their paths are known.
"""

__all__ = ["Graph", "ShortestPath", "check_graph", "shortest_paths", "walk_back"]

import heapq
from collections.abc import Collection, Hashable, Mapping
from typing import Generic, NamedTuple, TypeAlias, TypeVar

Vertex = TypeVar("Vertex", bound=Hashable)
Graph: TypeAlias = Mapping[Vertex, Mapping[Vertex, int]]


class ShortestPath(NamedTuple, Generic[Vertex]):
    """What is known about the cheapest paths from the root to one vertex.

    `first_hops` holds the vertices right after the root (the vertex itself if it is attached to the
    root), `previous` the vertices right before this one. Both are empty for the root.
    """

    cost: int
    first_hops: frozenset[Vertex]
    previous: frozenset[Vertex]


def shortest_paths(
    graph: Graph[Vertex], root: Vertex, *, networks: Collection[Vertex] = frozenset()
) -> dict[Vertex, ShortestPath[Vertex]]:
    """Return the cheapest paths from `root` to each vertex that it can reach, itself included.

    Vertices named in `networks` are networks, all others routers. Raises `ValueError` for an
    unknown root, an arc from a vertex to itself, and a cost that is not allowed.

    >>> graph = {"Plover": {"Reed": 1, "Gull": 4}, "Reed": {"Gull": 3}}
    >>> sorted(shortest_paths(graph, "Plover")["Gull"].first_hops)
    ['Gull', 'Reed']
    """
    check_graph(graph, networks)
    if root not in graph:
        raise ValueError(f"the root {root!r} is not in the graph, which has {list(graph)}")
    best = {root: ShortestPath[Vertex](0, frozenset(), frozenset())}
    queue = [(0, False, 0, root)]
    finished: set[Vertex] = set()
    pushed = 0  # decides between equal entries, so that vertices need no order of their own
    while queue:
        *_, vertex = heapq.heappop(queue)
        if vertex in finished:
            continue
        finished.add(vertex)
        for neighbour, arc_cost in graph.get(vertex, {}).items():
            offer = _extend(best[vertex], vertex, neighbour, arc_cost, root, networks)
            known = best.get(neighbour)
            if known is None or offer.cost < known.cost:
                best[neighbour] = offer
                pushed += 1
                heapq.heappush(queue, (offer.cost, neighbour not in networks, pushed, neighbour))
            elif offer.cost == known.cost:
                best[neighbour] = _merge(known, offer)
    return best


def walk_back(paths: Mapping[Vertex, ShortestPath[Vertex]], target: Vertex) -> list[Vertex]:
    """Return one cheapest path to `target`, from the root on. Raises `ValueError` if there is none.

    >>> graph = {"Plover": {"Reed": 1}, "Reed": {"Gull": 3}}
    >>> walk_back(shortest_paths(graph, "Plover"), "Gull")
    ['Plover', 'Reed', 'Gull']
    """
    if target not in paths:
        raise ValueError(f"no path leads to {target!r}")
    path = [target]
    while paths[path[-1]].previous:
        path.append(next(iter(paths[path[-1]].previous)))
    return path[::-1]


def check_graph(graph: Graph[Vertex], networks: Collection[Vertex] = frozenset()) -> None:
    """Raise `ValueError`, naming the arc, if the graph breaks a rule of RFC 2328, section 2.1.

    An arc out of a router costs at least 1, or 0 if it ends at a stub, which leads nowhere.
    An arc out of a network leads to a router and costs 0.
    """
    for start, arcs in graph.items():
        for end, cost in arcs.items():
            if start == end:
                raise ValueError(f"{start!r} has a link to itself")
            if start in networks and end in networks:
                raise ValueError(
                    f"an arc joins network {start!r} to network {end!r} with no router"
                )
            lowest = 1 if start not in networks and graph.get(end) else 0
            if not isinstance(cost, int) or isinstance(cost, bool) or cost < lowest:
                raise ValueError(
                    f"the arc from {start!r} to {end!r} has cost {cost!r}; "
                    f"it must be a whole number of at least {lowest} (RFC 2328, section 12.4.1)"
                )
            if start in networks and cost != 0:
                raise ValueError(
                    f"the arc from network {start!r} to {end!r} has cost {cost}; "
                    "arcs out of a network cost 0 (RFC 2328, section 2.1.2)"
                )


def _extend(
    path: ShortestPath[Vertex],
    vertex: Vertex,
    neighbour: Vertex,
    arc_cost: int,
    root: Vertex,
    networks: Collection[Vertex],
) -> ShortestPath[Vertex]:
    """Return the paths to `neighbour` that go through `vertex` (RFC 2328, section 16.1.1)."""
    first_hops = path.first_hops
    if vertex == root:
        first_hops = frozenset({neighbour})
    elif vertex in networks and vertex in first_hops:  # the root is attached to this network
        first_hops = (first_hops - {vertex}) | {neighbour}
    return ShortestPath(path.cost + arc_cost, first_hops, frozenset({vertex}))


def _merge(known: ShortestPath[Vertex], offer: ShortestPath[Vertex]) -> ShortestPath[Vertex]:
    """Return both sets of equally cheap paths together."""
    return ShortestPath(
        known.cost, known.first_hops | offer.first_hops, known.previous | offer.previous
    )
