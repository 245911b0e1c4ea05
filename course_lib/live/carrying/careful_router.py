"""A router that somebody is still writing, between real hosts.

Whatever it does, the network goes on: what is wrong is kept as a sentence, and what is good in the
same answer is sent. A call that does not come back is ended, and the router is not called again
(`course_lib.network.careful_calls` has the same care in event time).
"""

__all__ = ["CarefulRouter"]

import math
from collections import deque
from collections.abc import Callable, Mapping

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network.careful_calls import FrameHandler, Guard, read_frames, read_time
from course_lib.network.records import Record
from course_lib.runner.time_limit import CallLimit

MOST_COMPLAINTS = 100  # the newest are kept
MOST_TICKS_AT_ONCE = 1000  # more is a timer that is always due


class CarefulRouter:
    """Calls a router, and keeps what is to be said about it in `complaints`.

    tell: is called with each complaint, when it comes up.
    """

    def __init__(
        self,
        name: str,
        router: FrameHandler,
        interfaces: Mapping[str, Interface],
        limit: CallLimit,
        tell: Callable[[str], None] = lambda text: None,
    ) -> None:
        self.router = router
        self.complaints: deque[str] = deque(maxlen=MOST_COMPLAINTS)
        self.complained = 0  # how often, also where the sentence is gone
        self._interfaces = interfaces
        self._tell = tell
        self._guard = Guard(name, "router", router, limit, self._write_down)

    @property
    def is_stopped(self) -> bool:
        """True once a call did not come back: then nothing is called any more."""
        return self._guard.is_stopped

    def receive(
        self, now_s: float, interface: str, frame: bytes, by: FrameHandler | None = None
    ) -> list[OutgoingFrame]:
        """Hand a frame to the router; return what can be sent of its answer.

        by: who takes it in the router's place, and is treated with the same care.
        """
        self._guard.thing = self.router if by is None else by

        def about() -> str:
            return f"a frame of {len(frame)} octets that came on {interface!r}"

        answer = self._guard.ask(
            now_s, "receive", now_s, interface, frame, read=self._frames, about=about
        )
        self._guard.thing = self.router
        return answer or []

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Let the router do what is due."""
        return self._guard.ask(now_s, "tick", now_s, read=self._frames) or []

    def next_tick_s(self, now_s: float) -> float:
        """Ask when `tick` is wanted next; infinity for never."""
        due_s = self._guard.ask(now_s, "next_tick_s", read=read_time)
        return math.inf if due_s is None else due_s

    def ticks_until(self, now_s: float, due_s: float) -> tuple[list[OutgoingFrame], float]:
        """Do what is due by then, each at its time; return frames, and what is due next."""
        frames: list[OutgoingFrame] = []
        for _ in range(MOST_TICKS_AT_ONCE):
            if due_s > now_s or self.is_stopped:
                return frames, due_s
            frames += self.tick(max(due_s, 0.0))
            due_s = self.next_tick_s(now_s)
        self._guard.stop(now_s, "next_tick_s() wants tick() at this time again and again")
        return frames, math.inf

    def complain(self, text: str) -> None:
        """Keep a sentence, and tell it."""
        self.complaints.append(text)
        self.complained += 1
        self._tell(text)

    def _frames(self, answer: object) -> tuple[list[OutgoingFrame], list[str]]:
        return read_frames(self._interfaces, answer)

    def _write_down(self, record: Record) -> None:
        self.complain(record.text)
