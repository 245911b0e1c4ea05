"""Draw a run of TCP flows over time: all windows together, some of them, and the queue.

Three plots, one under the other, share the axis of time. In the first, two dashed lines say what
the pipe holds, and what pipe and buffer hold together: there packets get lost. Short peaks above
them are recoveries: the window counts the duplicates in (RFC 5681, section 3.2).
"""

__all__ = ["window_traces"]

from collections.abc import Sequence

from matplotlib.axes import Axes

from course_lib.figures.drawing.plots import (
    LOOKS,
    THEORY,
    Plots,
    Words,
    describe,
    legend_above,
    name_axes,
    new_plots,
    theory_line,
    title_above,
)
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
    heading = title or f"{_flows(run)}, a buffer of {run.buffer_packets:,} packets"
    boxes = [(_LEFT, *box) for box in zip(_TOPS, (_LENGTH,) * 3, _HEIGHTS, strict=True)]
    plots = Plots(axes) if axes is not None else new_plots(_SIZE, *boxes)
    times, sums, windows, waiting = rows
    _sums(plots[0], times, sums, pipe_packets, run.buffer_packets)
    _windows(plots[1], times, windows)
    _waiting(plots[2], times, waiting, run.buffer_packets)
    title_above(plots[0], heading, 36)
    text = _text_twin(heading, rows, pipe_packets, run.buffer_packets)
    describe(plots[0], Words(heading, text, _alternative_text(run, sums, waiting, pipe_packets)))
    return plots


def _last_rows(run: TcpRun, last_s: float) -> Rows:
    """Return times, the sum of all windows, single windows and the queue, as far as is drawn."""
    at_s = run.trace.at_s
    first = int((at_s < run.to_s - last_s - 1e-9).sum())
    chosen = slice(first, None, max(1, (len(at_s) - first) // _POINTS))
    windows = [column.tolist() for column in run.trace.windows[chosen].T[: len(LOOKS)]]
    sums, waiting = run.trace.window_sum[chosen].tolist(), run.trace.waiting[chosen].tolist()
    return at_s[chosen].tolist(), sums, windows, waiting


def _scaled(ax: Axes, times: Sequence[float], highest: float) -> None:
    ax.set_xlim(times[0], times[-1])
    ax.set_ylim(0, max(_ROOM * highest, 5))


def _trace(ax: Axes, times: list[float], values: Sequence[float], place: int, name: str) -> None:
    look = LOOKS[place] | {"marker": None}
    ax.plot(times, values, **look, linewidth=1.6, label=name)


def _sums(ax: Axes, times: list[float], sums: list[float], pipe: float, room: int) -> None:
    _scaled(ax, times, max(*sums, pipe + room))
    words = f"pipe full: {pipe:.0f}; pipe and buffer full: {pipe + room:.0f}"
    for high, name in {pipe + room: None, pipe: words}.items():
        ax.axhline(high, **THEORY, label=name)
    _trace(ax, times, sums, 0, "_")  # matplotlib leaves such names out of its legend
    name_axes(ax, "", "all windows together (packets)")
    legend_above(ax, left=330)


def _windows(ax: Axes, times: list[float], windows: list[list[float]]) -> None:
    _scaled(ax, times, max(max(row) for row in windows))
    for place, row in enumerate(windows):
        _trace(ax, times, row, place, f"flow {place}")
    name_axes(ax, "", "windows of single flows (packets)")
    legend_above(ax, left=330, columns=len(windows))


def _waiting(ax: Axes, times: list[float], waiting: list[int], room: int) -> None:
    _scaled(ax, times, max(*waiting, room))
    if room:
        theory_line(ax, [(times[0], room), (times[-1], room)], "buffer full")
    _trace(ax, times, waiting, 0, "_")
    name_axes(ax, "time (s)", "packets that wait")


def _flows(run: TcpRun) -> str:
    count = len(run.flows.round_trip_s)
    return "1 flow" if count == 1 else f"{count} flows"


def _alternative_text(run: TcpRun, sums: list[float], waiting: list[int], pipe: float) -> str:
    return (
        f"Three plots over {run.to_s:g} s. The windows of {_flows(run)} together swing between "
        f"{min(sums):.0f} and {max(sums):.0f} packets; the pipe holds {pipe:.0f}, the buffer "
        f"{run.buffer_packets}. The queue lies between {min(waiting)} and {max(waiting)} packets."
    )


def _text_twin(heading: str, rows: Rows, pipe: float, room: int) -> str:
    times, sums, windows, waiting = rows
    names = "".join(f"{f'flow {place}':>10}" for place in range(len(windows)))
    text = [heading, f"pipe full: {pipe:.0f} packets; buffer full: {room} packets that wait"]
    text.append(f"{'time (s)':>10}{'all':>10}{names}{'waiting':>10}")
    for place in range(0, len(times), max(1, len(times) // 20)):
        single = "".join(f"{row[place]:>10.1f}" for row in windows)
        text.append(f"{times[place]:>10.2f}{sums[place]:>10.0f}{single}{waiting[place]:>10}")
    return "\n".join(text)
