"""Draw what was measured, each mean with its confidence band, beside what theory expects.

Every series has a mark and a pattern of its own. Its band is the pale area around the line, and the
whisker at each mark; what is measured without chance has none. Theory is drawn in as dashed lines,
with their names.
"""

__all__ = ["band_plot"]

from collections.abc import Mapping, Sequence

from course_lib.experiments.intervals import Band
from course_lib.figures.drawing.plot_axes import (
    MARKS,
    Area,
    Point,
    legend_entry,
    line_look,
    mark_at,
    nice_step,
    path_through,
    theory_line,
)
from course_lib.figures.drawing.svg import Figure, drawing, element, label

_WIDTH, _HEIGHT = 760.0, 400.0  # pixels, as all that follows
_LEFT, _BOTTOM, _RIGHT = 62.0, 50.0, 24.0
_TITLE, _LEGEND_STEP = 28.0, 20.0
_BAND_LOOKS = {"circle": "band", "square": "band-second", "triangle": "band-third"}

Series = Mapping[str, Sequence[Band]]
Lines = Mapping[str, Sequence[Point]]


def band_plot(
    measured: Series,
    x_name: str,
    y_name: str,
    *,
    theory: Lines | None = None,
    title: str = "",
    y_ends: tuple[float, float] | None = None,
) -> Figure:
    """Plot up to three series of bands by name, and lines of theory by name, as (x, y) pairs.

    Put units into the names of the axes. `y_ends` are the ends of the upright axis; left out, all
    bands fit in. Raises ValueError for more than three series, or none.
    """
    lines = theory or {}
    if not 1 <= len(measured) <= len(MARKS) or not all(measured.values()):
        raise ValueError(f"one to {len(MARKS)} series with bands can be told apart, not {measured}")
    top = _TITLE + _LEGEND_STEP * len(measured) + 36
    area = Area(
        _LEFT, top, _WIDTH - _LEFT - _RIGHT, _HEIGHT - top - _BOTTOM,
        _x_ends(measured), y_ends or _y_ends(measured, lines),
    )  # fmt: skip
    heading = title or f"{y_name} against {x_name}"
    spoken = _alternative_text(heading, measured, lines)
    shapes = (
        label(heading, 20, _TITLE, "ink strong", font_size=16),
        area.frame(x_name, y_name),
        *(theory_line(area, points, name) for name, points in lines.items()),
        *(
            _series(area, mark, row, name, _TITLE + _LEGEND_STEP * place)
            for place, (mark, (name, row)) in enumerate(
                zip(MARKS, measured.items(), strict=False), 1
            )
        ),
    )
    svg = drawing(heading, spoken, (_WIDTH, _HEIGHT), *shapes)
    return Figure(heading, svg, _text_twin(heading, x_name, measured, lines), spoken)


def _series(area: Area, mark: str, row: Sequence[Band], name: str, y: float) -> str:
    around = [(one.x, one.high) for one in row] + [(one.x, one.low) for one in reversed(row)]
    whiskers = "".join(
        f"M{area.x(one.x):.1f} {area.y(one.high):.1f}V{area.y(one.low):.1f}" for one in row
    )
    return "".join(
        (
            path_through(area, around, _BAND_LOOKS[mark]),
            element("path", d=whiskers, class_=line_look(mark), style="stroke-dasharray:none"),
            path_through(area, [(one.x, one.mean) for one in row], line_look(mark)),
            *(mark_at(area.x(one.x), area.y(one.mean), mark) for one in row),
            legend_entry(_LEFT, y + 4, mark, f"{name} (mean and 95 % band)"),
        )
    )


def _x_ends(measured: Series) -> tuple[float, float]:
    places = [one.x for row in measured.values() for one in row]
    low, high = min(0.0, *places), max(places)
    return (low, high) if high > low else (low, low + 1)


def _y_ends(measured: Series, lines: Lines) -> tuple[float, float]:
    bands = [one for row in measured.values() for one in row]
    values = [y for points in lines.values() for _, y in points]
    values += [one.low for one in bands] + [one.high for one in bands]
    low, high = min(values), max(values)
    step = nice_step(max(high - low, abs(high) / 100, 1e-9))
    return (low // step) * step, (high // step + 1) * step


def _alternative_text(heading: str, measured: Series, lines: Lines) -> str:
    rows = "; ".join(
        f"{name}: from {row[0].mean:.4g} at {row[0].x:g} to {row[-1].mean:.4g} at {row[-1].x:g}"
        for name, row in measured.items()
    )
    theory = f" Dashed lines of theory: {', '.join(lines)}." if lines else ""
    return f"{heading}. Means with 95 % bands. {rows}.{theory}"


def _text_twin(heading: str, x_name: str, measured: Series, lines: Lines) -> str:
    text = [heading]
    for name, row in measured.items():
        text.append(f"{name} (x is {x_name}; 95 % band of {row[0].runs} runs)")
        text.append(f"{'x':>10}{'mean':>12}{'low':>12}{'high':>12}")
        text += [f"{b.x:>10g}{b.mean:>12.5g}{b.low:>12.5g}{b.high:>12.5g}" for b in row]
    for name, points in lines.items():
        ends = " to ".join(f"({x:g}, {y:.4g})" for x, y in (points[0], points[-1]))
        text.append(f"theory, {name}: {ends}")
    return "\n".join(text)
