"""Draw one question asked three ways: theory, simulator and real kernels on the same axes.

A column for each congestion control, a row for each quantity. Theory is the dashed line. Simulator
and kernels are marks with whiskers, their 95 % bands. Beside each mark of the kernels stands by how
much it lies off theory: that is what asks for a reason. Where the kernels met another round trip
than was asked for, a short stroke is what theory says for that one.

Where no real run counts, the picture says why and shows the other two.
"""

__all__ = ["three_ways_curves"]

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.ticker import LogLocator, NullLocator

from course_lib.experiments.intervals import Band
from course_lib.figures.drawing.band_plot import band_marks
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.palette import LIGHT
from course_lib.figures.drawing.plots import (
    LOOKS,
    THEORY,
    Plots,
    entitle,
    name_parts,
    new_plots,
)
from course_lib.figures.drawing.svg import Words
from course_lib.live.three_ways.points import Answers, Curve, ThreeWays

_WIDTH, _LEFT, _GAP = 780.0, 58.0, 62.0  # pixels, as all that follows
_TOP, _HIGH, _BETWEEN, _BELOW = 116.0, 158.0, 48.0, 48.0
_MOST_LETTERS = 90
_ROOM = 0.18  # of an axis, free around what is drawn
_NAMES = {"reno": "Reno", "cubic": "CUBIC", "bbr": "BBR"}
_WAYS = ("theory", "simulator (95 % band)", "real kernels (95 % band), and how far off theory", "")
_WAYS_THERE = (
    "theory",
    "simulator (95 %)",
    "kernels (95 %), how far off",
    "theory for their round trip",
)
_STROKE: dict[str, Any] = {
    "marker": "_", "markersize": 15, "markeredgewidth": 2, "linestyle": "none"
}  # fmt: skip


def three_ways_curves(
    answers: ThreeWays, *, is_power_law: bool = False, axes: Sequence[Axes] | None = None
) -> Plots:
    """Draw all curves of a question; a law of powers, such as that of loss, on logarithmic axes.

    `axes` are as many as curves to draw on; left out, there is a new picture.
    """
    controls = list(dict.fromkeys(one.control for one in answers.curves))
    quantities = list(dict.fromkeys(one.quantity for one in answers.curves))
    wide = (_WIDTH - _LEFT - 24 - _GAP * (len(controls) - 1)) / len(controls)
    boxes = [
        (_LEFT + column * (wide + _GAP), _TOP + row * (_HIGH + _BETWEEN), wide, _HIGH)
        for row in range(len(quantities))
        for column in range(len(controls))
    ]
    high = _TOP + len(quantities) * (_HIGH + _BETWEEN) - _BETWEEN + _BELOW
    plots = new_plots((_WIDTH, high), *boxes, axes=axes)
    ordered = sorted(answers.curves, key=lambda one: quantities.index(one.quantity))
    for place, (ax, curve) in enumerate(zip(plots, ordered, strict=True)):
        is_last = place >= len(ordered) - len(controls)
        _draw(ax, curve, answers.x_name if is_last else "", is_power_law, is_first=place == 0)
    entitle(plots[0], _words(answers), 70)
    remark = f"Nothing real is drawn: {answers.note}" if answers.note else answers.caution
    if remark:
        plots[0].annotate(_cut(remark), (0, 1), (0, 48), fontsize=12, color=LIGHT.alert,
                          xycoords="axes fraction", textcoords="offset points",
                          annotation_clip=False)  # fmt: skip
    return plots


def _draw(ax: Axes, curve: Curve, x_name: str, is_power_law: bool, *, is_first: bool) -> None:
    rows = curve.answers
    there = [(one.x, one.theory_there) for one in rows if one.theory_there is not None]
    names = (_WAYS_THERE if there else _WAYS) if is_first else ("", "", "", "")
    ax.plot([one.x for one in rows], [one.theory for one in rows], label=names[0], **THEORY)
    band_marks(ax, [one.simulated for one in rows], LOOKS[0], names[1])
    real = [one for one in rows if one.real is not None]
    if real:
        band_marks(ax, _bands(real), LOOKS[1], names[2])
    if there:
        ax.plot([x for x, _ in there], [law for _, law in there], color=LIGHT.ink,
                label=names[3], **_STROKE)  # fmt: skip
    name = f"{_NAMES.get(curve.control, curve.control)}: {curve.quantity}"
    name_parts(ax, x_name, name, above=26, columns=4)
    _number(ax, [one.x for one in rows], is_last=bool(x_name))
    if is_power_law:
        _number_powers(ax)
    ax.margins(_ROOM, _ROOM)
    for one in real:
        _say_how_far(ax, one)


