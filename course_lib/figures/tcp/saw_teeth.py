"""Draw the windows of all flows over time: many small saw-teeth, and above them their sum.

All share one axis of time. Where the teeth break off at different times, the sum is nearly level;
where they break off together, it is one big tooth. Each small one is drawn from its lowest window
to its highest, so that all of them can be seen.
"""

__all__ = ["MOST_FLOWS", "Teeth", "saw_teeth", "teeth_of", "time_mark"]

from typing import NamedTuple

import numpy as np

from course_lib.ferry.shared_line import PIPE_PACKETS, ROUND_TRIP_S
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import group, label, path
from course_lib.figures.headers.header_words import counted
from course_lib.figures.tcp.slow_second import Moment
from course_lib.tcp.simulation import TcpRun

MOST_FLOWS = 25  # that are drawn; the sum is of all
_LEFT, _RIGHT = 516.0, 844.0  # pixels, as all that follows
_SUM_TOP, _SUM_FOOT = 172.0, 236.0
_ROWS_TOP, _ROWS_FOOT = 262.0, 412.0
_TOOTH = 10.0  # how high a row is at least; it may reach into the one above
_LOWEST = 100.0  # packets: where the axis of the sum begins
_POINTS = 100  # of each line
_TEETH_SHOWN = 6
_SHORTEST_S, _LONGEST_S = 2.0, 20.0
_SMALL = 12.5


class Teeth(NamedTuple):
    """The windows of the last seconds of a run, in packets: of all flows together, and of each.

    `full` is how many packets pipe and buffer hold; `flows` counts those that are not drawn, too.
    """

    times_s: tuple[float, ...]
    sums: tuple[float, ...]
    windows: tuple[tuple[float, ...], ...]
    full: int
    flows: int


def teeth_of(run: TcpRun) -> Teeth:
    """Read the teeth from a trace; there are as many seconds as some six teeth take."""
    flows, full = len(run.flows.round_trip_s), PIPE_PACKETS + run.buffer_packets
    # Half of a flow's share is gained a packet at a time, one in each round trip.
    tooth_s = full / (2 * flows) * ROUND_TRIP_S * full / PIPE_PACKETS
    shown_s = min(max(_TEETH_SHOWN * tooth_s, _SHORTEST_S), _LONGEST_S)
    at_s = run.trace.at_s
    places = np.linspace(np.searchsorted(at_s, run.to_s - shown_s), len(at_s) - 1, _POINTS)
    places = places.astype(int)
    return Teeth(
        tuple(at_s[places].tolist()),
        tuple(run.trace.window_sum[places].tolist()),
        tuple(map(tuple, run.trace.windows[places].T[:MOST_FLOWS].tolist())),
        full,
        flows,
    )


def saw_teeth(teeth: Teeth) -> list[Part]:
    """Return the sum with what pipe and buffer hold, and a row for each flow."""
    rows, times = teeth.windows, teeth.times_s
    tall = max(_TOOTH, 0.8 * (_ROWS_FOOT - _ROWS_TOP) / len(rows))
    top = 1.15 * teeth.full

    def height(packets: float) -> float:
        share = (min(max(packets, _LOWEST), top) - _LOWEST) / (top - _LOWEST)
        return _SUM_FOOT - share * (_SUM_FOOT - _SUM_TOP)

    levels = "".join(f"M{_LEFT:g} {height(at):g}H{_RIGHT:g}" for at in {PIPE_PACKETS, teeth.full})
    base = path("axis", f"M{_LEFT:g} {_SUM_FOOT:g}H{_RIGHT:g}M{_LEFT:g} {_ROWS_FOOT:g}H{_RIGHT:g}")
    return [
        Part("teeth", base + _names(teeth)),
        Part("levels", path("gap", levels)),
        Part("sum", path("chosen", _line([height(one) for one in teeth.sums]))),
        *(
            Part(
                f"tooth {flow}",
                group(
                    f"flow {flow + 1}: {min(row):.0f} to {max(row):.0f} packets, "
                    f"{times[0]:.1f} s to {times[-1]:.1f} s",
                    path("axis", _line(_heights(row, foot, tall))),
                ),
            )
            for flow, (row, foot) in enumerate(zip(rows, _feet(len(rows)), strict=True))
        ),
    ]


def time_mark(teeth: Teeth, moment: Moment) -> list[Part]:
    """Return a line at the time of a moment, if it is among what is drawn."""
    start, end = teeth.times_s[0], teeth.times_s[-1]
    if not start <= moment.at_s <= end:
        return []
    x = _LEFT + (moment.at_s - start) / (end - start) * (_RIGHT - _LEFT)
    return [Part("now", path("axis", f"M{x:.1f} {_SUM_TOP:g}V{_ROWS_FOOT:g}"))]


def _feet(count: int) -> list[float]:
    """Return on which height each row stands."""
    first = _ROWS_TOP + (_ROWS_FOOT - _ROWS_TOP) / count
    return np.linspace(first, _ROWS_FOOT - 1, count).tolist() if count > 1 else [_ROWS_FOOT - 1]


def _line(heights: list[float]) -> str:
    step = (_RIGHT - _LEFT) / (len(heights) - 1)
    return "M" + "L".join(f"{_LEFT + n * step:.1f} {y:.1f}" for n, y in enumerate(heights))


def _heights(row: tuple[float, ...], foot: float, tall: float) -> list[float]:
    """Return a row of windows as heights that fill it; one that never changes lies at its foot."""
    low, high = min(row), max(row)
    return [foot - (one - low) / max(high - low, 1.0) * tall for one in row]


def _names(teeth: Teeth) -> str:
    drawn, flows = len(teeth.windows), teeth.flows
    start, end = teeth.times_s[0], teeth.times_s[-1]
    which = f"{drawn} of {flows} windows" if flows > drawn else counted(flows, "window")
    levels = f"dashed: pipe full, {PIPE_PACKETS}"
    if teeth.full > PIPE_PACKETS:
        levels += f"; pipe and buffer full, {teeth.full}"
    return (
        label("all windows together", _LEFT, 160, "quiet", _SMALL)
        + label(levels, _LEFT, _SUM_FOOT + 15, "quiet", _SMALL)
        + label(f"{which}, each from lowest to highest", _LEFT, _ROWS_FOOT + 34, "quiet",
                _SMALL, room=_RIGHT - _LEFT)
        + label(f"{start:.1f}", _LEFT, _ROWS_FOOT + 17, "quiet", _SMALL, "middle")
        + label(f"{end:.1f}", _RIGHT, _ROWS_FOOT + 17, "quiet", _SMALL, "end")
        + label("time (s)", (_LEFT + _RIGHT) / 2, _ROWS_FOOT + 17, "quiet", _SMALL, "middle")
    )  # fmt: skip
