"""Answers that break one clause of the contract of 8.5, and keep all others.

Where a clause would be broken in every case, it is broken for two levels only, or for large limits
only: so each costs the points of one aspect.
"""

__all__ = [
    "AnyDueLevel",
    "FirstComeUnderALargeLimit",
    "JoinThatTells",
    "LastOfTheDue",
    "LimitPassedOfTwo",
    "NewestUnderALargeLimit",
    "NothingAsText",
    "OnlyAtTheLimit",
    "QuietDue",
    "StaysDueOfTwo",
    "TwoAtMostArePassedOver",
    "WhoIsAwayOfTwo",
]

from typing import Any

from instructor.units.unit_08.misconceptions.urgent import RightUrgent

_LARGE = 20


class JoinThatTells(RightUrgent):
    """Return something from join."""

    def join(self, level: int, name: str) -> Any:
        """Let a packet wait."""
        super().join(level, name)
        return name


class NothingAsText(RightUrgent):
    """Return an empty name if no packet waits."""

    def send(self) -> str:
        """Send a packet."""
        return super().send() or ""


class FirstComeUnderALargeLimit(RightUrgent):
    """Send who came first, where the limit is so large that nobody is ever due."""

    def __init__(self, levels: int, limit: int) -> None:
        super().__init__(levels, limit)
        self.order: list[int] = []

    def join(self, level: int, name: str) -> None:
        """Let a packet wait."""
        super().join(level, name)
        self.order.append(level)

    def chosen(self) -> int | None:
        """Return the level whose turn it is."""
        if self.limit < _LARGE or not self.order:
            return super().chosen()
        return self.order.pop(0)


class NewestUnderALargeLimit(RightUrgent):
    """Send the newest packet of a level, where the limit is so large that nobody is ever due."""

    def taken(self, level: int) -> str:
        """Take a packet out."""
        return self.waiting[level].pop(0 if self.limit < _LARGE else -1)


class TwoAtMostArePassedOver(RightUrgent):
    """Count for the next two levels only."""

    def count(self, level: int) -> None:
        """Count for who is passed over."""
        behind = [other for other in range(level + 1, self.levels) if self.waiting[other]]
        for other in behind[:2]:
            self.counts[other] += 1


class QuietDue(RightUrgent):
    """Do not count when a level sends because it was due."""

    def count(self, level: int) -> None:
        """Count for who is passed over."""
        if not self.is_due(level):
            super().count(level)


class OnlyAtTheLimit(RightUrgent):
    """Let a level be due when its count is the limit, and not beyond."""

    def is_due(self, level: int) -> bool:
        """Tell whether a level is due."""
        return self.counts[level] == self.limit


class LastOfTheDue(RightUrgent):
    """Let the least urgent of the due go first."""

    def first_of_due(self, due: list[int]) -> int:
        """Choose among those that are due."""
        return due[-1]


class AnyDueLevel(RightUrgent):
    """Let the one with the largest count go first."""

    def first_of_due(self, due: list[int]) -> int:
        """Choose among those that are due."""
        return max(due, key=lambda level: self.counts[level])


class WhoIsAwayOfTwo(RightUrgent):
    """Of two levels, count for the other one while nothing waits in it, too."""

    def count(self, level: int) -> None:
        """Count for who is passed over."""
        if self.levels == 2 and level == 0:
            self.counts[1] += 1
        else:
            super().count(level)


class StaysDueOfTwo(RightUrgent):
    """Of two levels, never begin a count anew."""

    def begin_anew(self, level: int) -> None:
        """Let a count begin anew."""
        if self.levels != 2:
            super().begin_anew(level)


class LimitPassedOfTwo(RightUrgent):
    """Of two levels, let the limit be passed by one."""

    def is_due(self, level: int) -> bool:
        """Tell whether a level is due."""
        return self.counts[level] >= self.limit + (self.levels == 2)
