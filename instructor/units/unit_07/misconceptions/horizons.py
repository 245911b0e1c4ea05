"""Misconceptions about which neighbour is told what: exercise 7.2.

Each is the telling below with one part that is wrong.
"""

__all__ = ["TELL_NEIGHBOURS", "RightTelling"]

from collections.abc import Callable
from itertools import pairwise
from typing import Any

Route = tuple[int, str | None]
Table = dict[str, Route]
Entries = list[tuple[str, int]]


class RightTelling:
    """What is told in small parts, of which others get one wrong."""

    table: Table
    neighbours: list[str]
    horizon: str
    changed: list[str] | None
    most: int

    def __new__(
        cls,
        table: Table,
        neighbours: list[str],
        horizon: str,
        changed: list[str] | None,
        most: int,
    ) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.table, self.neighbours, self.horizon = dict(table), list(neighbours), horizon
        self.changed, self.most = changed, most
        return self.result()

    def result(self) -> Any:
        """Return all messages."""
        return [
            (one, message) for one in self.order() for message in self.cut(self.entries_for(one))
        ]

    def order(self) -> list[str]:
        """Return whom to tell, in turn."""
        return self.neighbours

    def about(self) -> list[str]:
        """Return what to tell of, in order."""
        return sorted(self.table if self.is_regular() else self.changed or ())

    def is_regular(self) -> bool:
        """Tell whether all is told."""
        return self.changed is None

    def entries_for(self, neighbour: str) -> Entries:
        """Return what one neighbour is told."""
        told = [(destination, self.told(neighbour, destination)) for destination in self.about()]
        return [(destination, metric) for destination, metric in told if metric is not None]

    def told(self, neighbour: str, destination: str) -> int | None:
        """Return the metric that a neighbour is told; None if it is told nothing."""
        metric, hop = self.table[destination]
        return self.back(metric) if self.leads_back(neighbour, hop) else self.plain(metric, hop)

    def leads_back(self, neighbour: str, hop: str | None) -> bool:
        """Tell whether a route goes through a neighbour."""
        return hop == neighbour

    def back(self, metric: int) -> int | None:
        """Return what is told to a route's own next hop."""
        return {"off": metric, "split horizon": None, "poisoned reverse": 16}[self.horizon]

    def plain(self, metric: int, hop: str | None) -> int | None:
        """Return what is told to all others."""
        return metric

    def cut(self, entries: Entries) -> list[Entries]:
        """Cut entries into messages."""
        return [entries[at : at + self.most] for at in range(0, len(entries), self.most)]


class AllHearTheSame(RightTelling):
    """Believe that an update is the same for all neighbours."""

    def back(self, metric: int) -> int | None:
        return metric


class HorizonTurnedRound(RightTelling):
    """Believe that the remedy is for all but the next hop."""

    def leads_back(self, neighbour: str, hop: str | None) -> bool:
        return hop not in (neighbour, None)


class PoisonIsSilence(RightTelling):
    """Believe that with poisoned reverse, too, the next hop hears nothing."""

    def back(self, metric: int) -> int | None:
        return metric if self.horizon == "off" else None


class SilenceIsPoison(RightTelling):
    """Believe that with split horizon, too, the next hop hears 16."""

    def back(self, metric: int) -> int | None:
        return metric if self.horizon == "off" else 16


class PoisonForAll(RightTelling):
    """Believe that a poisoned route is unreachable for everybody."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        return 16 if self.horizon == "poisoned reverse" and hop is not None else metric


class SilenceForAll(RightTelling):
    """Believe that only what we know ourselves is told on."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        return None if self.horizon == "split horizon" and hop is not None else metric


class NothingAtAllBack(RightTelling):
    """Believe that whoever is a next hop is told nothing at all."""

    def entries_for(self, neighbour: str) -> Entries:
        hops = {hop for _, hop in self.table.values()}
        if self.horizon == "split horizon" and neighbour in hops:
            return []
        return super().entries_for(neighbour)


class AllPoisonedBack(RightTelling):
    """Believe that whoever is a next hop is told 16 for everything."""

    def told(self, neighbour: str, destination: str) -> int | None:
        hops = {hop for _, hop in self.table.values()}
        if self.horizon == "poisoned reverse" and neighbour in hops:
            return 16
        return super().told(neighbour, destination)


class AlwaysSilence(RightTelling):
    """Believe that nobody is ever told of a route through itself."""

    def back(self, metric: int) -> int | None:
        return 16 if self.horizon == "poisoned reverse" else None


class LostIsNotTold(RightTelling):
    """Believe that an unreachable destination is nothing to tell of."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        return metric if metric < 16 else None


class LostMayGoBack(RightTelling):
    """Believe that the remedies are only for routes that there are."""

    def told(self, neighbour: str, destination: str) -> int | None:
        metric = self.table[destination][0]
        return 16 if metric == 16 else super().told(neighbour, destination)


class OwnIsNotTold(RightTelling):
    """Believe that neighbours know our own networks."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        return metric if hop is not None else None


