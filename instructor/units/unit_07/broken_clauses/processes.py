"""Answers that break one clause of the contract of 7.6, and keep all others.

`questions.processes` says what tells the aspects apart: own networks, and their number; how many
neighbours there are; and which calls are made. So each of these breaks its clause there alone.
"""

__all__ = [
    "AlwaysTold",
    "AnyoneConfirms",
    "BadConfirms",
    "BeginsAnew",
    "FourthMessage",
    "GoesLate",
    "HeardInSpite",
    "InOrder",
    "LateAtOnce",
    "LateLate",
    "LostLeftOut",
    "MendForTwo",
    "MendSilent",
    "MendStaysCut",
    "NeverGoes",
    "NewNotTold",
    "NoLine",
    "NotPoisoned",
    "Nothing",
    "OwnAreOld",
    "OwnAtNothing",
    "Shared",
    "TableOfReachable",
    "TellsTheEnd",
    "ToldInSpite",
    "UnchangedConfirmsNot",
    "WholeTable",
]

from typing import Any, ClassVar

from instructor.units.unit_07.misconceptions.right_process import (
    Messages,
    RightProcess,
    Update,
)


class Nothing(RightProcess):
    """Return None where nothing is to be told, and all else as texts."""

    def at_once(self, before: dict[str, tuple[int, str | None]]) -> Any:
        """Return the triggered update."""
        return str(super().at_once(before))


class NoLine(RightProcess):
    """Leave out what a line costs."""

    def offer(self, neighbour: str, metric: int) -> int:
        """Return the metric by way of a neighbour."""
        return metric


class OwnAtNothing(RightProcess):
    """Give own networks the metric 0, where three are."""

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        super().__init__(networks, costs)
        if len(networks) == 3:
            self.routes = dict.fromkeys(networks, (0, None))


class InOrder(RightProcess):
    """Tell neighbours in the order of their names."""

    def whom(self) -> list[str]:
        """Return all neighbours that can be told."""
        return sorted(super().whom())


class FourthMessage(RightProcess):
    """Begin another message behind three entries."""

    def tell(self, about: list[str], whom: list[str]) -> Messages:
        """Return messages."""
        return [
            (one, entries[at : at + 3])
            for one, entries in super().tell(about, whom)
            for at in range(0, len(entries), 3)
        ]


class NotPoisoned(RightProcess):
    """Tell a next hop nothing in a regular update, but of losses."""

    def announce(self, now_s: float) -> Any:
        """Tell everybody everything."""
        told = [
            (one, [entry for entry in entries if self.routes[entry[0]] [1] != one
                   or self.routes[entry[0]][0] == 16])
            for one, entries in super().announce(now_s)
        ]  # fmt: skip
        return [message for message in told if message[1]]


class LostLeftOut(RightProcess):
    """Leave out of a regular update what is unreachable."""

    def announce(self, now_s: float) -> Any:
        """Tell everybody everything."""
        about = [one for one, (metric, _) in self.routes.items() if metric < 16]
        return self.tell(about, self.whom())


class WholeTable(RightProcess):
    """Tell the whole table at once, where there is one own network."""

    def news(self, before: dict[str, tuple[int, str | None]]) -> list[str]:
        """Return what has changed."""
        found = super().news(before)
        return list(self.routes) if found and len(self.networks) == 1 else found


class AlwaysTold(RightProcess):
    """Tell what was confirmed, too, where there is one own network."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        given = super().receive(now_s, neighbour, update)
        if len(self.networks) != 1:
            return given
        return self.tell([one for one, _ in update if one in self.routes], self.whom())


class NewNotTold(RightProcess):
    """Tell nobody of what is new, where there are two own networks."""

    def news(self, before: dict[str, tuple[int, str | None]]) -> list[str]:
        """Return what has changed."""
        found = super().news(before)
        return [one for one in found if one in before] if len(self.networks) == 2 else found


class TableOfReachable(RightProcess):
    """Leave out of the table what is unreachable, where there are own networks."""

    def table(self) -> Any:
        """Return the table."""
        right: dict[str, tuple[int, str | None]] = super().table()
        if not self.networks:
            return right
        return {one: route for one, route in right.items() if route[0] < 16}


class Shared(RightProcess):
    """Keep all routes in the process that was made last."""

    latest: ClassVar[list[RightProcess]] = []

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        super().__init__(networks, costs)
        self.latest[:] = [self]

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        self.routes = self.latest[0].routes
        return super().receive(now_s, neighbour, update)


class HeardInSpite(RightProcess):
    """Take in what comes over a line that is cut."""

    def hears(self, neighbour: str) -> bool:
        """Tell whether a line carries anything."""
        return True


class ToldInSpite(RightProcess):
    """Tell news of others over a line that is cut."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        before, down = dict(self.routes), self.down
        super().receive(now_s, neighbour, update)
        self.down = set()
        given = self.at_once(before)
        self.down = down
        return given


