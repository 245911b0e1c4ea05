"""Answers that break one clause of a contract of unit 10, and keep all others: rows of events.

As in `broken_clauses`. What a sender or a watch gets wrong is written as the words of its
clause; the code asks for these words where they belong.
"""

__all__ = [
    "SenderThatAddsNoMore",
    "SenderThatGrowsOnDuplicates",
    "SenderThatKeepsASmallWindow",
    "SenderThatLosesHalfItsWindow",
    "SenderThatRoundsUpAtTheThird",
    "SenderThatRoundsUpLate",
    "SenderThatStartsOverWithHalfItsWindow",
    "SenderWithALimit",
    "SenderWithLists",
    "SenderWithoutAFloorAtTheThird",
    "SenderWithoutAFloorLate",
    "WatchOfOneLongWait",
    "WatchThatStaysUntilItDrops",
]

import math
from typing import Any


class Sender:
    """A sender that breaks the clause named `breaks`."""

    breaks = ""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        self.segment, self.window, self.threshold, self.row = segment, window, threshold, 0

    def result(self) -> Any:
        """Return what each method returns."""
        both = self.window, self.threshold
        return list(both) if self.breaks == "tuple" else both

    def ack(self) -> Any:
        """Take in an acknowledgement of something new."""
        if self.row >= 3:
            self.window = self.threshold
        else:
            self.grow()
        self.row = 0
        return self.result()

    def grow(self) -> None:
        """Grow by a segment, or by a part of one."""
        slow_start = self.window < self.threshold
        self.window += self.segment if slow_start else max(1, self.segment**2 // self.window)

    def duplicate(self, flight: int) -> Any:
        """Take in an acknowledgement of nothing new."""
        self.row += 1
        if self.breaks == "first two" and self.row < 3 and self.window < self.threshold:
            self.grow()
        if self.row == 3:
            self.threshold = self.half(flight, "third")
            self.window = self.threshold + 3 * self.segment
            if self.breaks == "3 segments":
                self.window = min(self.window, 65_535)
        if self.row > 3 and self.breaks != "further":
            self.window += self.segment
        return self.result()

    def timeout(self, flight: int) -> Any:
        """Begin again."""
        self.threshold = self.half(flight, "time-out")
        if self.breaks != "1 segment" or self.window > self.threshold:
            self.window = self.segment
        self.row = 0
        return self.result()

    def half(self, flight: int, event: str) -> int:
        """Return the new threshold."""
        if self.breaks == f"flight at {event}":
            flight = self.window
        if self.breaks == f"rounded at {event}":
            flight += flight % 2
        if self.breaks == f"floor at {event}":
            return flight // 2
        return max(flight // 2, 2 * self.segment)


class SenderWithLists(Sender):
    """Return lists."""

    breaks = "tuple"


class SenderThatGrowsOnDuplicates(Sender):
    """Let duplicates count as acknowledgements in slow start."""

    breaks = "first two"


class SenderThatLosesHalfItsWindow(Sender):
    """Halve the window at the third duplicate."""

    breaks = "flight at third"


class SenderThatRoundsUpAtTheThird(Sender):
    """Round half of an odd flight up at the third duplicate."""

    breaks = "rounded at third"


class SenderWithoutAFloorAtTheThird(Sender):
    """Know no floor at the third duplicate."""

    breaks = "floor at third"


class SenderWithALimit(Sender):
    """Let no window be larger than a header can say without scaling."""

    breaks = "3 segments"


class SenderThatAddsNoMore(Sender):
    """Add nothing after the third duplicate."""

    breaks = "further"


class SenderThatStartsOverWithHalfItsWindow(Sender):
    """Halve the window at a time-out."""

    breaks = "flight at time-out"


class SenderThatRoundsUpLate(Sender):
    """Round half of an odd flight up at a time-out."""

    breaks = "rounded at time-out"


class SenderWithoutAFloorLate(Sender):
    """Know no floor at a time-out."""

    breaks = "floor at time-out"


class SenderThatKeepsASmallWindow(Sender):
    """Leave a window alone that is not above the new threshold."""

    breaks = "1 segment"


class Watch:
    """A watch that breaks the clause named `breaks`."""

    breaks = ""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target_ms, self.interval_ms = target_ms, interval_ms
        self.due_ms: float = math.inf
        self.drops = 0

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        """Tell whether to drop."""
        if waited_ms < self.target_ms:
            if self.breaks != "ends the bout" or self.drops:
                self.due_ms, self.drops = math.inf, 0
            return False
        if self.due_ms == math.inf or (self.breaks == "none is on" and now_ms < self.due_ms):
            self.due_ms = now_ms + self.interval_ms
        if now_ms < self.due_ms or self.breaks == "none is on":
            return False
        self.drops += 1
        self.due_ms += self.interval_ms / math.sqrt(self.drops)
        return True


class WatchThatStaysUntilItDrops(Watch):
    """Let a short wait end a bout only if something was dropped in it."""

    breaks = "ends the bout"


class WatchOfOneLongWait(Watch):
    """Let each long wait begin a bout of its own, so that no drop is ever due."""

    breaks = "none is on"
