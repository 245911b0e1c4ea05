"""What is said when grading stops before its end: what is safe, and how to go on.

Nothing is ever half written, so stopping is harmless; but the person at the terminal
must know that. A first Ctrl-C ends the workers, and with them what is running; a second
one ends everything at once, and loses no more than the first.
"""

__all__ = ["STOPPED_STATUS", "GradingStoppedError", "in_words", "stopped_by_hand"]

import contextlib
import errno
import os
import signal
import sqlite3
import sys
import threading
from collections.abc import Iterator
from types import FrameType

from instructor.grading.workers.crew import WorkersLostError

STOPPED_STATUS = 130  # as shells give it to what was interrupted (128 + SIGINT)
DISK_FULL = frozenset({errno.ENOSPC, errno.EDQUOT})
FULL_WORDS = ("disk is full", "no space left on device", "could not extend file")
GO_ON = "Nothing is half written: run the same command again, and it goes on from there."


class GradingStoppedError(RuntimeError):
    """Grading stopped before its end; the text says what is safe and how to go on."""

    def __init__(self, text: str, status: int) -> None:
        super().__init__(text)
        self.status = status


@contextlib.contextmanager
def stopped_by_hand() -> Iterator[None]:
    """Turn the first Ctrl-C, or a request to end, into `KeyboardInterrupt`; the second ends all."""
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread may listen to signals
        return
    kinds = (signal.SIGINT, signal.SIGTERM)
    before = [signal.signal(kind, _stop) for kind in kinds]
    try:
        yield
    finally:
        for kind, handler in zip(kinds, before, strict=True):
            signal.signal(kind, handler)


def in_words(problem: BaseException, done: int, of: int) -> GradingStoppedError | None:
    """Say why grading stopped, if it is something that can be mended from outside; else None."""
    from sqlalchemy.exc import OperationalError

    safe = f"{done} of {of} hand-ins are graded and safe.\n{GO_ON}"
    if isinstance(problem, KeyboardInterrupt):
        return GradingStoppedError(f"Stopped. {safe}", STOPPED_STATUS)
    if isinstance(problem, WorkersLostError):
        return GradingStoppedError(f"{problem}\n{safe} Without --cluster, it does so here.", 1)
    text = str(problem)
    full = isinstance(problem, OSError) and problem.errno in DISK_FULL
    if full or any(words in text.lower() for words in FULL_WORDS):
        where = getattr(problem, "filename", None)
        place = f" (at {where})" if where else ""
        return GradingStoppedError(f"The disk is full{place}: make room on it.\n{safe}", 1)
    if isinstance(problem, sqlite3.OperationalError | OperationalError):
        first = text.strip().splitlines()[0] if text.strip() else type(problem).__name__
        return GradingStoppedError(f"The gradebook cannot be used: {first}.\n{safe}", 1)
    return None


def _stop(number: int, frame: FrameType | None) -> None:
    for kind in (signal.SIGINT, signal.SIGTERM):
        signal.signal(kind, _stop_at_once)
    print("\nStopping. Press Ctrl-C again to end at once; no more is lost.",
          file=sys.stderr, flush=True)  # fmt: skip
    raise KeyboardInterrupt


def _stop_at_once(number: int, frame: FrameType | None) -> None:
    os._exit(STOPPED_STATUS)
