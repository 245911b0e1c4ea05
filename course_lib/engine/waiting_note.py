"""Say what takes so long, while it does.

Whoever waits half a second without a word begins to wonder, and after some seconds presses Ctrl-C.
So a note is printed once something has taken that long, and its end when it is over:

    Preparing serve for its first run ... ready after 3.8 s.

It goes to the standard output, in a terminal and in a notebook alike. What is quick prints nothing.
"""

__all__ = ["finish_first", "silence", "waiting_note"]

import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from types import FrameType

_DELAY_S = 0.5
_is_told = ContextVar("_is_told", default=False)  # is somebody further out saying it already?


@contextmanager
def waiting_note(
    doing: str, tell_on: Callable[[], str] = str, delay_s: float = _DELAY_S
) -> Iterator[None]:
    """Print `doing` if the block takes longer than the delay, and at its end how long it took.

    `tell_on` is asked, at the end, for a sentence to add. Notes inside a note are not printed.
    """
    if _is_told.get():
        yield
        return
    start = time.perf_counter()
    note = _Note(f"{doing} ...")
    timer = threading.Timer(delay_s, note.begin)
    timer.daemon = True
    outside = _is_told.set(True)
    timer.start()
    try:
        yield
    except BaseException:
        note.end(timer, f" given up after {time.perf_counter() - start:.1f} s.")
        raise
    else:
        note.end(timer, f" ready after {time.perf_counter() - start:.1f} s. {tell_on()}".rstrip())
    finally:
        _is_told.reset(outside)


@contextmanager
def silence() -> Iterator[None]:
    """Print no notes inside the block: whoever opens it tells how it goes on."""
    outside = _is_told.set(True)
    try:
        yield
    finally:
        _is_told.reset(outside)


class _Note:
    """A line that is printed in two parts, by two threads."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._is_shown = False
        self._lock = threading.Lock()

    def begin(self) -> None:
        with self._lock:
            if self._text:
                print(self._text, end="", flush=True)
                self._is_shown = True

    def end(self, timer: threading.Timer, text: str) -> None:
        timer.cancel()
        with self._lock:
            self._text = ""
            if self._is_shown:
                print(text, flush=True)


@contextmanager
def finish_first() -> Iterator[None]:
    """Let the block come to its end before a Ctrl-C takes effect.

    For work that must not stay half done, such as loading a library: interrupted in the middle, it
    would be broken for as long as Python runs. Works in the main thread, where Ctrl-C arrives.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    wanted: list[int] = []

    def later(number: int, frame: FrameType | None) -> None:
        wanted.append(number)  # and no more: to print from here could wait for a lock for ever

    before = signal.signal(signal.SIGINT, later)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.SIG_DFL if before is None else before)
    if wanted:
        raise KeyboardInterrupt
