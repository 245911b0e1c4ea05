"""The play-out buffer of a call: frames come when they come, and are heard at a steady pace.

The first frame that comes is held for a while, and all others are due at its pace from then on. So
a frame may be slower than the first one by what the buffer holds. What comes later is of no use any
more, though it has come: for the ear, late is lost. A longer buffer saves more frames and makes
both sides wait longer before they hear each other.

Only delays count, so a stream of the simulated network is played out as one of a real network is.
"""

__all__ = ["Fate", "play_out"]

from enum import StrEnum

from course_lib.network.probes import StreamReport


class Fate(StrEnum):
    """What became of a frame of a stream."""

    IN_TIME = "in time"
    LATE = "late"
    LOST = "lost"


def play_out(report: StreamReport, buffer_s: float) -> tuple[Fate, ...]:
    """Return the fate of each frame of a stream, by its number, with a buffer of so many seconds.

    >>> report = StreamReport(4, {1: 0.020, 3: 0.060, 2: 0.095})
    >>> [str(fate) for fate in play_out(report, 0.05)]
    ['in time', 'late', 'in time', 'lost']
    """
    if buffer_s < 0:
        raise ValueError(f"buffer_s must be 0 or more, not {buffer_s}")
    if not report.delays_s:
        return (Fate.LOST,) * report.sent
    first_s = next(iter(report.delays_s.values()))
    return tuple(
        _fate(report.delays_s.get(number), first_s + buffer_s)
        for number in range(1, report.sent + 1)
    )


def _fate(delay_s: float | None, longest_s: float) -> Fate:
    if delay_s is None:
        return Fate.LOST
    return Fate.IN_TIME if delay_s <= longest_s else Fate.LATE