class LineAddedHere(RightTelling):
    """Believe that the sender adds the line."""

    def plain(self, metric: int, hop: str | None) -> int | None:
        return min(metric + 1, 16)


class PoisonIsFifteen(RightTelling):
    """Believe that 15 says "unreachable"."""

    def back(self, metric: int) -> int | None:
        return 15 if self.horizon == "poisoned reverse" else super().back(metric)


class TriggeredTellsAll(RightTelling):
    """Believe that a triggered update tells the whole table."""

    def is_regular(self) -> bool:
        return True


class NoneIsNothing(RightTelling):
    """Believe that an update about nothing is about everything."""

    def is_regular(self) -> bool:
        return not self.changed


class TriggeredToAllAlike(RightTelling):
    """Believe that what has just changed is told to all alike."""

    def back(self, metric: int) -> int | None:
        return super().back(metric) if self.is_regular() else metric


class TriggeredTellsLossesOnly(RightTelling):
    """Believe that only bad news is urgent."""

    def about(self) -> list[str]:
        return [one for one in super().about() if self.is_regular() or self.table[one][0] == 16]


class AsTheTableStands(RightTelling):
    """Believe that entries stand as they do in the table."""

    def about(self) -> list[str]:
        return list(self.table if self.is_regular() else self.changed or ())


class NearestFirst(RightTelling):
    """Believe that the nearest destination stands first."""

    def about(self) -> list[str]:
        return sorted(super().about(), key=lambda one: (self.table[one][0], one))


class NeighboursInOrder(RightTelling):
    """Believe that neighbours are told in the order of their names."""

    def order(self) -> list[str]:
        return sorted(self.neighbours)


class OneMessageEach(RightTelling):
    """Believe that everything fits into one message."""

    def cut(self, entries: Entries) -> list[Entries]:
        return [entries] if entries else []


class RestIsLost(RightTelling):
    """Believe that what does not fit is left for the next update."""

    def cut(self, entries: Entries) -> list[Entries]:
        return super().cut(entries)[:1]


class EvenMessages(RightTelling):
    """Believe that messages are to be of one length."""

    def cut(self, entries: Entries) -> list[Entries]:
        number = -(-len(entries) // self.most)
        length, longer = divmod(len(entries), number) if number else (0, 0)
        ends = [at * length + min(at, longer) for at in range(number + 1)]
        return [entries[start:end] for start, end in pairwise(ends)]


class EmptyMessages(RightTelling):
    """Believe that a message without entries is better than none."""

    def cut(self, entries: Entries) -> list[Entries]:
        return super().cut(entries) or [[]]


class OneMoreMessage(RightTelling):
    """Believe that there is always room for a message behind the full ones."""

    def cut(self, entries: Entries) -> list[Entries]:
        number = len(entries) // self.most + 1
        return [entries[at * self.most : (at + 1) * self.most] for at in range(number)]


class LessThanFull(RightTelling):
    """Believe that a message is full with one entry less."""

    def cut(self, entries: Entries) -> list[Entries]:
        length = max(1, self.most - 1)
        return [entries[at : at + length] for at in range(0, len(entries), length)]


class RoundByRound(RightTelling):
    """Believe that everybody gets a first message before anybody gets a second."""

    def result(self) -> Any:
        rounds = [(one, self.cut(self.entries_for(one))) for one in self.order()]
        most = max((len(messages) for _, messages in rounds), default=0)
        return [
            (one, messages[at]) for at in range(most) for one, messages in rounds
            if at < len(messages)
        ]  # fmt: skip


TELL_NEIGHBOURS: dict[str, Callable[..., Any]] = {
    "all-hear-the-same": AllHearTheSame,
    "horizon-turned-round": HorizonTurnedRound,
    "poison-is-silence": PoisonIsSilence,
    "silence-is-poison": SilenceIsPoison,
    "poison-for-all": PoisonForAll,
    "silence-for-all": SilenceForAll,
    "nothing-at-all-back": NothingAtAllBack,
    "all-poisoned-back": AllPoisonedBack,
    "always-silence": AlwaysSilence,
    "lost-is-not-told": LostIsNotTold,
    "lost-may-go-back": LostMayGoBack,
    "own-is-not-told": OwnIsNotTold,
    "line-added-here": LineAddedHere,
    "poison-is-fifteen": PoisonIsFifteen,
    "triggered-tells-all": TriggeredTellsAll,
    "nothing-is-everything": NoneIsNothing,
    "triggered-to-all-alike": TriggeredToAllAlike,
    "triggered-tells-losses-only": TriggeredTellsLossesOnly,
    "as-the-table-stands": AsTheTableStands,
    "nearest-first": NearestFirst,
    "neighbours-in-order": NeighboursInOrder,
    "one-message-each": OneMessageEach,
    "rest-is-lost": RestIsLost,
    "even-messages": EvenMessages,
    "empty-messages": EmptyMessages,
    "one-more-message": OneMoreMessage,
    "less-than-full": LessThanFull,
    "round-by-round": RoundByRound,
}