class MendStaysCut(RightProcess):
    """Let a mended line be of no use, where there are three neighbours."""

    def mend(self, now_s: float, neighbour: str) -> Any:
        """Hear that a line works again."""
        given = super().mend(now_s, neighbour)
        if len(self.costs) == 3:
            self.down.add(neighbour)
        return given


class MendSilent(RightProcess):
    """Tell an only neighbour nothing when its line is mended."""

    def mend(self, now_s: float, neighbour: str) -> Any:
        """Hear that a line works again."""
        given = super().mend(now_s, neighbour)
        return [] if len(self.costs) == 1 else given


class MendForTwo(RightProcess):
    """Tell both of two neighbours when a line is mended."""

    def mend(self, now_s: float, neighbour: str) -> Any:
        """Hear that a line works again."""
        given = super().mend(now_s, neighbour)
        return self.announce(now_s) if len(self.costs) == 2 else given


class LateLate(RightProcess):
    """Give a route up a moment late."""

    def is_late(self, since_s: float) -> bool:
        """Tell whether a route was confirmed too long ago."""
        return since_s > 180


class LateAtOnce(RightProcess):
    """Give a route up a second early."""

    def is_late(self, since_s: float) -> bool:
        """Tell whether a route was confirmed too long ago."""
        return since_s >= 179


class GoesLate(RightProcess):
    """Let a route go a moment late."""

    def is_garbage(self, since_s: float) -> bool:
        """Tell whether a route was lost long enough ago."""
        return since_s > 120


class NeverGoes(RightProcess):
    """Let no route go."""

    def is_garbage(self, since_s: float) -> bool:
        """Tell whether a route was lost long enough ago."""
        return False


class TellsTheEnd(RightProcess):
    """Tell once more when a route goes that was lost 130 seconds ago or earlier."""

    def tick(self, now_s: float) -> Any:
        """Do what is due."""
        gone = [one for one, (metric, _) in self.routes.items()
                if metric == 16 and now_s - self.lost_s[one] >= 130]  # fmt: skip
        end = self.tell(gone, self.whom())
        return [*super().tick(now_s), *end]


class UnchangedConfirmsNot(RightProcess):
    """Let a route that has not changed be no confirmation."""

    def confirm(self, now_s: float, destination: str, ours: int) -> None:
        """Note when a route was confirmed."""
        if self.routes[destination][0] != ours:
            super().confirm(now_s, destination, ours)


class AnyoneConfirms(RightProcess):
    """Let anybody confirm a route."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        given = super().receive(now_s, neighbour, update)
        for one, metric in update:
            if one in self.confirmed_s and self.offer(neighbour, metric) < 16:
                self.confirmed_s[one] = now_s
        return given


class BadConfirms(RightProcess):
    """Let an entry that is ignored confirm."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        for one, metric in update:
            if metric > 16 and one in self.confirmed_s:
                self.confirmed_s[one] = now_s
        return super().receive(now_s, neighbour, update)


class BeginsAnew(RightProcess):
    """Let each loss begin the time anew."""

    def hear_loss(self, now_s: float, destination: str, ours: int) -> None:
        """Note when a route became unreachable."""
        self.lost_s[destination] = now_s


class OwnAreOld(RightProcess):
    """Let own networks become unreachable."""

    def tick(self, now_s: float) -> Any:
        """Do what is due."""
        before = dict(self.routes)
        super().tick(now_s)
        for one in self.networks:
            if now_s >= 180:
                self.routes[one] = (16, None)
        return self.at_once(before)
