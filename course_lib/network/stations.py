"""Whoever is called in event time: a router, a host, or a routing protocol at its place.

It is called when something comes in, and when the time has come that it asked for. After every call
it is asked anew when that is. All calls go through a guard (`careful_calls`), so what comes out of
them is always fit for use.
"""

__all__ = ["Station"]

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from course_lib.network.careful_calls import Guard, read_time
from course_lib.network.event_clock import EventClock, Turn

T = TypeVar("T")

MAX_TICKS_AT_ONE_TIME = 1000  # more is a timer that is always due


@dataclass(eq=False, repr=False)
class Station(Generic[T]):
    """One who is called, and the alarm that is set for the next call."""

    clock: EventClock
    order: int  # the place among all stations, which decides ties between timers
    guard: Guard
    read: Callable[
        [object], tuple[list[T], list[str]]
    ]  # what is good in an answer: see `Guard.ask`
    send: Callable[[list[T]], None]  # what does so with the good of it
    _alarm_s: float = math.inf
    _ticks_at_s: float = -math.inf
    _ticks: int = 0

    def call(self, method: str, *arguments: object, about: Callable[[], str] = str) -> None:
        """Call a method with the time, send what it answers, and ask what is due next."""
        now_s = self.clock.now_s
        answer = self.guard.ask(now_s, method, now_s, *arguments, read=self.read, about=about)
        self.send(answer or [])
        self.set_alarm()

    def set_alarm(self) -> None:
        """Ask when `tick` is wanted."""
        due_s = self.guard.ask(self.clock.now_s, "next_tick_s", read=read_time)
        due_s = math.inf if due_s is None else due_s
        if due_s != self._alarm_s:
            self._alarm_s = due_s
            self.clock.at(due_s, partial(self._ring, due_s), Turn.TIMER, self.order)

    def _ring(self, due_s: float) -> None:
        if due_s != self._alarm_s:
            return  # it has changed its mind; an event once asked for cannot be taken back
        self._alarm_s = math.inf
        now_s = self.clock.now_s
        self._ticks = self._ticks + 1 if now_s == self._ticks_at_s else 1
        self._ticks_at_s = now_s
        if self._ticks > MAX_TICKS_AT_ONE_TIME and not self.guard.is_stopped:
            self.guard.stop(now_s, "next_tick_s() wants tick() at this time again and again")
        self.call("tick")
