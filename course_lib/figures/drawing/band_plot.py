"""Draw what was measured, each mean with its confidence band, beside what theory expects.

Every series has a mark and a pattern of its own. Its band is the pale area around the line, and the
whisker at each mark; what is measured without chance has none. Theory is drawn in as dashed lines,
with their names.
"""

__all__ = ["band_marks", "band_plot"]

from collections.abc import Mapping, Sequence
from typing import Any

from matplotlib.axes import Axes

from course_lib.experiments.intervals import Band
from course_lib.figures.drawing.plots import LOOKS, entitle, name_parts, new_plots, theory_line
from course_lib.figures.drawing.svg import Words

_WIDTH, _HEIGHT = 760.0, 400.0  # pixels, as all that follows
_LEFT, _BOTTOM, _RIGHT = 62.0, 50.0, 24.0
_ABOVE, _LEGEND_STEP = 64.0, 20.0  # title and name of the axis; a line of the legend
_BESIDE = 0.02  # of the axis, left free at both ends

Series = Mapping[str, Sequence[Band]]
Lines = Mapping[str, Sequence[tuple[float, float]]]


def band_plot(
    measured: Series,
    x_name: str,
    y_name: str,
    *,
    theory: Lines | None = None,
    title: str = "",
    y_ends: tuple[float, float] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Plot up to three series of bands by name, and lines of theory by name, as (x, y) pairs.

    Put units into the names of the axes. `y_ends` are the ends of the upright axis; left out, all
    bands fit in. `ax` are axes to draw on; left out, there is a new picture. Raises ValueError for
    more than three series, or none.

    >>> ax = band_plot({"apart": [Band(50, 90, 88, 92, 5)]}, "buffer (packets)", "use (%)")
    >>> ax.get_xlabel(), ax.get_title(loc="left")
    ('buffer (packets)', 'use (%) against buffer (packets)')
    """
    lines = theory or {}
    heading = title or f"{y_name} against {x_name}"
    if not 1 <= len(measured) <= len(LOOKS) or not all(measured.values()):
        raise ValueError(f"one to {len(LOOKS)} series with bands can be told apart, not {measured}")
    rows = _LEGEND_STEP * len(measured)
    top = _ABOVE + rows
    box = (_LEFT, top, _WIDTH - _LEFT - _RIGHT, _HEIGHT - top - _BOTTOM)
    ax = ax or new_plots((_WIDTH, _HEIGHT), box)[0]
    for look, (name, row) in zip(LOOKS, measured.items(), strict=False):
        band_marks(ax, row, look, f"{name} (mean and 95 % band)")
        xs, lows, highs = zip(*((one.x, one.low, one.high) for one in row), strict=True)
        ax.fill_between(xs, lows, highs, color=look["color"], alpha=0.2, linewidth=0)
    low, high = _x_ends(measured)
    ax.set_xlim(low - _BESIDE * (high - low), high + _BESIDE * (high - low))
    for name, points in lines.items():
        theory_line(ax, [one for one in points if low <= one[0] <= high], name)
    ax.set_ylim(y_ends)
    name_parts(ax, x_name, y_name, above=28)
    entitle(ax, _words(heading, x_name, measured, lines), rows + 38)
    return ax


def band_marks(ax: Axes, bands: Sequence[Band], look: Mapping[str, Any], name: str) -> None:
    """Draw a mark with a whisker for each band, joined by a line."""
    xs = [one.x for one in bands]
    ax.plot(xs, [one.mean for one in bands], label=name, markersize=7, linewidth=1.6, **look)
    lows, highs = [one.low for one in bands], [one.high for one in bands]
    ax.vlines(xs, lows, highs, color=look["color"], linewidth=1.6)


def _x_ends(measured: Series) -> tuple[float, float]:
    places = [one.x for row in measured.values() for one in row]
    low, high = min(0.0, *places), max(places)
    return (low, high) if high > low else (low, low + 1)


def _words(heading: str, x_name: str, measured: Series, lines: Lines) -> Words:
    text, told = [heading], []
    for name, row in measured.items():
        text.append(f"{name} (x is {x_name}; 95 % band of {row[0].runs} runs)")
        text.append(f"{'x':>10}{'mean':>12}{'low':>12}{'high':>12}")
        text += [f"{b.x:>10g}{b.mean:>12.5g}{b.low:>12.5g}{b.high:>12.5g}" for b in row]
        first, last = (f"{b.mean:.4g} at {b.x:g}" for b in (row[0], row[-1]))
        told.append(f"{name}: from {first} to {last}")
    for name, points in lines.items():
        ends = " to ".join(f"({x:g}, {y:.4g})" for x, y in (points[0], points[-1]))
        text.append(f"theory, {name}: {ends}")
    theory = f" Dashed lines of theory: {', '.join(lines)}." if lines else ""
    spoken = f"{heading}. Means with 95 % bands. {'; '.join(told)}.{theory}"
    return Words(heading, "\n".join(text), spoken)
