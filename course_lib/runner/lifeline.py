"""Tie a process to us: when we end, however that comes, it ends too.

We hold one end of a pipe through which nothing is ever sent, the process holds the other.
Whatever ends us closes our end, and the kernel then kills the process and all others of its
group (`F_SETSIG` and `F_SETOWN` in fcntl(2)). The process itself need not do anything, so
one that never comes back from a loop in C ends too. Only Linux has this: elsewhere a process
outlives whoever started it until its limit of processor time.
"""

__all__ = ["Lifeline"]

import contextlib
import importlib
import os
import signal
from typing import Any

try:
    FCNTL: Any = importlib.import_module("fcntl")
except ImportError:  # Windows has none
    FCNTL = None
CAN_TIE = hasattr(FCNTL, "F_SETSIG")


class Lifeline:
    """A pipe between us and one process: pass `theirs` on to it, `tie` it, and `close` at its end.

    The process must be the first of a process group of its own.
    """

    def __init__(self) -> None:
        self._reader: int | None = None
        self._ours = None
        if CAN_TIE:
            self._reader, ours = os.pipe()
            self._ours = os.fdopen(ours, "wb", buffering=0)

    @property
    def theirs(self) -> tuple[int, ...]:
        """Return the descriptors that the process must inherit: one, or none."""
        return () if self._reader is None else (self._reader,)

    def tie(self, pid: int) -> None:
        """Let the process and its group be killed when our end closes."""
        if self._reader is not None:
            with contextlib.suppress(OSError):  # a Linux that cannot: as elsewhere
                FCNTL.fcntl(self._reader, FCNTL.F_SETSIG, signal.SIGKILL)
                FCNTL.fcntl(self._reader, FCNTL.F_SETOWN, -pid)
                FCNTL.fcntl(self._reader, FCNTL.F_SETFL, os.O_ASYNC)
            self._drop_theirs()

    def close(self) -> None:
        """Let go; whatever the process has started and left in its group ends now."""
        self._drop_theirs()
        if self._ours is not None:
            self._ours.close()

    def _drop_theirs(self) -> None:
        if self._reader is not None:
            os.close(self._reader)
            self._reader = None
