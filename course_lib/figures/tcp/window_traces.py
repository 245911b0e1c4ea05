"""Draw a run of TCP flows over time: all windows together, some of them, and the queue.

Three plots, one under the other, share the axis of time. In the first, two dashed lines say what
the pipe holds, and what pipe and buffer hold together: there packets get lost. Short peaks above
them are repairs without selective acknowledgements: the window counts the duplicates in (RFC 5681,
section 3.2).
"""

__all__ = ["window_traces"]

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from course_lib.figures.drawing.plots import (
    LOOKS,
    THEORY,
    Plots,
    entitle,
    name_parts,
    new_plots,
    theory_line,
)
from course_lib.figures.drawing.svg import Words
from course_lib.tcp.simulation import TcpRun

_SIZE = (760.0, 470.0)  # pixels, as all that follows
_LEFT, _LENGTH = 62.0, 660.0
_TOPS, _HEIGHTS = (62.0, 226.0, 352.0), (118.0, 80.0, 68.0)
_POINTS = 250  # of a line: more cannot be told apart
_ROOM = 1.12  # above the highest value

Rows = tuple[list[float], list[float], list[list[float]], list[int]]


def window_traces(
    run: TcpRun,
    pipe_packets: float,
    *,
    last_s: float = 20.0,
    title: str = "",
    axes: Sequence[Axes] | None = None,
) -> Plots:
    """Draw the last seconds of a run; `pipe_packets` is what the line holds without a queue.

    `axes` are three to draw on; left out, there is a new picture.
    """
    rows = _last_rows(run, last_s)
    boxes = [(_LEFT, *box) for box in zip(_TOPS, (_LENGTH,) * 3, _HEIGHTS, strict=True)]
    plots = new_plots(_SIZE, *boxes, axes=axes)
    times, sums, windows, waiting = rows
    full, room = pipe_packets + run.buffer_packets, run.buffer_packets
    words = f"pipe full: {pipe_packets:,.0f}; pipe and buffer full: {full:,.0f}"
    for high, name in {full: None, pipe_packets: words}.items():
        plots[0].axhline(high, **THEORY, label=name)
    if room:
        theory_line(plots[2], [(times[0], room), (times[-1], room)], "buffer full")
    singles = {f"flow {place}": row for place, row in enumerate(windows)}
    # matplotlib leaves names with a line in front out of its legend
    _traces(plots[0], times, {"_": sums}, full, "all windows together (packets)")
    _traces(plots[1], times, singles, 0, "windows of single flows (packets)")
    _traces(plots[2], times, {"_": waiting}, room, "packets that wait", "time (s)")
    entitle(plots[0], _words(run, rows, pipe_packets, title), 36)
    return plots


def _last_rows(run: TcpRun, last_s: float) -> Rows:
    """Return times, the sum of all windows, single windows and the queue, as far as is drawn."""
    at_s = run.trace.at_s
    first = int((at_s < run.to_s - last_s - 1e-9).sum())
    starts = np.arange(first, len(at_s), max(1, (len(at_s) - first) // _POINTS))

    def highest(rows: NDArray[Any]) -> NDArray[Any]:
        """Return the highest value of each stretch, so that a short peak is not lost."""
        return np.maximum.reduceat(rows, starts, axis=0)

    windows = highest(run.trace.windows).T[: len(LOOKS)].tolist()
    sums, waiting = highest(run.trace.window_sum).tolist(), highest(run.trace.waiting).tolist()
    return at_s[starts].tolist(), sums, windows, waiting


def _traces(
    ax: Axes,
    times: list[float],
    rows: Mapping[str, Sequence[float]],
    highest: float,
    y_name: str,
    x_name: str = "",
) -> None:
    """Draw lines by name, in a plot that reaches up to the highest value at least."""
    for look, (name, row) in zip(LOOKS, rows.items(), strict=False):
        ax.plot(times, row, **look | {"marker": None}, linewidth=1.6, label=name)
    ax.set_xlim(times[0], times[-1])
    ax.set_ylim(0, max(_ROOM * max(highest, *map(max, rows.values())), 5))
    name_parts(ax, x_name, y_name, left=330, columns=len(rows))


def _words(run: TcpRun, rows: Rows, pipe: float, title: str) -> Words:
    times, sums, windows, waiting = rows
    count, room = len(run.flows.round_trip_s), run.buffer_packets
    flows = "1 flow" if count == 1 else f"{count} flows"
    title = title or f"{flows}, a buffer of {room:,} packets"
    names = "".join(f"{f'flow {place}':>10}" for place in range(len(windows)))
    text = [title, f"pipe full: {pipe:,.0f} packets; buffer full: {room:,} packets that wait"]
    text.append(f"{'time (s)':>10}{'all':>10}{names}{'waiting':>10}")
    for place in range(0, len(times), max(1, len(times) // 20)):
        single = "".join(f"{row[place]:>10,.1f}" for row in windows)
        text.append(f"{times[place]:>10.2f}{sums[place]:>10,.0f}{single}{waiting[place]:>10,}")
    spoken = (
        f"Three plots over the last {times[-1] - times[0]:.0f} of {run.to_s:g} s. "
        f"The windows of {flows} together swing between "
        f"{min(sums):,.0f} and {max(sums):,.0f} packets; the pipe holds {pipe:,.0f}, the buffer "
        f"{room:,}. The queue lies between {min(waiting):,} and {max(waiting):,} packets."
    )
    return Words(title, "\n".join(text), spoken)
