"""Draw a run of TCP flows over time: all windows together, some of them, and the queue.

Three plots, one under the other, share the axis of time. In the first, two dashed lines say what
the pipe holds, and what pipe and buffer hold together: there packets get lost. Short peaks above
them are recoveries: the window counts the duplicates in (RFC 5681, section 3.2).
"""

__all__ = ["window_traces"]

from course_lib.figures.drawing.plot_axes import Area, legend_entry_line, path_through, theory_line
from course_lib.figures.drawing.svg import Figure, drawing, label
from course_lib.tcp.simulation import TcpRun

_WIDTH, _HEIGHT = 760.0, 470.0  # pixels, as all that follows
_LEFT, _LENGTH = 62.0, 660.0
_TOPS, _HEIGHTS = (62.0, 226.0, 352.0), (118.0, 80.0, 68.0)
_POINTS = 250  # of a line: more cannot be told apart
_LOOKS = ("trace", "trace-second", "trace-third")
_ROOM = 1.12  # above the highest value


def window_traces(
    run: TcpRun, pipe_packets: float, *, last_s: float = 20.0, title: str = ""
) -> Figure:
    """Draw the last seconds of a run; `pipe_packets` is what the line holds without a queue."""
    at_s = run.trace.at_s
    first = int((at_s < run.to_s - last_s - 1e-9).sum())
    step = max(1, (len(at_s) - first) // _POINTS)
    chosen = slice(first, None, step)
    times = at_s[chosen].tolist()
    ends = (times[0], times[-1])
    sums = run.trace.window_sum[chosen].tolist()
    waiting = run.trace.waiting[chosen].tolist()
    windows = [column.tolist() for column in run.trace.windows[chosen].T[: len(_LOOKS)]]
    heading = title or f"{_flows(run)}, a buffer of {run.buffer_packets:,} packets"
    spoken = _alternative_text(run, sums, waiting, pipe_packets)
    shapes = (
        label(heading, 20, 26, "ink strong", font_size=16),
        _sums(ends, times, sums, pipe_packets, run.buffer_packets),
        _windows(ends, times, windows),
        _waiting(ends, times, waiting, run.buffer_packets),
    )
    svg = drawing(heading, spoken, (_WIDTH, _HEIGHT), *shapes)
    text = _text_twin(heading, (times, sums, windows, waiting), pipe_packets, run.buffer_packets)
    return Figure(heading, svg, text, spoken)


def _area(place: int, ends: tuple[float, float], highest: float) -> Area:
    return Area(_LEFT, _TOPS[place], _LENGTH, _HEIGHTS[place], ends, (0.0, max(highest, 5.0)))


def _sums(
    ends: tuple[float, float], times: list[float], sums: list[float], pipe: float, room: int
) -> str:
    area = _area(0, ends, _ROOM * max(*sums, pipe + room))
    lines = [
        path_through(area, [(x, high) for x in ends], "expected") for high in {pipe, pipe + room}
    ]
    words = f"pipe full: {pipe:.0f}; pipe and buffer full: {pipe + room:.0f}"
    legend = legend_entry_line(_LEFT + 330, _TOPS[0] - 9, "expected", words)
    curve = path_through(area, zip(times, sums, strict=True), "trace")
    return area.frame("", "all windows together (packets)") + "".join(lines) + legend + curve


def _windows(ends: tuple[float, float], times: list[float], windows: list[list[float]]) -> str:
    area = _area(1, ends, _ROOM * max(max(row) for row in windows))
    lines = "".join(
        path_through(area, zip(times, row, strict=True), look)
        for row, look in zip(windows, _LOOKS, strict=False)
    )
    legend = "".join(
        legend_entry_line(_LEFT + 330 + 110 * place, _TOPS[1] - 9, look, f"flow {place}")
        for place, look in enumerate(_LOOKS[: len(windows)])
    )
    return area.frame("", "windows of single flows (packets)") + lines + legend


def _waiting(ends: tuple[float, float], times: list[float], waiting: list[int], room: int) -> str:
    area = _area(2, ends, _ROOM * max(*waiting, room))
    curve = path_through(area, zip(times, waiting, strict=True), "trace")
    full = theory_line(area, [(x, room) for x in ends], "buffer full", above=4) if room else ""
    return area.frame("time (s)", "packets that wait") + full + curve


def _flows(run: TcpRun) -> str:
    count = len(run.flows.round_trip_s)
    return "1 flow" if count == 1 else f"{count} flows"


def _alternative_text(run: TcpRun, sums: list[float], waiting: list[int], pipe: float) -> str:
    return (
        f"Three plots over {run.to_s:g} s. The windows of {_flows(run)} together swing between "
        f"{min(sums):.0f} and {max(sums):.0f} packets; the pipe holds {pipe:.0f}, the buffer "
        f"{run.buffer_packets}. The queue lies between {min(waiting)} and {max(waiting)} packets."
    )


def _text_twin(
    heading: str,
    rows: tuple[list[float], list[float], list[list[float]], list[int]],
    pipe: float,
    room: int,
) -> str:
    times, sums, windows, waiting = rows
    names = "".join(f"{f'flow {place}':>10}" for place in range(len(windows)))
    text = [heading, f"pipe full: {pipe:.0f} packets; buffer full: {room} packets that wait"]
    text.append(f"{'time (s)':>10}{'all':>10}{names}{'waiting':>10}")
    for place in range(0, len(times), max(1, len(times) // 20)):
        single = "".join(f"{row[place]:>10.1f}" for row in windows)
        text.append(f"{times[place]:>10.2f}{sums[place]:>10.0f}{single}{waiting[place]:>10}")
    return "\n".join(text)
