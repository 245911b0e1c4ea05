"""Misconceptions about when the retransmission timer runs: exercise 11.3."""

__all__ = ["RUNNING"]

from collections.abc import Callable
from typing import Any, ClassVar

from instructor.units.unit_11.misconceptions.right_timer import RightTimer


class TimerThatEachPacketStarts(RightTimer):
    """Believe that each packet that goes out starts the timer anew."""

    def starts(self, number: int) -> bool:
        return True


class TimerThatEachRepeatStarts(RightTimer):
    """Believe that a packet that goes out again starts the timer anew."""

    def starts(self, number: int) -> bool:
        return self.at is None or len(self.times[number]) > 1


class TimerThatRunsOn(RightTimer):
    """Believe that an acknowledgement does not touch the timer as long as packets are under way."""

    def go_on(self, now_ms: float) -> None:
        if not self.times:
            self.at = None


class TimerThatNeverStops(RightTimer):
    """Believe that the timer runs on when nothing is under way."""

    def go_on(self, now_ms: float) -> None:
        self.start(now_ms)


class TimerThatStops(RightTimer):
    """Believe that an acknowledgement stops the timer."""

    def go_on(self, now_ms: float) -> None:
        self.at = None


class TimerThatStopsWhenExpired(RightTimer):
    """Believe that a timer which ran out stands still until something is sent."""

    def expired(self, now_ms: float) -> float:
        given = super().expired(now_ms)
        self.at = None
        return given


class TimerThatTellsTheTimeout(RightTimer):
    """Believe that the time-out tells when the timer runs out."""

    def due(self) -> float | None:
        return None if self.at is None else self.timeout


class TimerForAll(RightTimer):
    """Believe that all timers know the same packets."""

    shared: ClassVar[dict[int, list[float]]] = {}

    def __init__(self, least_ms: float, tick_ms: float) -> None:
        super().__init__(least_ms, tick_ms)
        self.times = self.shared
        self.times.clear()


RUNNING: dict[str, Callable[..., Any]] = {
    "each-packet-starts": TimerThatEachPacketStarts,
    "each-repeat-starts": TimerThatEachRepeatStarts,
    "acknowledgement-leaves-it-running": TimerThatRunsOn,
    "never-stops": TimerThatNeverStops,
    "acknowledgement-stops": TimerThatStops,
    "stops-when-expired": TimerThatStopsWhenExpired,
    "time-out-for-moment": TimerThatTellsTheTimeout,
    "timers-share-packets": TimerForAll,
}
