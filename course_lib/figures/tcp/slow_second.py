"""A second of a run in slow motion: at each moment what waits, what is under way, what fell out.

All of it is read from a trace with a sample for each packet time, in which the line sends one
packet or none. So a packet that left the line k samples ago is k places along the pipe.
"""

__all__ = ["EVERY", "Moment", "slow_second"]

from typing import NamedTuple

import numpy as np

from course_lib.ferry.shared_line import PIPE_PACKETS
from course_lib.tcp.simulation import TcpRun

EVERY = 100  # samples from one moment to the next
_MOMENTS = 42  # make a second: 4,200 samples of 0.24 ms are 1.008 s


class Moment(NamedTuple):
    """The state at one time. `sent` are numbers of samples at which the line sent a packet.

    They go back over one pipe; `sample` is the number of now. `fallen` counts what the buffer has
    dropped since the moment before, `waiting` the packets in it.
    """

    at_s: float
    sample: int
    waiting: int
    sent: tuple[int, ...]
    fallen: int


def slow_second(run: TcpRun) -> tuple[Moment, ...]:
    """Return the moments of the last second that ends with a dropped packet.

    If none was dropped from `from_s` on, those of the last second. The trace must have a sample for
    each packet time, and be longer than a second and the pipe.
    """
    left, dropped = run.trace.left, run.trace.dropped
    first = max(_MOMENTS * EVERY + PIPE_PACKETS, int((run.trace.at_s < run.from_s).sum()))
    if len(left) <= first:
        raise ValueError(f"a trace of {len(left)} samples is too short: {first + 1} are needed")
    falls = np.flatnonzero(np.diff(dropped[first:])) + first + 1
    last = int(falls[-1]) if len(falls) else len(left) - 1
    return tuple(_moment(run, last - EVERY * back) for back in range(_MOMENTS, -1, -1))


def _moment(run: TcpRun, sample: int) -> Moment:
    trace, start = run.trace, sample - PIPE_PACKETS
    sent = np.flatnonzero(np.diff(trace.left[start : sample + 1])) + start + 1
    return Moment(
        float(trace.at_s[sample]),
        sample,
        int(trace.waiting[sample]),
        tuple(sent.tolist()),
        int(trace.dropped[sample] - trace.dropped[max(sample - EVERY, 0)]),
    )
