"""Answers that break one clause of the contract of 7.3, and keep all others.

`aspect` says under which aspect a map stands, so that a clause about all maps is broken on some
alone. What is wrong with several first hops is so for one number of them.
"""

__all__ = [
    "AllTakePart",
    "BackForNothing",
    "CostsOnly",
    "FewestFirst",
    "FirstCounts",
    "FreeIsDear",
    "FreeIsNone",
    "LastCounts",
    "LastPlace",
    "OneOfTwo",
    "OwnLink",
    "RootWhereItLeadsBack",
    "SettledEarly",
    "ThreeTurned",
    "Twice",
    "TwoWhereTheyMeet",
]

from typing import Any

from instructor.units.unit_07.misconceptions.paths import (
    BothWays,
    FewestLinks,
    FirstOfSeveral,
    FreeCostsOne,
    FreeIsNoLink,
    LastOfSeveral,
    OwnLinkFirst,
    SettledIsDone,
    UnreachableTakesPart,
)
from instructor.units.unit_07.misconceptions.right_paths import Link, Path, RightPaths


def has_free(links: list[Link]) -> bool:
    """Tell whether a link costs nothing."""
    return any(cost == 0 for _, _, cost in links)


class HasEqual(RightPaths):
    """Tell whether to some place several ways are cheapest."""

    def result(self) -> Any:
        """Count the ways."""
        costs = self.costs()
        return any(len(self.ways(place, costs)) > 1 for place in costs)


class OnOneWay(RightPaths):
    """Break something only where no link costs 0 and one way to each place is the cheapest."""

    wrong: type[RightPaths] = RightPaths

    def __new__(cls, links: list[Link], root: str) -> Any:
        """Choose between the wrong way and the right one."""
        simple = not has_free(links) and not HasEqual(links, root)
        return cls.wrong(links, root) if simple else RightPaths(links, root)


class CostsOnly(RightPaths):
    """Return costs without first hops."""

    def result(self) -> Any:
        """Return costs."""
        return {place: cost for place, (cost, _) in super().result().items()}


class BackForNothing(OnOneWay):
    """Go along links in both directions."""

    wrong = BothWays


class LastCounts(OnOneWay):
    """Let the last one of several links count."""

    wrong = LastOfSeveral


class FirstCounts(OnOneWay):
    """Let the first one of several links count."""

    wrong = FirstOfSeveral


class FewestFirst(OnOneWay):
    """Choose by the number of links."""

    wrong = FewestLinks


class OwnLink(OnOneWay):
    """Take an own link wherever there is one."""

    wrong = OwnLinkFirst


class AllTakePart(OnOneWay):
    """Name places that can't be reached."""

    wrong = UnreachableTakesPart


class RootOnTheWayBack(RightPaths):
    """Name the root where some link leads back to it."""

    def is_asked_for(self, place: str) -> bool:
        """Tell whether a place belongs into the result."""
        return place != self.root or any(end == self.root for _, end, _ in self.links)

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        return [] if place == self.root else super().hops(place, costs)


class RootWhereItLeadsBack(OnOneWay):
    """Name the root."""

    wrong = RootOnTheWayBack


class LastBeforeFar(RightPaths):
    """Name the place right before a place that is four links away or more."""

    def hop(self, way: Path) -> str:
        """Return the first hop of a way."""
        return way[-2] if len(way) > 4 else way[1]


class LastPlace(OnOneWay):
    """Name the place before the last."""

    wrong = LastBeforeFar


class OneOfTwo(RightPaths):
    """Name one of two first hops."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        right = super().hops(place, costs)
        return right[:1] if len(right) == 2 and not has_free(self.links) else right


class TwoWhereTheyMeet(OneOfTwo):
    """Name one of two first hops, but where the ways meet."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        lasts = {way[-2] for way in self.ways(place, costs)}
        return (
            super().hops(place, costs) if len(lasts) == 1 else RightPaths.hops(self, place, costs)
        )


class ThreeTurned(RightPaths):
    """Name three first hops or more in the opposite order."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        right = super().hops(place, costs)
        return right[::-1] if len(right) > 2 and not has_free(self.links) else right


class Twice(RightPaths):
    """Name an only first hop as often as ways begin with it."""

    def hops(self, place: str, costs: dict[str, int]) -> list[str]:
        """Return the first hops."""
        right = super().hops(place, costs)
        if len(right) > 1 or has_free(self.links):
            return right
        return right * len(self.ways(place, costs))


class FreeIsNone(FreeIsNoLink):
    """Leave out links that cost nothing."""


class FreeIsDear(FreeCostsOne):
    """Let every link cost 1 or more."""


class SettledEarly(SettledIsDone):
    """Miss equal ways that come late, by a link that costs nothing."""
