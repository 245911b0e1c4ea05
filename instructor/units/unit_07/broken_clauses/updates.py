"""Answers that break one clause of the contract of 7.1, and keep all others.

Most clauses would be broken under every aspect. So these break theirs only where every entry counts
and every offer is below 16 (`is_plain`), or only where 16 has a part in it.
"""

__all__ = [
    "AboveSixteen",
    "AddsTheLost",
    "AlwaysReplaces",
    "BelowOne",
    "BetterIgnored",
    "EqualReplaces",
    "ForgetsTheSilent",
    "HopKept",
    "LineLeftOut",
    "LineLeftOutOfTheSame",
    "LossByAnother",
    "LostAndGone",
    "NeverFound",
    "NeverReplaces",
    "NotAdded",
    "OwnIsReplaced",
    "OwnIsReplacedAlways",
    "Pairs",
    "RestIgnored",
    "Uncapped",
    "WorseIgnored",
]

from typing import Any

from instructor.units.unit_07.misconceptions.updates import RightUpdate


class Plain(RightUpdate):
    """An update that can tell whether 16, or what does not count, has a part in it."""

    def is_plain(self) -> bool:
        """Tell whether all entries count, and neither an offer nor a route is 16."""
        return (
            all(self.counts(metric) for _, metric in self.update)
            and not any(self.is_own(destination) for destination, _ in self.update)
            and all(metric + self.cost < 16 for _, metric in self.update)
            and all(metric < 16 for metric, _ in self.table.values())
        )


class Pairs(RightUpdate):
    """Return a list of pairs."""

    def result(self) -> Any:
        """Take the entries in."""
        return list(super().result().items())


class BelowOne(RightUpdate):
    """Take in metrics below 1."""

    def counts(self, metric: int) -> bool:
        """Tell whether an entry is taken in."""
        return metric <= 16


class AboveSixteen(RightUpdate):
    """Take in metrics above 16."""

    def counts(self, metric: int) -> bool:
        """Tell whether an entry is taken in."""
        return metric >= 1


class OwnIsReplaced(RightUpdate):
    """Replace networks of our own by what is nearer."""

    def is_own(self, destination: str) -> bool:
        """Tell whether a network is our own."""
        return False


class OwnIsReplacedAlways(RightUpdate):
    """Replace networks of our own."""

    def result(self) -> Any:
        """Take the entries in."""
        for destination, metric in self.update:
            if self.is_own(destination) and self.counts(metric):
                self.table[destination] = (self.offer(metric), self.neighbour)
        return super().result()


class RestIgnored(RightUpdate):
    """Ignore a whole update for one of its entries."""

    def result(self) -> Any:
        """Take the entries in."""
        for destination, metric in self.update:
            if not self.counts(metric) or self.is_own(destination):
                return self.table
        return super().result()


class LineLeftOut(Plain):
    """Leave out the cost of the line."""

    def offer(self, metric: int) -> int:
        """Return the metric by way of this neighbour."""
        return metric if self.is_plain() else super().offer(metric)


class LineLeftOutOfTheSame(Plain):
    """Leave out the cost of the line, where our next hop tells nothing new."""

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        same = self.is_plain() and offer == self.table[destination][0]
        super().follow(destination, offer - self.cost if same else offer)


class Uncapped(RightUpdate):
    """Let metrics grow beyond 16, of routes that are not lost."""

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        metric = dict(self.update)[destination]
        super().follow(destination, metric + self.cost if metric < 16 else offer)


class NotAdded(Plain):
    """Add no destinations."""

    def meet(self, destination: str, offer: int) -> None:
        """Add a destination."""
        if not self.is_plain():
            super().meet(destination, offer)


class AddsTheLost(RightUpdate):
    """Add destinations that are unreachable."""

    def meet(self, destination: str, offer: int) -> None:
        """Add a destination."""
        self.table[destination] = (offer, self.neighbour)


class WorseIgnored(Plain):
    """Ignore worse news."""

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        if not self.is_plain() or offer < self.table[destination][0]:
            super().follow(destination, offer)


class BetterIgnored(Plain):
    """Ignore better news from our next hop."""

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        if not self.is_plain() or offer > self.table[destination][0]:
            super().follow(destination, offer)


class LostAndGone(RightUpdate):
    """Remove a route that is lost."""

    def follow(self, destination: str, offer: int) -> None:
        """Believe our own next hop."""
        super().follow(destination, offer)
        if dict(self.update)[destination] == 16:
            del self.table[destination]


class LossByAnother(RightUpdate):
    """Take a loss from anybody."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        """Tell whether an offer replaces a route."""
        return offer == 16 or super().is_better(offer, ours, metric)


class NeverFound(RightUpdate):
    """Leave what is unreachable as it is."""

    def hear(self, destination: str, metric: int) -> None:
        """Take one entry in."""
        if self.table.get(destination, (0, ""))[0] < 16:
            super().hear(destination, metric)


class EqualReplaces(Plain):
    """Replace a route by one that is as good."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        """Tell whether an offer replaces a route."""
        return offer <= ours if self.is_plain() else offer < ours


class AlwaysReplaces(Plain):
    """Replace a route by a worse one."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        """Tell whether an offer replaces a route."""
        return self.is_plain() or offer < ours


class NeverReplaces(Plain):
    """Keep a route whatever others offer."""

    def is_better(self, offer: int, ours: int, metric: int) -> bool:
        """Tell whether an offer replaces a route."""
        return offer < ours and not self.is_plain()


class HopKept(Plain):
    """Keep the next hop where the metric is replaced."""

    def move(self, destination: str, offer: int) -> None:
        """Go through this neighbour from now on."""
        hop = self.table[destination][1] if self.is_plain() else self.neighbour
        self.table[destination] = (offer, hop)


class ForgetsTheSilent(Plain):
    """Remove routes through this neighbour that it does not name."""

    def result(self) -> Any:
        """Take the entries in."""
        named = dict(self.update)
        for destination, (_, hop) in list(self.table.items()) if self.is_plain() else ():
            if hop == self.neighbour and destination not in named:
                del self.table[destination]
        return super().result()
