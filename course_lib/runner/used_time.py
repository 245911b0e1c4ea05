"""How long a process has computed, and how long it was ready to but others did; seen from outside.

Of two answers that compute the same, the one on a busy machine takes longer on the clock on the
wall. So what counts is the time of the processor, which the kernel keeps for each process and
nothing in the process can change.
"""

__all__ = ["Used", "used_by"]

import sys
import time
from pathlib import Path
from typing import NamedTuple

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

    All its threads count, but no process that it started. Only Linux tells.
    """
    if pid is None or sys.platform != "linux":
        return None
    try:
        # Every process has a clock, known by a number made of its own: clock_getcpuclockid(3).
        computed_s = time.clock_gettime(~pid << 3 | KEPT_BY_THE_SCHEDULER)
        _, queued_ns, *_ = Path(f"/proc/{pid}/schedstat").read_text().split()  # proc(5)
    except (OSError, ValueError):
        return None
    return Used(computed_s, int(queued_ns) / 1e9)
