"""Misconceptions about cheapest ways and where they begin: exercise 7.3."""

__all__ = ["FIRST_HOPS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_07.misconceptions.right_paths import Link, Path, RightPaths


class LastStep(RightPaths):
    """Believe that the place right before the target is the next hop."""

    def hop(self, way: Path) -> str:
        return way[-2]


class TargetItself(RightPaths):
    """Believe that a packet is handed to its target."""

    def hop(self, way: Path) -> str:
        return way[-1]


class RootItself(RightPaths):
    """Believe that a way's first place is its first hop."""

    def hop(self, way: Path) -> str:
        return way[0]


class WholeWays(RightPaths):
    """Believe that all places on the way are hops to be listed."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return sorted({one for way in self.ways(place, costs) for one in way[1:]})


class FewestLinks(RightPaths):
    """Believe that the way with the fewest links is the cheapest."""

    def result(self) -> Any:
        """Look at links first, at costs last."""
        self.links = [(start, end, cost + 1000) for start, end, cost in self.links]
        return {place: (cost % 1000, hops) for place, (cost, hops) in super().result().items()}


class LinksCounted(RightPaths):
    """Believe that every link costs one."""

    def arcs(self) -> list[Link]:
        return [(start, end, 1) for start, end, _ in self.links]


class OwnLinkFirst(RightPaths):
    """Believe that a link of our own is always taken."""

    def arcs(self) -> list[Link]:
        ours = {end for start, end, _ in self.links if start == self.root}
        return [
            (start, end, cost) for start, end, cost in self.links
            if start == self.root or end not in ours
        ]  # fmt: skip


class LastLinkOnly(RightPaths):
    """Believe that a place costs what the last link to it costs."""

    def costs(self) -> dict[str, int]:
        right = super().costs()
        self.right = right
        return {
            place: min(
                (
                    cost
                    for start, end, cost in self.arcs()
                    if end == place and start in right and right[start] + cost == right[end]
                ),
                default=0,
            )
            for place in right
        }

    def ways(self, place: str, costs: dict[str, int]) -> list[Path]:
        return super().ways(place, self.right)


class BothWays(RightPaths):
    """Believe that a link leads back as well, for the same cost."""

    def arcs(self) -> list[Link]:
        return [*self.links, *((end, start, cost) for start, end, cost in self.links)]


class TowardsTheRoot(RightPaths):
    """Believe that the cost of the way back counts."""

    def arcs(self) -> list[Link]:
        return [(end, start, cost) for start, end, cost in self.links]


class LastOfSeveral(RightPaths):
    """Believe that two places are joined by one link, the last in the list."""

    def arcs(self) -> list[Link]:
        table = {(start, end): cost for start, end, cost in self.links}
        return [(start, end, cost) for (start, end), cost in table.items()]


class FirstOfSeveral(RightPaths):
    """Believe that two places are joined by one link, the first in the list."""

    def arcs(self) -> list[Link]:
        table = {(start, end): cost for start, end, cost in reversed(self.links)}
        return [(start, end, cost) for (start, end), cost in table.items()]


class SeveralAddUp(RightPaths):
    """Believe that several links between two places cost what they cost together."""

    def arcs(self) -> list[Link]:
        table: dict[tuple[str, str], int] = {}
        for start, end, cost in self.links:
            table[start, end] = table.get((start, end), 0) + cost
        return [(start, end, cost) for (start, end), cost in table.items()]


class OneIsEnough(RightPaths):
    """Believe that one of the first hops is enough."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return super().hops(place, costs)[:1]


class LastIsEnough(RightPaths):
    """Believe that an equal way replaces the one before it."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return super().hops(place, costs)[-1:]


class MeetingNotPassedOn(RightPaths):
    """Believe that equal ways are told apart only where they meet."""

    def ways(self, place: str, costs: dict[str, int]) -> list[Path]:
        if place == self.root:
            return [(self.root,)]
        return [
            (*way, place)
            for start, end, cost in self.arcs()
            if end == place and start in costs and costs[start] + cost == costs[end]
            for way in sorted(self.ways(start, costs))[:1]
        ]


class FewestOfEqual(RightPaths):
    """Believe that of equal ways only those with the fewest links count."""

    def ways(self, place: str, costs: dict[str, int]) -> list[Path]:
        every = super().ways(place, costs)
        fewest = min(len(way) for way in every)
        return [way for way in every if len(way) == fewest]


class OncePerWay(RightPaths):
    """Believe that a first hop is listed once for each way."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return sorted(self.hop(way) for way in self.ways(place, costs))


class AnyWay(RightPaths):
    """Believe that every neighbour is a first hop from which the place can be reached."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return sorted(
            {
                end
                for start, end, _ in self.arcs()
                if start == self.root and self.leads(end, place, {self.root})
            }
        )

    def leads(self, start: str, place: str, seen: set[str]) -> bool:
        """Tell whether some way leads on."""
        if start == place or start in seen:
            return start == place
        seen.add(start)
        return any(one == start and self.leads(end, place, seen) for one, end, _ in self.arcs())


class RootTakesPart(RightPaths):
    """Believe that the root has a line of its own in the result."""

    def is_asked_for(self, place: str) -> bool:
        return True

    def hop(self, way: Path) -> str:
        return way[1] if len(way) > 1 else self.root

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return [] if place == self.root else super().hops(place, costs)


class UnreachableTakesPart(RightPaths):
    """Believe that every place on the map has a line in the result."""

    def result(self) -> Any:
        places = [place for start, end, _ in self.links for place in (start, end)]
        none: dict[str, Any] = {place: (None, []) for place in places if place != self.root}
        return none | super().result()


class OnlyNeighbours(RightPaths):
    """Believe that a router needs to know only who is next to it."""

    def is_asked_for(self, place: str) -> bool:
        return any(start == self.root and end == place for start, end, _ in self.links)


class FreeIsNoLink(RightPaths):
    """Believe that a link of cost 0 is no link."""

    def arcs(self) -> list[Link]:
        return [(start, end, cost) for start, end, cost in self.links if cost]


class FreeCostsOne(RightPaths):
    """Believe that no link is cheaper than 1."""

    def arcs(self) -> list[Link]:
        return [(start, end, max(1, cost)) for start, end, cost in self.links]


class SettledIsDone(RightPaths):
    """Believe that nothing equal can come once a place is settled."""

    def ways(self, place: str, costs: dict[str, int]) -> list[Path]:
        if place == self.root:
            return [(self.root,)]
        order = list(costs)
        return [
            (*way, place)
            for start, end, cost in self.arcs()
            if end == place and start in costs and costs[start] + cost == costs[end]
            if order.index(start) < order.index(end)
            for way in self.ways(start, costs)
        ]


class NearestFirst(RightPaths):
    """Believe that the first hop of the nearest neighbour stands first."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        return sorted(super().hops(place, costs), key=lambda hop: (costs[hop], hop))


FIRST_HOPS: dict[str, Callable[..., Any]] = {
    "last-step": LastStep,
    "target-itself": TargetItself,
    "root-itself": RootItself,
    "whole-ways": WholeWays,
    "fewest-links": FewestLinks,
    "links-counted": LinksCounted,
    "own-link-first": OwnLinkFirst,
    "last-link-only": LastLinkOnly,
    "both-ways": BothWays,
    "towards-the-root": TowardsTheRoot,
    "last-of-several": LastOfSeveral,
    "first-of-several": FirstOfSeveral,
    "several-add-up": SeveralAddUp,
    "one-is-enough": OneIsEnough,
    "last-is-enough": LastIsEnough,
    "meeting-not-passed-on": MeetingNotPassedOn,
    "fewest-of-equal": FewestOfEqual,
    "once-per-way": OncePerWay,
    "any-way": AnyWay,
    "root-takes-part": RootTakesPart,
    "unreachable-takes-part": UnreachableTakesPart,
    "only-neighbours": OnlyNeighbours,
    "free-is-no-link": FreeIsNoLink,
    "free-costs-one": FreeCostsOne,
    "settled-is-done": SettledIsDone,
    "nearest-first": NearestFirst,
}
