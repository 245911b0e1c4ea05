"""Misconceptions about what a neighbour's update does to a table: exercise 7.1.

Each is the update below with one part that is wrong.
"""

__all__ = ["HEAR_UPDATE", "RightUpdate"]

from collections.abc import Callable
from typing import Any

Route = tuple[int, str | None]
Table = dict[str, Route]


class RightUpdate:
    """An update in small parts, of which others get one wrong."""

    table: Table
    neighbour: str
    cost: int
    update: list[tuple[str, int]]

    def __new__(cls, table: Table, neighbour: str, cost: int, update: list[tuple[str, int]]) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.table, self.neighbour = dict(table), neighbour
        self.cost, self.update = cost, update
        return self.result()

    def result(self) -> Any:
        """Take the entries in one by one."""
        for destination, metric in self.update:
            if self.counts(metric) and not self.is_own(destination):
                self.hear(destination, metric)
        return self.table

    def counts(self, metric: int) -> bool:
        """Tell whether an entry is taken in."""
        return 1 <= metric <= 16

    def is_own(self, destination: str) -> bool:
        """Tell whether a network is our own."""
        return destination in self.table and self.table[destination][1] is None

    def offer(self, metric: int) -> int:
        """Return the metric by way of this neighbour."""
        return min(metric + self.cost, 16)

    def hear(self, destination: str, metric: int) -> None:
        """Take one entry in."""
        offer = self.offer(metric)
        if destination not in self.table:
            self.meet(destination, offer)
        elif self.table[destination][1] == self.neighbour:
            self.follow(destination, offer)
        elif self.is_better(offer, self.table[destination][0], metric):
            self.move(destination, offer)

    def meet(self, destination: str, offer: int) -> None:
        """Add a destination."""
        if offer < 16:
            self.table[destination] = (offer, self.neighbour)

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        self.table[destination] = (offer, self.neighbour)

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        """Tell whether an offer replaces a route through another neighbour."""
        return offer < ours

    def move(self, destination: str, offer: int) -> None:
        """Go through this neighbour from now on."""
        self.table[destination] = (offer, self.neighbour)


class OnlyBetterNews(RightUpdate):
    """Believe that only better news counts, whoever tells it."""

    def follow(self, destination: str, offer: int) -> None:
        if offer < self.table[destination][0]:
            super().follow(destination, offer)


class OnlyALossIsBelieved(RightUpdate):
    """Believe that our next hop's worse news counts only if all is lost."""

    def follow(self, destination: str, offer: int) -> None:
        if offer < self.table[destination][0] or offer == 16:
            super().follow(destination, offer)


class LatestNewsCounts(RightUpdate):
    """Believe that who spoke last knows best."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        return True


class EqualIsBetter(RightUpdate):
    """Believe that a route as good as ours replaces ours."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        return offer <= ours


class LossFromAnybody(RightUpdate):
    """Believe that what one neighbour has lost is lost for us."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        return offer < ours or offer == 16

    def move(self, destination: str, offer: int) -> None:
        hop = self.table[destination][1] if offer == 16 else self.neighbour
        self.table[destination] = (offer, hop)


class LineCostsNothing(RightUpdate):
    """Believe that the neighbour's metric is ours."""

    def offer(self, metric: int) -> int:
        return metric


class LineCostsOne(RightUpdate):
    """Believe that every line counts one."""

    def offer(self, metric: int) -> int:
        return min(metric + 1, 16)


class ComparedBeforeTheLine(RightUpdate):
    """Believe that the neighbour's metric is compared with ours, without the line."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        return metric < ours


class NoLimit(RightUpdate):
    """Believe that metrics may grow without end."""

    def offer(self, metric: int) -> int:
        return metric + self.cost

    def meet(self, destination: str, offer: int) -> None:
        self.table[destination] = (offer, self.neighbour)


class CutAtFifteen(RightUpdate):
    """Believe that 15 is the largest metric there is."""

    def offer(self, metric: int) -> int:
        return min(metric + self.cost, 15)


class LostIsRemoved(RightUpdate):
    """Believe that a route that is lost goes from the table at once."""

    def follow(self, destination: str, offer: int) -> None:
        super().follow(destination, offer)
        if offer == 16:
            del self.table[destination]


class WorseIsRemoved(RightUpdate):
    """Believe that worse news from our next hop ends the route."""

    def follow(self, destination: str, offer: int) -> None:
        old = self.table[destination][0]
        super().follow(destination, offer)
        if offer > old or offer == 16:
            del self.table[destination]


class LostIsAdded(RightUpdate):
    """Believe that an unreachable destination is worth a line in the table."""

    def meet(self, destination: str, offer: int) -> None:
        self.table[destination] = (offer, self.neighbour)


class LostForEver(RightUpdate):
    """Believe that what is unreachable stays so, whatever others say."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        return offer < ours < 16

    def follow(self, destination: str, offer: int) -> None:
        if self.table[destination][0] < 16:
            super().follow(destination, offer)


