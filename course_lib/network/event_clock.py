"""A clock that jumps from one event to the next.

Nothing happens between two events, so no time is spent on waiting: an hour of a quiet network is
over at once. An event is a call that is due at a time. Three rules make a run the same every time:

* the earliest event comes first, and an event never sets the clock back: one that was due in the
  past, because somebody asked late, happens now;
* of two events at the same time, the one with the lower `Turn` comes first;
* of two with the same turn, the one with the lower `order`, and then the one asked for first.
"""

__all__ = ["EventClock", "TooManyEventsError", "Turn"]

import heapq
import math
from collections.abc import Callable
from enum import IntEnum

MAX_EVENTS_AT_ONE_TIME = 100_000  # more is an event that calls for itself without end


class TooManyEventsError(RuntimeError):
    """A run that does not seem to come to an end; the clock shows how far it came."""


class Turn(IntEnum):
    """Who goes first at the same time: the scene, then what arrives, then timers."""

    SCENE = 0  # a wire is cut, a host is told to begin
    ARRIVAL = 1  # a frame or a message reaches the end of a wire
    TIMER = 2  # a router or a host does what is due


class EventClock:
    """The time, and what is due.

    >>> clock = EventClock()
    >>> clock.at(2.0, lambda: print("two")), clock.at(1.0, lambda: print("one"))
    (None, None)
    >>> clock.run_until(1.5)
    one
    """

    def __init__(self, start_s: float = 0.0) -> None:
        """Show `start_s` at first."""
        self.events = 0  # how many have happened
        self._now_s = start_s
        self._asked = 0
        self._due: list[tuple[float, int, int, int, Callable[[], None]]] = []

    @property
    def now_s(self) -> float:
        """The time of the event that is happening, or of the end of the last run."""
        return self._now_s

    def at(
        self, time_s: float, action: Callable[[], None], turn: Turn = Turn.SCENE, order: int = 0
    ) -> None:
        """Call `action` at `time_s`, or now if that is over. Infinity means never.

        Raises `ValueError` for a time that is not a number.
        """
        if math.isnan(time_s):
            raise ValueError("an event needs a time, not nan (not a number)")
        if time_s == math.inf:
            return
        self._asked += 1  # the last word between equals; without it the heap would compare actions
        due = (max(time_s, self._now_s), int(turn), order, self._asked, action)
        heapq.heappush(self._due, due)

    def next_s(self) -> float:
        """Return when the next event is due, infinity if there is none."""
        return self._due[0][0] if self._due else math.inf

    def run_until(
        self,
        time_s: float,
        *,
        stop: Callable[[], bool] | None = None,
        most_events: int | None = None,
    ) -> None:
        """Let everything happen that is due up to and including `time_s`.

        `stop` is asked after every event; once it is true, the clock stays where it is then.

        Raises `ValueError` for a time that is over or infinite, and `TooManyEventsError` after
        `most_events`, or if the time stands still; the clock can be run on after that.
        """
        if not self._now_s <= time_s < math.inf:
            raise ValueError(f"it is {self._now_s} s; the clock cannot run until {time_s} s")
        last = math.inf if most_events is None else self.events + most_events
        at_this_time = 0
        while self.next_s() <= time_s:
            if self.events >= last:
                raise TooManyEventsError(f"{most_events} events, and it is only {self._now_s} s")
            if at_this_time > MAX_EVENTS_AT_ONE_TIME:
                raise TooManyEventsError(f"no end of events at {self._now_s} s")
            at_this_time = at_this_time + 1 if self.next_s() == self._now_s else 0
            self._now_s, *_, action = heapq.heappop(self._due)
            self.events += 1
            action()
            if stop is not None and stop():
                return
        self._now_s = time_s
