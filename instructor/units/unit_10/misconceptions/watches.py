"""Misconceptions about dropping because of waits: exercise 10.6."""

__all__ = ["NEW_WATCH"]

import math
from collections.abc import Callable
from typing import Any


class RightWatch:
    """A watch in small parts, of which others get one wrong."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target_ms, self.interval_ms = target_ms, interval_ms
        self.due_ms: Any = None
        self.drops = 0

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        """Tell whether to drop."""
        if self.short(waited_ms):
            self.relax()
            return False
        if self.due_ms is None:
            self.due_ms = self.first(now_ms)
        if self.is_early(now_ms):
            return False
        self.drops += 1
        self.due_ms = self.after(self.due_ms, now_ms)
        return True

    def short(self, waited_ms: int) -> bool:
        """Tell whether the wait is short enough."""
        return waited_ms < self.target_ms

    def first(self, now_ms: int) -> float:
        """Return when the first drop of a bout is due."""
        return now_ms + self.interval_ms

    def is_early(self, now_ms: int) -> bool:
        """Tell whether the next drop is yet to come."""
        return bool(now_ms < self.due_ms)

    def relax(self) -> None:
        """Forget all."""
        self.due_ms, self.drops = None, 0

    def after(self, due_ms: float, now_ms: int) -> float:
        """Return when the next drop is due."""
        return due_ms + self.interval_ms / math.sqrt(self.drops)


class WatchWithoutPatience(RightWatch):
    """Believe that every packet that waited too long is dropped."""

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        return not self.short(waited_ms)


class WatchThatDropsAll(RightWatch):
    """Believe that after an interval every packet is dropped until waits are short."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms


class WatchWithAnEvenPace(RightWatch):
    """Believe that drops keep a distance of one interval."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms + self.interval_ms


class WatchByCount(RightWatch):
    """Believe that the distance is divided by the count, not by its root."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms + self.interval_ms / self.drops


class WatchFromTheDrop(RightWatch):
    """Believe that the distance counts from the packet that was dropped."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return now_ms + self.interval_ms / math.sqrt(self.drops)


class WatchThatDropsOnce(RightWatch):
    """Believe that one drop is all, until waits have been short."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return math.inf


class WatchThatNeverForgets(RightWatch):
    """Believe that one short wait changes nothing."""

    def relax(self) -> None:
        pass


class WatchThatKeepsItsPace(RightWatch):
    """Believe that the count goes on after a short wait."""

    def relax(self) -> None:
        self.due_ms = None


class WatchOfTheMean(RightWatch):
    """Believe that the mean wait must be above the target, not the shortest."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        super().__init__(target_ms, interval_ms)
        self.waits: list[int] = []

    def short(self, waited_ms: int) -> bool:
        self.waits.append(waited_ms)
        return sum(self.waits) / len(self.waits) < self.target_ms


class WatchThatAllowsTheTarget(RightWatch):
    """Believe that a wait of exactly the target is short enough."""

    def short(self, waited_ms: int) -> bool:
        return waited_ms <= self.target_ms


class WatchThatIsLate(RightWatch):
    """Believe that a drop that is due now is not due yet."""

    def is_early(self, now_ms: int) -> bool:
        return bool(now_ms <= self.due_ms)


class WatchFromZero(RightWatch):
    """Believe that the first interval begins with the watch, at 0."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        super().__init__(target_ms, interval_ms)
        self.start_ms: int | None = 0

    def first(self, now_ms: int) -> float:
        start_ms = now_ms if self.start_ms is None else self.start_ms
        self.start_ms = None
        return start_ms + self.interval_ms


class WatchTurnedRound(RightWatch):
    """Believe that True lets a packet go."""

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        return not super().leaves(now_ms, waited_ms)


class WatchThatSaysNothing(RightWatch):
    """Believe that nothing has to be said where nothing is dropped."""

    def leaves(self, now_ms: int, waited_ms: int) -> Any:
        return super().leaves(now_ms, waited_ms) or None


class WatchOneCountAhead(RightWatch):
    """Believe that the count is that of the drop to come."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms + self.interval_ms / math.sqrt(self.drops + 1)


class WatchThatSlowsDown(RightWatch):
    """Believe that drops come farther and farther apart."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms + self.interval_ms * math.sqrt(self.drops)


class WatchThatHalves(RightWatch):
    """Believe that each distance is half of the one before."""

    def after(self, due_ms: float, now_ms: int) -> float:
        return due_ms + self.interval_ms / float(2 ** (self.drops - 1))


class WatchThatBeginsAnew(RightWatch):
    """Believe that a drop ends the bout."""

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        drop = super().leaves(now_ms, waited_ms)
        if drop:
            self.relax()
        return drop


class WatchThatLetsDropsGo(RightWatch):
    """Believe that drops whose time has passed are left out."""

    def after(self, due_ms: float, now_ms: int) -> float:
        due_ms += self.interval_ms / math.sqrt(self.drops)
        while due_ms <= now_ms:
            self.drops += 1
            due_ms += self.interval_ms / math.sqrt(self.drops)
        return due_ms


class WatchThatLooksLate(RightWatch):
    """Believe that a drop that is due meets any packet, however short its wait."""

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        was_due = self.due_ms is not None and not self.is_early(now_ms)
        return super().leaves(now_ms, waited_ms) or was_due


SHARED: dict[str, Any] = {}


def watch_for_all(target_ms: int, interval_ms: int) -> Any:
    """Believe that all watches may remember in one place."""
    SHARED["watch"] = RightWatch(target_ms, interval_ms)

    class Watch:
        def leaves(self, now_ms: int, waited_ms: int) -> bool:
            answer: bool = SHARED["watch"].leaves(now_ms, waited_ms)
            return answer

    return Watch()


NEW_WATCH: dict[str, Callable[..., Any]] = {
    "drops-at-once": WatchWithoutPatience,
    "drops-all-afterwards": WatchThatDropsAll,
    "even-pace": WatchWithAnEvenPace,
    "count-instead-of-root": WatchByCount,
    "counts-from-the-drop": WatchFromTheDrop,
    "one-drop-is-all": WatchThatDropsOnce,
    "short-wait-changes-nothing": WatchThatNeverForgets,
    "keeps-its-pace": WatchThatKeepsItsPace,
    "mean-for-shortest": WatchOfTheMean,
    "target-is-short-enough": WatchThatAllowsTheTarget,
    "due-is-not-yet": WatchThatIsLate,
    "clock-starts-at-zero": WatchFromZero,
    "answer-turned-round": WatchTurnedRound,
    "none-for-false": WatchThatSaysNothing,
    "root-of-the-next-count": WatchOneCountAhead,
    "slower-and-slower": WatchThatSlowsDown,
    "distance-halves": WatchThatHalves,
    "drop-ends-the-bout": WatchThatBeginsAnew,
    "passed-drops-left-out": WatchThatLetsDropsGo,
    "due-drop-meets-any-packet": WatchThatLooksLate,
    "one-watch-for-all": watch_for_all,
}