class OldNextHopStays(RightUpdate):
    """Believe that a better metric changes the metric alone."""

    def move(self, destination: str, offer: int) -> None:
        self.table[destination] = (offer, self.table[destination][1])


class OnlyKnownDestinations(RightUpdate):
    """Believe that an update only changes routes that there are."""

    def meet(self, destination: str, offer: int) -> None:
        """Add nothing."""


class NotNamedIsLost(RightUpdate):
    """Believe that what our next hop does not name is unreachable."""

    def result(self) -> Any:
        named = {destination for destination, _ in self.update}
        for destination, (_, hop) in self.table.items():
            if hop == self.neighbour and destination not in named:
                self.table[destination] = (16, hop)
        return super().result()


class NotNamedIsRemoved(RightUpdate):
    """Believe that what our next hop does not name goes from the table."""

    def result(self) -> Any:
        named = {destination for destination, _ in self.update}
        self.table = {
            destination: route
            for destination, route in self.table.items()
            if route[1] != self.neighbour or destination in named
        }
        return super().result()


class OwnAreLikeOthers(RightUpdate):
    """Believe that a network of our own has a route like all others."""

    def is_own(self, destination: str) -> bool:
        return False


class AnyMetricCounts(RightUpdate):
    """Believe that neighbours tell only metrics that there are."""

    def counts(self, metric: int) -> bool:
        return True


class ZeroCounts(RightUpdate):
    """Believe that metrics begin with 0 or below."""

    def counts(self, metric: int) -> bool:
        return metric <= 16


class TooLargeIsLost(RightUpdate):
    """Believe that any metric of 16 or more says "unreachable"."""

    def counts(self, metric: int) -> bool:
        return metric >= 1


class SixteenIsIgnored(RightUpdate):
    """Believe that an entry with 16 says nothing."""

    def counts(self, metric: int) -> bool:
        return 1 <= metric < 16


class OneWrongAllWrong(RightUpdate):
    """Believe that an update with a wrong metric is no good at all."""

    def result(self) -> Any:
        if not all(self.counts(metric) for _, metric in self.update):
            return self.table
        return super().result()


class OldPlusNew(RightUpdate):
    """Believe that the neighbour's metric is added to what we had."""

    def follow(self, destination: str, offer: int) -> None:
        super().follow(destination, min(16, self.table[destination][0] + offer - self.cost))


HEAR_UPDATE: dict[str, Callable[..., Any]] = {
    "only-better-news": OnlyBetterNews,
    "only-a-loss-is-believed": OnlyALossIsBelieved,
    "latest-news-counts": LatestNewsCounts,
    "equal-is-better": EqualIsBetter,
    "loss-from-anybody": LossFromAnybody,
    "line-costs-nothing": LineCostsNothing,
    "line-costs-one": LineCostsOne,
    "compared-before-the-line": ComparedBeforeTheLine,
    "no-limit": NoLimit,
    "cut-at-fifteen": CutAtFifteen,
    "lost-is-removed": LostIsRemoved,
    "worse-is-removed": WorseIsRemoved,
    "lost-is-added": LostIsAdded,
    "lost-for-ever": LostForEver,
    "old-next-hop-stays": OldNextHopStays,
    "only-known-destinations": OnlyKnownDestinations,
    "not-named-is-lost": NotNamedIsLost,
    "not-named-is-removed": NotNamedIsRemoved,
    "own-are-like-others": OwnAreLikeOthers,
    "any-metric-counts": AnyMetricCounts,
    "zero-counts": ZeroCounts,
    "too-large-is-lost": TooLargeIsLost,
    "sixteen-is-ignored": SixteenIsIgnored,
    "one-wrong-all-wrong": OneWrongAllWrong,
    "old-plus-new": OldPlusNew,
}