def _number(ax: Axes, places: Sequence[float], *, is_last: bool) -> None:
    """Number the places where something was measured; each step stands for a factor."""
    ax.set_xscale("log")
    ax.set_xticks(places, [f"{place:,g}" for place in places] if is_last else [""] * len(places))
    ax.xaxis.set_minor_locator(NullLocator())


def _number_powers(ax: Axes) -> None:
    ax.set_yscale("log")
    ax.yaxis.set_major_locator(LogLocator(subs=(1, 2, 5)))
    ax.yaxis.set_major_formatter("{x:,g}")
    ax.yaxis.set_minor_locator(NullLocator())


def _bands(real: Sequence[Answers]) -> list[Band]:
    return [one.real for one in real if one.real is not None]


def _say_how_far(ax: Axes, one: Answers) -> None:
    """Write by how much a real run lies off theory, on the side where the line of theory is not."""
    if one.real is None or one.real_off is None:
        return
    below, there = one.real.mean < one.theory, one.theory_there
    drawn = [one.real.low, one.real.mean, one.real.high, *([] if there is None else [there])]
    end = min(drawn) if below else max(drawn)
    ax.annotate(_percent(one.real_off), (one.x, end), (0, -5 if below else 5),
                textcoords="offset points", color=LIGHT.ink, fontsize=11,
                horizontalalignment="center",
                verticalalignment="top" if below else "bottom")  # fmt: skip


def _percent(share: float) -> str:
    """Return a share with its sign.

    >>> _percent(-0.0213), _percent(0.1), _percent(0.0001)
    ('−2.1 %', '+10.0 %', '±0.0 %')
    """
    rounded = round(100 * share, 1)
    sign = "±" if rounded == 0 else "+" if rounded > 0 else "−"
    return f"{sign}{abs(rounded):.1f} %"


def _words(answers: ThreeWays) -> Words:
    text, told = [answers.question], []
    if answers.note:
        text.append(f"Nothing real is drawn: {answers.note}")
    else:
        text.append(
            "The kernel dropped nothing. Senders got their turn by the clock, in 99 of 100 times "
            f"within {1000 * answers.late_s:.1f} ms; {answers.load:.1f} processes wanted to run"
        )
        text += [answers.caution] if answers.caution else []
    for curve in answers.curves:
        name = f"{_NAMES.get(curve.control, curve.control)}: {curve.quantity}"
        text.append(f"{name}, by {answers.x_name}")
        text.append(f"{'':>8}{'theory':>10}{'simulator':>11}{'low':>9}{'high':>9}{'off':>10}"
                    f"{'kernels':>10}{'low':>9}{'high':>9}{'off':>10}{_its(curve)}")  # fmt: skip
        text += [_row(one) for one in curve.answers]
        off = [one.real_off for one in curve.answers if one.real_off is not None]
        if off:
            furthest = max(off, key=abs)
            told.append(f"{name}: where the kernels are furthest off theory, {_percent(furthest)}")
    if answers.note:
        told.append(f"Theory and simulator only: {answers.note}")
    told += [answers.caution.rstrip(".")] if answers.caution else []
    spoken = f"Theory, simulator and real kernels, by {answers.x_name}. {'. '.join(told)}."
    return Words(answers.question, "\n".join(text), spoken)


def _cut(words: str) -> str:
    """Return as much as finds room in a line; the text has all of it."""
    return words if width_of(words, 12) <= _WIDTH - 80 else f"{words[:_MOST_LETTERS]} …"


def _row(one: Answers) -> str:
    row = f"{one.x:>8g}{one.theory:>10.4g}{_three(one.simulated)}{_percent(one.simulated_off):>10}"
    if one.real is None or one.real_off is None:
        return row
    there = "" if one.theory_there is None else f"{one.theory_there:>11.4g}"
    return f"{row}{_three(one.real)}{_percent(one.real_off):>10}{there}"


def _its(curve: Curve) -> str:
    """Return the head of one more column where theory was asked for the kernels' round trip too."""
    return " for theory" if any(one.theory_there for one in curve.answers) else ""


def _three(band: Band) -> str:
    return f"{band.mean:>10.4g}{band.low:>9.4g}{band.high:>9.4g}"
