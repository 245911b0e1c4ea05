"""End a call that does not come back, where that can be done safely.

A router that somebody is still writing may loop for ever, or sleep. The operating system can
interrupt it: it sends a signal, and Python then raises an error inside the call. There are two
limits. Computing time is the one that counts, so that a busy machine does not make a good router
look slow; the time of day, `PATIENCE` times as long, ends a call that waits and does not compute.
This works on Linux and macOS, where there are timers for both, and in the main thread, as Python
handles signals nowhere else. Elsewhere another thread keeps watch (`call_watch`): it can do the
same, but for a call that sleeps.

In one place Python throws errors away: in code that it runs of its own accord between two lines of
the call, such as `__del__` or a callback of the garbage collector. An interruption that falls there
ends that code only. So from the first interruption on, everything that the call is in, and every
function that it calls, is traced, and the error is raised anew at its next line: until it is out.

None of this helps against a call that is busy inside one long operation such as 10**10**10, or
that catches each and every error and goes on. Nothing inside one process can end those. When work
is marked, it runs in a process of its own, which can be ended whatever it does: see
`course_lib.runner.runner`.
"""

__all__ = ["CallLimit", "TookTooLongError"]

import signal
import sys
import threading
from collections.abc import Callable
from types import FrameType, TracebackType
from typing import TYPE_CHECKING, Any, NamedTuple, Self, TypeVar

from course_lib.runner.call_watch import CallWatch

if TYPE_CHECKING:
    from sys import UnraisableHookArgs

    from _typeshed import TraceFunction

T = TypeVar("T")

PATIENCE = 20  # so many times the limit may pass by the clock on the wall


class TookTooLongError(Exception):
    """A call was ended because it used up its time."""


class _TimeIsUp(BaseException):
    """No `Exception`, so that a router's `except Exception` lets it through."""


class _Timer(NamedTuple):
    """A timer of the system, the signal that it sends, and what a call has then done too long."""

    number: int
    signal: int
    limit_s: float
    doing: str


class CallLimit:
    """Within a `with` block, `call` gives every call at most `limit_s` of computing time.

    A block within a block changes nothing.

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
        self._blocks = 0  # one within the other
        self._watch: CallWatch | None = None  # where signals do not come
        self._timers: list[_Timer] = []  # those that are set up
        self._old_handlers: list[Any] = []
        self._old_hook: Callable[[UnraisableHookArgs], Any] = sys.unraisablehook
        self._has_interrupted = False

    def __enter__(self) -> Self:
        self._blocks += 1
        if self.limit_s is None or self._blocks > 1:
            return self
        here = threading.current_thread() is threading.main_thread()
        if not here or not hasattr(signal, "setitimer"):
            self._watch = CallWatch(self.limit_s, PATIENCE * self.limit_s, _TimeIsUp)
        else:
            self._timers = _timers(self.limit_s)
            self._old_handlers = [signal.signal(t.signal, self._time_is_up) for t in self._timers]
            self._old_hook, sys.unraisablehook = sys.unraisablehook, self._thrown_away
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self._blocks -= 1
        if self._blocks:
            return
        if self._watch is not None:
            self._watch.close()
            self._watch = None
        for timer, handler in zip(self._timers, self._old_handlers, strict=True):
            signal.signal(timer.signal, handler or signal.SIG_DFL)
        if self._timers:
            sys.unraisablehook = self._old_hook
        self._timers, self._old_handlers = [], []

    def call(self, function: Callable[..., T], *arguments: object) -> T:
        """Return what the function returns; raises `TookTooLongError` if its time is up."""
        if self._watch is not None:
            return _watched(self._watch, function, arguments)
        if not self._timers:
            return function(*arguments)
        trace = sys.gettrace()
        try:
            self._is_running, self._has_interrupted = True, False
            for timer in self._timers:
                # Repeated, in case the call catches the first interruption and goes on.
                signal.setitimer(timer.number, timer.limit_s, timer.limit_s)
            try:
                return function(*arguments)
            finally:
                self._is_running = False
        except _TimeIsUp as end:
            raise TookTooLongError(str(end)) from None
        finally:
            self._is_running = False
            for timer in self._timers:
                signal.setitimer(timer.number, 0)
            if self._has_interrupted:  # then lines may still be traced, or a debugger have given up
                sys.settrace(trace)

    def _time_is_up(self, number: int, frame: FrameType | None) -> None:
        is_busy_ending = frame is not None and frame.f_code is CallLimit._thrown_away.__code__
        if self._is_running and not is_busy_ending:  # it may come when the call has just returned
            self._has_interrupted = True
            sys.unraisablehook = self._thrown_away  # the call may have put one of its own there
            timer = next(timer for timer in self._timers if timer.signal == number)
            end = _TimeIsUp(f"no end after {timer.limit_s:g} s {timer.doing}")
            self._insist(end, frame)
            raise end

    def _thrown_away(self, what: "UnraisableHookArgs") -> None:
        """Python has thrown an error away: if it is ours, do not let it rest.

        An error that leaves a trace function ends the tracing, so it is turned on again here. To
        wait for the next signal would not do: it may fall into such code each time.
        """
        end = what.exc_value
        if not isinstance(end, _TimeIsUp):
            self._old_hook(what)
        elif self._is_running:
            self._insist(end, sys._getframe(1))

    def _insist(self, end: _TimeIsUp, frame: FrameType | None) -> None:
        """Raise an error at the next line of a frame, of its callers, or of what they call."""

        def trace(of: FrameType, event: str, argument: object) -> "TraceFunction":
            if self._is_running and event in ("call", "line") and of.f_code not in _OWN_CODE:
                raise end
            return trace

        sys.settrace(trace)
        while frame is not None and frame.f_code is not CallLimit.call.__code__:
            frame.f_trace = trace
            frame = frame.f_back


def _watched(watch: CallWatch, function: Callable[..., T], arguments: tuple[object, ...]) -> T:
    try:
        try:
            watch.begin()
            return function(*arguments)
        finally:
            watch.end()
    except _TimeIsUp:
        raise TookTooLongError(watch.words) from None


def _timers(limit_s: float) -> list[_Timer]:
    """Return both timers; that of the wall clock only if nobody else has set it."""
    timers = [_Timer(signal.ITIMER_VIRTUAL, signal.SIGVTALRM, limit_s, "of computing")]
    if signal.getitimer(signal.ITIMER_REAL)[0] == 0:
        patience_s = PATIENCE * limit_s
        timers.append(_Timer(signal.ITIMER_REAL, signal.SIGALRM, patience_s, "of waiting"))
    return timers


_OWN_CODE = {
    method.__code__
    for method in (CallLimit.call, CallLimit._time_is_up, CallLimit._thrown_away, CallLimit._insist)
}
