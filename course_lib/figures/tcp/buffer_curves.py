"""Draw what a buffer buys and what it costs: use of the line and waiting, against its size.

Two plots side by side. On the left the share of the line that is used, and what theory expects of
one flow, or of flows in step; an upright line marks the square-root rule. On the right the mean
wait and the wait that 99 of 100 packets do not exceed; the dashed line is the wait behind a full
buffer. The size that is shown at present is ringed.
"""

__all__ = ["buffer_curves"]

from collections.abc import Sequence

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    Measured,
    Sharing,
    expected_use,
    root_packets,
)
from course_lib.figures.drawing.plot_axes import (
    Area,
    legend_entry,
    line_look,
    mark_at,
    path_through,
    theory_line,
)
from course_lib.figures.drawing.svg import Figure, drawing, element, label

_WIDTH, _HEIGHT = 760.0, 330.0  # pixels, as all that follows
_TOP, _PLOT_HEIGHT = 84.0, 196.0
_LEFTS, _LENGTH = (62.0, 456.0), 280.0
_LARGEST = 300.0  # packets
_FULL = 100.0  # percent


def buffer_curves(
    sharing: Sharing, measured: Sequence[Measured], shown: int | None = None
) -> Figure:
    """Draw the measures of one sharing; `shown` is the size of the buffer to be ringed."""
    rows = sorted(measured, key=lambda one: one.utilisation.x)
    title = f"{_who(sharing)}; dropped {sharing.policy}"
    spoken = _alternative_text(sharing, rows, shown)
    shapes = (
        label(title, 20, 26, "ink strong", font_size=16),
        _use(sharing, rows, shown),
        _waits(rows, shown),
    )
    svg = drawing(title, spoken, (_WIDTH, _HEIGHT), *shapes)
    return Figure(title, svg, _text_twin(title, sharing, rows), spoken)


def _who(sharing: Sharing) -> str:
    if sharing.flows == 1:
        return "1 flow"
    how = "in step" if sharing.in_step else f"round trips 60 ± {sharing.spread_ms} ms"
    return f"{sharing.flows} flows, {how}"


def _use(sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> str:
    low = min([50.0, *(_FULL * row.utilisation.low for row in rows)])
    area = Area(
        _LEFTS[0], _TOP, _LENGTH, _PLOT_HEIGHT, (0.0, _LARGEST), (max(low // 10 * 10, 0.0), 105.0)
    )
    theory = [(x, _FULL * expected_use(x)) for x in range(0, int(_LARGEST) + 1, 5)]
    root = root_packets(sharing.flows)
    bands = [_scaled(row.utilisation, _FULL) for row in rows]
    return "".join(
        (
            area.frame("buffer (packets that may wait)", "use of the line (%)"),
            _legend(0, ((_mark(0), "measured"),), "theory: one flow, or all in step"),
            path_through(area, theory, "expected"),
            _upright(area, root, f"square-root rule: {root}"),
            _points(area, bands, _mark(0), shown),
        )
    )


def _waits(rows: Sequence[Measured], shown: int | None) -> str:
    most_ms = 1000 * PACKET_S * _LARGEST
    area = Area(_LEFTS[1], _TOP, _LENGTH, _PLOT_HEIGHT, (0.0, _LARGEST), (0.0, 1.1 * most_ms))
    full = [(0.0, 0.0), (_LARGEST, most_ms)]
    return "".join(
        (
            area.frame("buffer (packets that may wait)", "wait in the buffer (ms)"),
            _legend(1, ((_mark(0), "mean"), (_mark(1), "99 of 100 wait less")), ""),
            theory_line(area, full, "behind a full buffer", above=8),
            _points(area, [row.wait_ms for row in rows], _mark(0), shown),
            _points(area, [row.wait_99_ms for row in rows], _mark(1), shown),
        )
    )


def _mark(place: int) -> str:
    return ("circle", "square")[place]


def _scaled(band: Band, factor: float) -> Band:
    return band._replace(mean=factor * band.mean, low=factor * band.low, high=factor * band.high)


def _points(area: Area, bands: Sequence[Band], mark: str, shown: int | None) -> str:
    """Marks with whiskers, joined by a line if there are several; a ring around what is shown."""
    whiskers = "".join(
        f"M{area.x(one.x):.1f} {area.y(one.high):.1f}V{area.y(one.low):.1f}" for one in bands
    )
    ring = "".join(
        element("circle", cx=round(area.x(one.x), 1), cy=round(area.y(one.mean), 1), r=8.5,
                class_="chosen")
        for one in bands if one.x == shown
    )  # fmt: skip
    return "".join(
        (
            element("path", d=whiskers, class_=line_look(mark), style="stroke-dasharray:none"),
            path_through(area, [(one.x, one.mean) for one in bands], line_look(mark)),
            *(mark_at(area.x(one.x), area.y(one.mean), mark) for one in bands),
            ring,
        )
    )


def _upright(area: Area, x: float, words: str) -> str:
    bottom = area.top + area.height
    line = element("path", d=f"M{area.x(x):.1f} {area.top:g}V{bottom:g}", class_="gap")
    at_right = x > 0.6 * _LARGEST
    shift, anchor = (-5, "end") if at_right else (5, "start")
    place = area.x(x) + shift
    return line + label(words, place, bottom - 8, "ink", font_size=12, text_anchor=anchor)


def _legend(place: int, marks: tuple[tuple[str, str], ...], theory: str) -> str:
    left = _LEFTS[place]
    shapes = [
        legend_entry(left + 110 * number, 56, mark, words)
        for number, (mark, words) in enumerate(marks)
    ]
    if theory:
        x = left + 110
        shapes.append(element("path", d=f"M{x:g} 52h26", class_="expected"))
        shapes.append(label(theory, x + 32, 56, font_size=12.5))
    return "".join(shapes)


def _alternative_text(sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> str:
    here = [row for row in rows if row.utilisation.x == shown] or list(rows[-1:])
    root = root_packets(sharing.flows)
    start = f"Two plots against the size of the buffer, for {_who(sharing)}."
    rule = f"The square-root rule asks for {root} packets."
    if not here:
        return f"{start} {rule} Nothing is measured yet."
    one = here[0]
    return (
        f"{start} With {one.utilisation.x:.0f} packets the line is used to "
        f"{_FULL * one.utilisation.mean:.1f} %; one flow, or flows in step, would use "
        f"{_FULL * expected_use(one.utilisation.x):.1f} %. The mean wait is "
        f"{one.wait_ms.mean:.1f} ms, and 99 of 100 packets wait less than "
        f"{one.wait_99_ms.mean:.1f} ms. {rule}"
    )


def _text_twin(title: str, sharing: Sharing, rows: Sequence[Measured]) -> str:
    text = [title, f"pipe: {PIPE_PACKETS} packets; square-root rule: {root_packets(sharing.flows)}"]
    text.append(f"{'buffer':>8}{'use %':>9}{'theory %':>10}{'mean ms':>9}{'99 % ms':>9}{'runs':>6}")
    for one in rows:
        x = one.utilisation.x
        text.append(
            f"{x:>8.0f}{_FULL * one.utilisation.mean:>9.2f}{_FULL * expected_use(x):>10.2f}"
            f"{one.wait_ms.mean:>9.2f}{one.wait_99_ms.mean:>9.2f}{one.utilisation.runs:>6}"
        )
    return "\n".join([*text, "theory: one flow, or all flows in step"])
