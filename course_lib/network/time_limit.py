"""End a call that does not come back, where that can be done safely.

A router that somebody is still writing may loop for ever. The operating system can interrupt it
after some time of computing: it sends a signal, and Python then raises an error inside the call.
This works

* on Linux and macOS, where there is a timer for computing time, and
* in the main thread, as Python handles signals nowhere else.

Elsewhere the calls are made without a limit. Nor does it help against a call that sleeps (it does
not compute), that is busy inside one long operation such as 10**10**10, or that catches each and
every error and goes on. Nothing inside one process can end those. When work is marked, it runs in
a process of its own, which can be ended whatever it does: see `course_lib.exercises.runner`.

Computing time is used, and not the time of day, so that a busy machine does not make a good router
look slow.
"""

__all__ = ["CallLimit", "TookTooLongError"]

import signal
import threading
from collections.abc import Callable
from types import FrameType, TracebackType
from typing import Any, Self, TypeVar

T = TypeVar("T")


class TookTooLongError(Exception):
    """A call was ended because it used up its time."""


class _TimeIsUp(BaseException):
    """No `Exception`, so that a router's `except Exception` lets it through."""


class CallLimit:
    """Within a `with` block, `call` gives every call at most `limit_s` of computing time.

    >>> with CallLimit(1.0) as limit:
    ...     limit.call(pow, 2, 10)
    1024
    """

    def __init__(self, limit_s: float | None) -> None:
        """Take the limit; None is no limit."""
        if limit_s is not None and not limit_s > 0:
            raise ValueError(f"a call needs some time: limit_s must be more than 0, not {limit_s}")
        self.limit_s = limit_s
        self._is_running = False
        self._is_set_up = False
        self._old_handler: Any = None

    def __enter__(self) -> Self:
        here = threading.current_thread() is threading.main_thread()
        if self.limit_s is not None and here and hasattr(signal, "setitimer"):
            self._old_handler = signal.signal(signal.SIGVTALRM, self._time_is_up)
            self._is_set_up = True
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        if self._is_set_up:
            signal.signal(signal.SIGVTALRM, self._old_handler or signal.SIG_DFL)
            self._is_set_up = False

    def call(self, function: Callable[..., T], *arguments: object) -> T:
        """Return what the function returns; raises `TookTooLongError` if its time is up."""
        if not self._is_set_up or self.limit_s is None:
            return function(*arguments)
        try:
            self._is_running = True
            # Repeated, in case the call catches the first interruption and goes on.
            signal.setitimer(signal.ITIMER_VIRTUAL, self.limit_s, self.limit_s)
            try:
                return function(*arguments)
            finally:
                self._is_running = False
        except _TimeIsUp:
            raise TookTooLongError(f"no end after {self.limit_s:g} s of computing") from None
        finally:
            self._is_running = False
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)

    def _time_is_up(self, number: int, frame: FrameType | None) -> None:
        if self._is_running:  # the signal may come a moment after the call has returned
            raise _TimeIsUp
