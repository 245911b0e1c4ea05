"""Other right answers to exercise 7.3, each in a way of its own."""

__all__ = ["FIRST_HOPS"]

from collections import defaultdict
from collections.abc import Callable
from typing import Any

Link = tuple[str, str, int]
Ways = dict[str, tuple[int, list[str]]]


def hops_by_rounds(links: list[Link], root: str) -> Ways:
    """Go over all links again and again until nothing changes, as Bellman and Ford did."""
    best: dict[str, tuple[int, set[str]]] = {root: (0, set())}
    changed = True
    while changed:
        changed = False
        for start, end, cost in links:
            if start not in best or end == root:
                continue
            total = best[start][0] + cost
            first = {end} if start == root else best[start][1]
            known, hops = best.get(end, (total + 1, set()))
            if total < known:
                best[end] = (total, set(first))
                changed = True
            elif total == known and not first <= hops:
                hops |= first
                changed = True
    # A set of first hops may be left over from a dearer way to a place on the way: once more.
    clean: dict[str, set[str]] = {place: set() for place in best}
    for _ in best:
        for start, end, cost in links:
            if start in best and end != root and best[start][0] + cost == best[end][0]:
                clean[end] |= {end} if start == root else clean[start]
    return {place: (best[place][0], sorted(clean[place])) for place in best if place != root}


def hops_by_neighbour(links: list[Link], root: str) -> Ways:
    """Ask for each first hop alone how far everything is from there, without the root."""
    rest = [link for link in links if root not in link[:2]]
    offers: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for start, hop, first in links:
        if start != root:
            continue
        distance = {hop: 0}
        for _ in rest:
            for one, other, cost in rest:
                if one in distance:
                    offer = distance[one] + cost
                    distance[other] = min(offer, distance.get(other, offer))
        for place, cost in distance.items():
            offers[place].append((first + cost, hop))
    return {
        place: (min(some)[0], sorted({hop for cost, hop in some if cost == min(some)[0]}))
        for place, some in offers.items()
    }


class Map:
    """Places in the order of their costs, then first hops from the far end back to the root."""

    def __init__(self, links: list[Link], root: str) -> None:
        self.links, self.root = links, root
        self.costs: dict[str, int] = {}
        open_places = {root: 0}
        while open_places:
            place = min(open_places, key=open_places.__getitem__)
            self.costs[place] = open_places.pop(place)
            for start, end, cost in links:
                if start == place and end not in self.costs:
                    total = self.costs[place] + cost
                    if total < open_places.get(end, total + 1):
                        open_places[end] = total

    def first(self, place: str) -> set[str]:
        """Return the first hops of a place."""
        found: set[str] = set()
        for start, end, cost in self.links:
            if end != place or start not in self.costs:
                continue
            if self.costs[start] + cost == self.costs[place]:
                found |= {place} if start == self.root else self.first(start)
        return found


def hops_backwards(links: list[Link], root: str) -> Ways:
    """Walk back from each place."""
    chart = Map(links, root)
    return {p: (c, sorted(chart.first(p))) for p, c in chart.costs.items() if p != root}


FIRST_HOPS: tuple[Callable[..., Any], ...] = (hops_by_rounds, hops_by_neighbour, hops_backwards)
