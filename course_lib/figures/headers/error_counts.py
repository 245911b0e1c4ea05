"""Draw how many damaged headers the checksum noticed and how many it missed, beside the theory.

Above, three bars count the headers. Below, on an axis of its own as it is mostly tiny, stands the
share of the errors that was missed: a dot with its 95 % interval, and the share that theory expects
as a dashed line. Chance alone puts the line outside the interval about once in twenty draws.
"""

__all__ = ["error_counts", "figure_of_counts", "percent"]

import math
from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes

from course_lib.experiments.intervals import wilson_interval
from course_lib.figures.drawing.palette import LIGHT
from course_lib.figures.drawing.plots import THEORY, Plots, entitle, name_parts, new_plots
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted
from course_lib.headers.error_injection import ErrorCounts, inject

_SIZE = (760.0, 316.0)  # pixels, as the places of the two plots
_BOXES = ((116.0, 46.0, 500.0, 94.0), (116.0, 224.0, 500.0, 38.0))
_BARS: dict[str, dict[str, Any]] = {
    "noticed": {"color": LIGHT.calm},
    "missed": {"facecolor": "none", "edgecolor": LIGHT.alert, "hatch": "///", "linewidth": 2.5},
    "unchanged": {"facecolor": "none", "edgecolor": LIGHT.line, "linewidth": 1.5},
}


def error_counts(
    header: bytes,
    kind: str = "two flipped bits",
    trials: int = 10_000,
    seed: int = 1,
    *,
    axes: Sequence[Axes] | None = None,
) -> Plots:
    """Damage a header as `inject` does, and draw what was noticed.

    `axes` are two to draw on; left out, there is a new picture. Raises `ValueError` as `inject`
    does.
    """
    return figure_of_counts(inject(header, kind, trials, seed), axes=axes)


def figure_of_counts(counts: ErrorCounts, *, axes: Sequence[Axes] | None = None) -> Plots:
    """Draw counts that are there already."""
    plots = new_plots(_SIZE, *_BOXES, axes=axes)
    _bars(plots[0], counts)
    _share(plots[1], counts)
    entitle(plots[0], _words(counts), 12)
    return plots


def percent(share: float) -> str:
    """Return a share in percent, with at least two digits that are not leading zeros.

    >>> percent(0.02838), percent(1 / 65_535), percent(0), percent(1)
    ('2.84 %', '0.0015 %', '0 %', '100 %')
    """
    value = 100 * share
    if value in (0, 100):
        return f"{value:.0f} %"
    return f"{value:.{max(2, 1 - math.floor(math.log10(value)))}f} %"


def _bars(ax: Axes, counts: ErrorCounts) -> None:
    numbers = (counts.noticed, counts.missed, counts.unchanged)
    for place, (look, number) in enumerate(zip(_BARS.values(), numbers, strict=True)):
        bar = ax.barh(place, number, height=0.66, **(look if number else {}))
        ax.bar_label(bar, [f"{number:,}"], padding=8, fontsize=13, color=LIGHT.ink)
    name_parts(ax, "damaged headers", "")
    ax.set_xlim(0, counts.trials)
    ax.set_yticks(range(len(_BARS)), _BARS, fontsize=13, color=LIGHT.ink)
    ax.invert_yaxis()
    ax.tick_params("y", length=0, pad=10)
    ax.spines.left.set_visible(False)


def _share(ax: Axes, counts: ErrorCounts) -> None:
    """Draw the measured share with its interval, and the expected share as a dashed line."""
    share, expected, (low, high) = counts.missed_share, counts.expected_share, _interval(counts)
    name = f"measured {percent(share)} (95 % interval {percent(low)} to {percent(high)})"
    # Without an error nothing is measured: the legend stays, and what it names lies nowhere.
    at = [100 * one if counts.errors else math.nan for one in (low, share, high)]
    height, colour = [0.45] * 3, LIGHT.alert
    ax.plot(at, height, "-o", color=colour, ms=10, linewidth=3, markevery=[1], label=name)
    ax.plot(at, height, "|", color=colour, ms=12, markeredgewidth=3, markevery=[0, 2])
    ax.axvline(100 * expected, **THEORY, label=f"expected {percent(expected)}")
    name_parts(ax, "share of the errors that was missed (%)", "", above=10, columns=2)
    ax.set_xlim(0, 100 * min(1, 1.15 * max(high, expected)))
    ax.set_ylim(0, 1)
    ax.set_yticks([])
    ax.spines.left.set_visible(False)


def _interval(counts: ErrorCounts) -> tuple[float, float]:
    return wilson_interval(counts.missed, counts.errors) if counts.errors else (0.0, 1.0)


def _words(counts: ErrorCounts) -> Words:
    kind = counts.kind[0].upper() + counts.kind[1:]
    verb = "was" if counts.missed == 1 else "were"
    title = f"{kind}: {counts.missed:,} of {counted(counts.errors, 'error')} {verb} missed"
    low, high = (percent(share) for share in _interval(counts))
    missed, expected = percent(counts.missed_share), percent(counts.expected_share)
    rows = (
        ("damaged headers", f"{counts.trials:,}"),
        ("noticed", f"{counts.noticed:,}"),
        ("missed", f"{counts.missed:,}"),
        ("unchanged", f"{counts.unchanged:,}"),
        ("missed share of errors", missed),
        ("its 95 % interval", f"{low} to {high}"),
        ("expected share", expected),
    )
    text = "\n".join([title, *(f"{name:<24}{value}" for name, value in rows)])
    spoken = (
        f"Bars for {counts.trials:,} damaged headers: {counts.noticed:,} noticed, "
        f"{counts.missed:,} missed, {counts.unchanged:,} unchanged. Below, the missed share of the "
        f"errors, {missed} with a 95 % interval from {low} to {high}, beside the expected "
        f"{expected}."
    )
    return Words(title, text, spoken)
