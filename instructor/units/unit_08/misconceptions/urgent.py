"""Misconceptions about urgent packets and those that are passed over: exercise 8.5.

Each is the scheduler below with one part that is wrong.
"""

__all__ = ["NEW_URGENT_FIRST", "RightUrgent", "UrgentForAll"]

from collections.abc import Callable
from typing import Any


class RightUrgent:
    """A scheduler in small parts, of which others get one wrong."""

    def __init__(self, levels: int, limit: int) -> None:
        self.levels, self.limit = levels, limit
        self.waiting: list[list[str]] = [[] for _ in range(levels)]
        self.counts = [0] * levels

    def join(self, level: int, name: str) -> None:
        """Let a packet wait."""
        self.waiting[level].append(name)

    def send(self) -> str | None:
        """Send a packet."""
        level = self.chosen()
        if level is None:
            return None
        self.count(level)
        self.begin_anew(level)
        return self.taken(level)

    def chosen(self) -> int | None:
        """Return the level whose turn it is."""
        there = [level for level in range(self.levels) if self.waiting[level]]
        due = [level for level in there if self.is_due(level)]
        if due:
            return self.first_of_due(due)
        return self.as_a_rule(there) if there else None

    def is_due(self, level: int) -> bool:
        """Tell whether a level is due."""
        return self.counts[level] >= self.limit

    def first_of_due(self, due: list[int]) -> int:
        """Choose among those that are due."""
        return due[0]

    def as_a_rule(self, there: list[int]) -> int:
        """Choose where nobody is due."""
        return there[0]

    def count(self, level: int) -> None:
        """Count for all who are passed over."""
        for other in range(level + 1, self.levels):
            if self.waiting[other]:
                self.counts[other] += 1

    def begin_anew(self, level: int) -> None:
        """Let a count begin anew."""
        self.counts[level] = 0

    def taken(self, level: int) -> str:
        """Take a packet out."""
        return self.waiting[level].pop(0)


class UrgentForEver(RightUrgent):
    """Believe that urgent means always first."""

    def is_due(self, level: int) -> bool:
        return False


class UrgentTurnedRound(RightUrgent):
    """Believe that the highest number is the most urgent."""

    def __init__(self, levels: int, limit: int) -> None:
        super().__init__(levels, limit)
        self.last = levels - 1

    def join(self, level: int, name: str) -> None:
        super().join(self.last - level, name)


class FirstComeFirstServed(RightUrgent):
    """Believe that who came first goes first, whatever its level."""

    def __init__(self, levels: int, limit: int) -> None:
        super().__init__(levels, limit)
        self.order: list[int] = []

    def join(self, level: int, name: str) -> None:
        super().join(level, name)
        self.order.append(level)

    def chosen(self) -> int | None:
        return self.order.pop(0) if self.order else None


class LevelsInTurn(RightUrgent):
    """Believe that levels take turns."""

    turn = 0

    def chosen(self) -> int | None:
        there = [level for level in range(self.levels) if self.waiting[level]]
        if not there:
            return None
        level = next((level for level in there if level >= self.turn), there[0])
        self.turn = level + 1
        return level


class NewestOfALevel(RightUrgent):
    """Believe that the newest packet of a level goes first."""

    def taken(self, level: int) -> str:
        return self.waiting[level].pop()


class OneMoreThanTheLimit(RightUrgent):
    """Believe that a level may be passed over once more when the limit is reached."""

    def is_due(self, level: int) -> bool:
        return self.counts[level] > self.limit


class OneLessThanTheLimit(RightUrgent):
    """Believe that the packet that reaches the limit is the one that waited."""

    def is_due(self, level: int) -> bool:
        return self.counts[level] >= max(1, self.limit - 1)


class CountThatStays(RightUrgent):
    """Believe that a level that was due once stays due."""

    def begin_anew(self, level: int) -> None:
        pass


class CountOfTheDueAlone(RightUrgent):
    """Believe that a count begins anew only when the limit made the level send."""

    def begin_anew(self, level: int) -> None:
        if self.is_due(level):
            self.counts[level] = 0


class CountsThatAllBeginAnew(RightUrgent):
    """Believe that all counts begin anew when one level was due."""

    def begin_anew(self, level: int) -> None:
        if self.is_due(level):
            self.counts = [0] * self.levels
        self.counts[level] = 0


class CountOfWhoIsAway(RightUrgent):
    """Believe that a level is passed over even while nothing waits in it."""

    def count(self, level: int) -> None:
        for other in range(level + 1, self.levels):
            self.counts[other] += 1


class CountOfTheNextLevel(RightUrgent):
    """Believe that only the next level in which one waits is passed over."""

    def count(self, level: int) -> None:
        behind = [other for other in range(level + 1, self.levels) if self.waiting[other]]
        for other in behind[:1]:
            self.counts[other] += 1


class CountOfTheFirstLevel(RightUrgent):
    """Believe that only packets of level 0 pass others over."""

    def count(self, level: int) -> None:
        if level == 0:
            super().count(level)


class CountOfEveryOther(RightUrgent):
    """Believe that more urgent levels are passed over, too."""

    def count(self, level: int) -> None:
        for other in range(self.levels):
            if other != level and self.waiting[other]:
                self.counts[other] += 1


class LeastUrgentOfTheDue(RightUrgent):
    """Believe that the least urgent of those that are due goes first."""

    def first_of_due(self, due: list[int]) -> int:
        return due[-1]


class LongestPassedOver(RightUrgent):
    """Believe that the largest count goes first."""

    def first_of_due(self, due: list[int]) -> int:
        return max(due, key=lambda level: self.counts[level])


class DueUntilEmpty(RightUrgent):
    """Believe that a level that is due sends all that waits in it."""

    flushing: int | None = None

    def chosen(self) -> int | None:
        if self.flushing is not None and self.waiting[self.flushing]:
            return self.flushing
        self.flushing = None
        level = super().chosen()
        if level is not None and self.is_due(level):
            self.flushing = level
        return level


SHARED: dict[str, RightUrgent] = {}


class UrgentForAll:
    """Believe that all schedulers may keep their packets in one place."""

    def __init__(self, levels: int, limit: int) -> None:
        SHARED["packets"] = RightUrgent(levels, limit)

    def __getattr__(self, method: str) -> Any:
        return getattr(SHARED["packets"], method)


NEW_URGENT_FIRST: dict[str, Callable[..., Any]] = {
    "urgent-for-ever": UrgentForEver,
    "highest-number-first": UrgentTurnedRound,
    "first-come-first-served": FirstComeFirstServed,
    "levels-in-turn": LevelsInTurn,
    "newest-of-a-level": NewestOfALevel,
    "one-more-than-the-limit": OneMoreThanTheLimit,
    "one-less-than-the-limit": OneLessThanTheLimit,
    "count-stays": CountThatStays,
    "count-begins-only-when-due": CountOfTheDueAlone,
    "all-counts-begin-anew": CountsThatAllBeginAnew,
    "counts-while-nobody-waits": CountOfWhoIsAway,
    "only-the-next-level-counts": CountOfTheNextLevel,
    "only-level-0-passes-over": CountOfTheFirstLevel,
    "more-urgent-count-too": CountOfEveryOther,
    "least-urgent-of-the-due": LeastUrgentOfTheDue,
    "largest-count-first": LongestPassedOver,
    "due-until-empty": DueUntilEmpty,
    "one-place-for-all": UrgentForAll,
}
