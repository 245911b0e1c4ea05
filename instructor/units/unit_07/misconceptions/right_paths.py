"""Cheapest ways without any fault, of which the misconceptions of exercise 7.3 get one part wrong.

All ways are written out, place by place: slow, and easy to get wrong on purpose.
"""

__all__ = ["Link", "Path", "RightPaths"]

from typing import Any

Link = tuple[str, str, int]
Path = tuple[str, ...]  # from the root on


class RightPaths:
    """Cheapest ways in small parts."""

    links: list[Link]
    root: str

    def __new__(cls, links: list[Link], root: str) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.links, self.root = [(start, end, cost) for start, end, cost in links], root
        return self.result()

    def result(self) -> Any:
        """Return costs and first hops."""
        costs = self.costs()
        return {
            place: (costs[place], self.hops(place, costs))
            for place in costs
            if self.is_asked_for(place)
        }

    def is_asked_for(self, place: str) -> bool:
        """Tell whether a place belongs into the result."""
        return place != self.root

    def arcs(self) -> list[Link]:
        """Return all links."""
        return self.links

    def costs(self) -> dict[str, int]:
        """Settle one place after the other, the nearest first."""
        settled: dict[str, int] = {}
        reached = {self.root: 0}
        while reached:
            place = min(reached, key=lambda one: (reached[one], one))
            settled[place] = reached.pop(place)
            for start, end, cost in self.arcs():
                if start == place and end not in settled:
                    offer = settled[place] + cost
                    reached[end] = min(offer, reached.get(end, offer))
        return settled

    def ways(self, place: str, costs: dict[str, int]) -> list[Path]:
        """Return all cheapest ways to a place."""
        if place == self.root:
            return [(self.root,)]
        return [
            (*way, place)
            for start, end, cost in self.arcs()
            if end == place and start in costs and costs[start] + cost == costs[end]
            for way in self.ways(start, costs)
        ]

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        return sorted({self.hop(way) for way in self.ways(place, costs)})

    def hop(self, way: Path) -> str:
        """Return the first hop of a way."""
        return way[1]
