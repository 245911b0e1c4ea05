"""Answers that break one clause of the contract of 7.2, and keep all others.

A clause that counts in every update is broken only where messages are asked for (`is_bare`), and
what is wrong with long lists only for one number of messages.
"""

__all__ = [
    "AllTriggered",
    "AsListed",
    "AsTabled",
    "Balanced",
    "BeginsWithFew",
    "Dictionary",
    "EmptyAtTheEnd",
    "EmptyForNothing",
    "EverythingForNothing",
    "LineAdded",
    "LostLeftOut",
    "NeverOff",
    "NoPoison",
    "NoSilence",
    "OneTooMany",
    "OwnLeftOut",
    "OwnPoisoned",
    "RestLost",
    "SilenceButForLosses",
    "SortedNeighbours",
    "TriggeredAlike",
]

from itertools import pairwise
from typing import Any

from instructor.units.unit_07.misconceptions.horizons import Entries, RightTelling


class Bare(RightTelling):
    """A telling that can say whether it is about messages alone."""

    def is_bare(self) -> bool:
        """Tell whether this is a regular update without a remedy."""
        return self.changed is None and self.horizon == "off"

    def number(self, entries: Entries) -> int:
        """Return how many messages entries need; 0 where something else is asked for."""
        return -(-len(entries) // self.most) if self.is_bare() else 0


class Dictionary(RightTelling):
    """Return a dictionary."""

    def result(self) -> Any:
        """Return all messages."""
        return dict(super().result())


class LineAdded(Bare):
    """Add the line, in a table of one route."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        """Return what is told."""
        return metric + (self.is_bare() and len(self.table) == 1)


class SortedNeighbours(Bare):
    """Tell neighbours in the order of their names."""

    def order(self) -> list[str]:
        """Return whom to tell."""
        return sorted(self.neighbours) if self.is_bare() else self.neighbours


class AsTabled(Bare):
    """Tell entries in the order of the table."""

    def about(self) -> list[str]:
        """Return what to tell of."""
        return list(self.table) if self.is_bare() else super().about()


class OwnLeftOut(Bare):
    """Leave out our own networks."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        """Return what is told."""
        return None if self.is_bare() and hop is None else metric


class LostLeftOut(Bare):
    """Leave out what is unreachable."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        """Return what is told."""
        return None if self.is_bare() and metric == 16 else metric


class AsListed(RightTelling):
    """Tell what has changed in the order of the list."""

    def about(self) -> list[str]:
        """Return what to tell of."""
        return super().about() if self.changed is None else list(self.changed)


class AllTriggered(RightTelling):
    """Tell all of the table where something has changed."""

    def is_regular(self) -> bool:
        """Tell whether all is told."""
        return True


class EverythingForNothing(RightTelling):
    """Tell all of the table where nothing has changed."""

    def is_regular(self) -> bool:
        """Tell whether all is told."""
        return not self.changed


class TriggeredAlike(RightTelling):
    """Forget the remedies in triggered updates."""

    def back(self, metric: int) -> int | None:
        """Return what is told to a next hop."""
        return super().back(metric) if self.changed is None else metric


class NeverOff(Bare):
    """Tell nobody of routes through itself."""

    def back(self, metric: int) -> int | None:
        """Return what is told to a next hop."""
        return None if self.is_bare() else super().back(metric)


class NoSilence(RightTelling):
    """Let split horizon do nothing."""

    def back(self, metric: int) -> int | None:
        """Return what is told to a next hop."""
        here = self.horizon == "split horizon" and self.changed is None
        return metric if here else super().back(metric)


class SilenceButForLosses(NoSilence):
    """Tell a next hop of losses in spite of split horizon."""

    def back(self, metric: int) -> int | None:
        """Return what is told to a next hop."""
        return super().back(metric) if metric == 16 else RightTelling.back(self, metric)


class NoPoison(RightTelling):
    """Let poisoned reverse do nothing."""

    def back(self, metric: int) -> int | None:
        """Return what is told to a next hop."""
        here = self.horizon == "poisoned reverse" and self.changed is None
        return metric if here else super().back(metric)


class OwnPoisoned(RightTelling):
    """Poison our own networks, too."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        """Return what is told."""
        here = self.horizon == "poisoned reverse" and self.changed is None
        return 16 if here and hop is None else metric


class OneTooMany(Bare):
    """Put one entry too many into a message, where two are needed."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        if self.number(entries) != 2:
            return super().cut(entries)
        messages = [entries[: self.most + 1], entries[self.most + 1 :]]
        return [message for message in messages if message]


class RestLost(Bare):
    """Lose the last one of three messages."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        return super().cut(entries)[: 2 if self.number(entries) == 3 else None]


class Balanced(Bare):
    """Take an entry from the first of four messages to the last."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        messages = super().cut(entries)
        if self.number(entries) != 4 or len(messages[-1]) == self.most:
            return messages
        ends = [0, self.most - 1, 2 * self.most - 1, 3 * self.most - 1, len(entries)]
        return [entries[start:end] for start, end in pairwise(ends)]


class BeginsWithFew(Balanced):
    """Let the first of four messages be the one that is not full."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        messages = RightTelling.cut(self, entries)
        if self.number(entries) != 4:
            return messages
        few = len(messages[-1])
        ends = [0, *range(few, len(entries) + 1, self.most)]
        return [entries[start:end] for start, end in pairwise(ends)]


class EmptyForNothing(Bare):
    """Send an empty message for an empty table."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        return [[]] if self.is_bare() and not entries else super().cut(entries)


class EmptyAtTheEnd(Bare):
    """Send an empty message behind full ones."""

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        full = self.number(entries) > 1 and len(entries) % self.most == 0
        return super().cut(entries) + ([[]] if full else [])
