"""A place of the network: a router or a host, its interfaces, and when it wants to be called.

All calls go through a guard (`careful_calls`), so what comes out is always fit for use: frames that
can be sent, and records of what could not be used.
"""

__all__ = ["Station", "Work"]

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network.careful_calls import (
    FrameHandler,
    Guard,
    Reply,
    checked_frames,
    checked_time,
)
from course_lib.network.records import Record, What, summary
from course_lib.runner.time_limit import CallLimit


class Work(NamedTuple):
    """What a call gave: frames to send, and records of mistakes."""

    frames: list[OutgoingFrame]
    mistakes: list[Record]


class Station:
    """One place. `order` is its place among all places, which decides ties between timers."""

    def __init__(
        self,
        order: int,
        name: str,
        kind: str,
        handler: FrameHandler,
        interfaces: Sequence[Interface],
        limit: CallLimit,
    ) -> None:
        self.order, self.name = order, name
        self.interfaces = {interface.name: interface for interface in interfaces}
        self.armed_s = math.inf  # for when the clock has been asked to call `tick`
        self._guard = Guard(name, kind, handler, limit)

    @property
    def is_stopped(self) -> bool:
        """True once it has failed to come back from a call."""
        return self._guard.is_stopped

    def receive(self, now_s: float, interface: str, frame: bytes) -> Work:
        """Hand it a frame that came in."""

        def about() -> str:
            return f"a frame on {interface!r} ({summary(frame)})"

        reply = self._guard.ask(now_s, "receive", now_s, interface, frame, about=about)
        return self._work(now_s, reply, lambda: f"receive() for {about()}")

    def tick(self, now_s: float) -> Work:
        """Let it do what is due."""
        return self._work(now_s, self._guard.ask_tick(now_s), lambda: "tick()")

    def due_s(self, now_s: float) -> tuple[float, list[Record]]:
        """Return when it wants `tick` to be called, and what was wrong with its answer."""
        reply = self._guard.ask(now_s, "next_tick_s")
        if reply.mistake is not None or self.is_stopped:
            return math.inf, [] if reply.mistake is None else [reply.mistake]
        due_s, problem = checked_time(reply.value)
        if problem is None:
            return due_s, []
        return due_s, [self._guard.mistake(now_s, What.REFUSED, problem)]

    def _work(self, now_s: float, reply: Reply, doing: Callable[[], str]) -> Work:
        if reply.mistake is not None:
            return Work([], [reply.mistake])
        if self.is_stopped:
            return Work([], [])
        frames, problems = checked_frames(reply.value, self.interfaces)
        texts = [f"{doing()}: {problem}" for problem in problems]
        return Work(frames, [self._guard.mistake(now_s, What.REFUSED, text) for text in texts])
