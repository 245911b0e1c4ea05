"""A stream across the room, as it comes out: what was played, what came too late, what never came.

Datagrams have numbers from 1 on and leave at a steady pace. The clocks of two machines differ, so a
time on the way is compared with the shortest one only: what took `PLAY_OUT_S` longer is too late to
be played. How long the stream stalled is told by numbers: so many were missing, one each interval.
"""

__all__ = ["StreamWatch"]

import math

from course_lib.joining.messages import Arrived
from instructor.joined_room.room_view import Heard, StreamView

PLAY_OUT_S = 0.1  # common practice, no published source: what a play-out buffer holds
QUIET_S = 0.25  # shorter pauses are no stall
SHOWN_QUIET_S = 0.75  # while it lasts: members tell of arrivals four times a second
SETTLED_S = 1.0  # what has not come by then, and came behind nothing, counts as lost
STRIP = 150
_KEPT = 3000  # numbers, for duplicates and the strip


class StreamWatch:
    """One stream, from its beginning; `take` what the destination says."""

    def __init__(
        self, number: int, ends: tuple[int, int], count: int, interval_s: float, now_s: float
    ) -> None:
        self.number, self.ends, self.count, self.interval_s = number, ends, count, interval_s
        self._is_late = dict[int, bool]()  # of those that came, by number
        self._received = self._late = self._highest = 0
        self._least_s = math.inf
        self._told_quiet = (now_s, 0.0)
        self._back_after_s: float | None = None

    def take(self, now_s: float, told: Arrived) -> None:
        """Take in what has come since the last time."""
        for number, delay_s in told.datagrams:
            if 1 <= number <= self.count and number > self._highest - _KEPT:
                self._take(number, delay_s)
        self._told_quiet = (now_s, max(0.0, told.quiet_s))
        for number in [each for each in self._is_late if each <= self._highest - _KEPT]:
            del self._is_late[number]

    def view(self, now_s: float, ends: tuple[str, str], path: tuple[str, ...]) -> StreamView:
        """Return what the screen shows. path: the piers on the way, () if nobody knows them."""
        told_s, quiet_s = self._told_quiet
        quiet_s += now_s - told_s
        sent = self._sent_after(quiet_s - SHOWN_QUIET_S)
        settled = self._sent_after(quiet_s - SETTLED_S)
        is_over = sent >= self.count
        return StreamView(
            *ends, path, sent, self._received, self._late,
            max(0, settled - self._received), tuple(map(self._fate, self._last(settled))),
            quiet_s if quiet_s >= SHOWN_QUIET_S and not is_over else None,
            self._back_after_s,
        )  # fmt: skip

    def _take(self, number: int, delay_s: float) -> None:
        if number in self._is_late:
            return
        if self._received and number > self._highest:
            stalled_s = (number - self._highest) * self.interval_s
            if stalled_s >= QUIET_S:
                self._back_after_s = stalled_s
        self._least_s = min(self._least_s, delay_s)
        is_late = delay_s > self._least_s + PLAY_OUT_S
        self._is_late[number] = is_late
        self._received, self._late = self._received + 1, self._late + is_late
        self._highest = max(self._highest, number)

    def _sent_after(self, quiet_s: float) -> int:
        """Return how many were sent: who is heard tells it, and in a silence the pace does."""
        unheard = int(max(0.0, quiet_s) / self.interval_s) if self._received else 0
        return min(self.count, self._highest + unheard)

    def _last(self, settled: int) -> range:
        return range(max(1, settled - STRIP + 1), settled + 1)

    def _fate(self, number: int) -> Heard:
        is_late = self._is_late.get(number)
        return "lost" if is_late is None else "late" if is_late else "played"
