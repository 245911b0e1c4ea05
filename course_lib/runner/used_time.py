"""How long a process has computed, and how long it was ready to but others did; seen from outside.

Of two answers that compute the same, the one on a busy machine takes longer on the clock on the
wall. So what counts is the time of the processor, which the kernel keeps for each process and
nothing in the process can change.
"""

__all__ = ["Used", "used_by"]

import contextlib
import sys
import time
from pathlib import Path
from typing import NamedTuple

MOST_BELOW = 1_000  # processes that are looked at
KEPT_BY_THE_SCHEDULER = 2  # CPUCLOCK_SCHED in linux/posix-timers_types.h


class Used(NamedTuple):
    """What a process has used since it began, in seconds."""

    computed_s: float
    queued_s: float

    def since(self, earlier: "Used") -> "Used":
        """Return what has been used since an earlier look."""
        return Used(self.computed_s - earlier.computed_s, self.queued_s - earlier.queued_s)


def used_by(pid: int | None) -> Used | None:
    """Return what a process has used; None if nobody can tell, or it has ended.

    All its threads count, and the processes below it that are there now: who starts many of them
    waits for the processor because of nobody else. Only Linux tells.
    """
    if pid is None or sys.platform != "linux":
        return None
    try:
        computed_s = _computed_s(pid)
        _, queued_ns, *_ = Path(f"/proc/{pid}/schedstat").read_text().split()  # proc(5)
    except (OSError, ValueError):
        return None
    below_s = 0.0
    for one in _below(pid):
        with contextlib.suppress(OSError):  # it has just ended
            below_s += _computed_s(one)
    return Used(computed_s + below_s, int(queued_ns) / 1e9)


def _computed_s(pid: int) -> float:
    """Read the clock that every process has, known by a number made of its own.

    See clock_getcpuclockid(3).
    """
    return time.clock_gettime(~pid << 3 | KEPT_BY_THE_SCHEDULER)


def _below(pid: int) -> list[int]:
    """Return the processes that a process started and has not outlived, and theirs."""
    found, waiting = list[int](), [pid]
    while waiting and len(found) < MOST_BELOW:
        one = waiting.pop()
        with contextlib.suppress(OSError):  # it has just ended
            for listed in Path(f"/proc/{one}/task").glob("*/children"):
                children = [int(child) for child in listed.read_text().split()]
                found += children
                waiting += children
    return found
