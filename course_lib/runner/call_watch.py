"""End a call from another thread, where no signal of the system can.

Python lets one thread raise an error in another (`PyThreadState_SetAsyncExc` in the C API: "Thread
State and the Global Interpreter Lock"). The call is out at its next line: not before it comes back
from a sleep, or from one long operation of Python's own. A call that catches the error and goes on
gets it anew, a thousand times a second.

What the call has computed is what its thread has. Where the system does not tell that of a thread,
it is what the process has, which is more if other threads were busy.
"""

__all__ = ["CallWatch"]

import contextlib
import ctypes
import threading
import time
from collections.abc import Callable

LOOKS_EVERY_S = 0.1  # so much later than its limit a call may be ended
INSISTS_EVERY_S = 0.001


class CallWatch:
    """Watches the calls of the thread that makes it, from a thread of its own, until `close`.

    error: is raised in a call that computes for longer than `limit_s`, or lasts `patience_s`.
    words: which of both the last one did that was ended.
    """

    def __init__(self, limit_s: float, patience_s: float, error: type[BaseException]) -> None:
        self.words = ""
        self._limits_s, self._error = (limit_s, patience_s), error
        self._number = self._running = 0  # of calls so far; of the one that runs, 0 for none
        self._lock, self._is_over = threading.RLock(), threading.Event()
        self._watched, self._computed_s = threading.get_ident(), _clock_of_this_thread()
        self._thread = threading.Thread(target=self._watch, name="call watch", daemon=True)
        self._thread.start()

    def begin(self) -> None:
        """Take note that a call begins."""
        self._number += 1
        self._running = self._number

    def end(self) -> None:
        """Take note that it has ended. From now on nothing is raised, not even what was on its way.

        The error may fall in here; then it comes too late.
        """
        while True:
            with contextlib.suppress(self._error):
                with self._lock:
                    self._running = 0
                for _ in range(2):  # what was on its way comes when a loop is turned, and no later
                    pass
                return

    def close(self) -> None:
        """Watch no more."""
        self._is_over.set()
        self._thread.join()

    def _watch(self) -> None:
        seen, begun_s, wait_s = 0, (0.0, 0.0), LOOKS_EVERY_S
        while not self._is_over.wait(wait_s):
            now_s = self._computed_s(), time.monotonic()
            with self._lock:
                if not self._running:
                    wait_s = LOOKS_EVERY_S
                elif self._running != seen:
                    seen, begun_s, wait_s, self.words = self._running, now_s, LOOKS_EVERY_S, ""
                elif self.words or self._is_too_long(now_s, begun_s):
                    wait_s = INSISTS_EVERY_S
                    _raise_in(self._watched, self._error)

    def _is_too_long(self, now_s: tuple[float, float], begun_s: tuple[float, float]) -> bool:
        for now, begun, most, doing in zip(
            now_s, begun_s, self._limits_s, ("computing", "waiting"), strict=True
        ):
            if now - begun >= most:
                self.words = f"no end after {most:g} s of {doing}"
                return True
        return False


def _clock_of_this_thread() -> Callable[[], float]:
    """Return what tells any thread how long this one has computed, or else the whole process."""
    if not hasattr(time, "pthread_getcpuclockid"):
        return time.process_time
    clock = time.pthread_getcpuclockid(threading.get_ident())
    return lambda: time.clock_gettime(clock)


def _raise_in(thread: int, error: type[BaseException]) -> None:
    """Raise an error in another thread.

    It can be taken back, too; but Python 3.11 then looks for it at each step ever after.
    """
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(error))
