"""What has come of a stream, gathered for the room: a few messages a second, for any stream."""

__all__ = ["EVERY_S", "StreamArrivals"]

import threading

from course_lib.joining.messages import Arrived

EVERY_S = 0.25
MOST_AT_ONCE = 1000


class StreamArrivals:
    """Gathers arrivals of one stream; any thread may add. Times are of one clock, in seconds."""

    def __init__(self, stream: int, now_s: float) -> None:
        self._stream, self._latest_s = stream, now_s
        self._came, self._lock = list[tuple[int, float]](), threading.Lock()

    def add(self, now_s: float, number: int, delay_s: float) -> None:
        """Take note of a datagram."""
        with self._lock:
            self._latest_s = now_s
            self._came.append((number, delay_s))
            del self._came[:-MOST_AT_ONCE]

    def gathered(self, now_s: float) -> Arrived:
        """Return what has come since the last time."""
        with self._lock:
            came, self._came = self._came, []
            return Arrived(self._stream, tuple(came), max(0.0, now_s - self._latest_s))
