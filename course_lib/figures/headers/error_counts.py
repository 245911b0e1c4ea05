"""Draw how many damaged headers the checksum noticed and how many it missed, beside the theory.

Above, three bars count the headers. Below, on an axis of its own as it is mostly tiny, stands the
share of the errors that was missed: a dot with its 95 % interval, and the share that theory expects
as a dashed line. Chance alone puts the line outside the interval about once in twenty draws.
"""

__all__ = ["error_counts", "figure_of_counts", "percent"]

import math

from course_lib.experiments.intervals import wilson_interval
from course_lib.figures.drawing.plot_axes import nice_step
from course_lib.figures.drawing.svg import Figure, drawing, element, hatching, label
from course_lib.figures.headers.header_words import counted
from course_lib.headers.error_injection import ErrorCounts, inject

_WIDTH, _HEIGHT = 760.0, 316.0  # pixels, as all that follows
_LEFT, _LENGTH = 116.0, 500.0  # where the axes begin, and how long they are
_BARS, _BAR, _BAR_STEP = 48.0, 20.0, 30.0
_COUNT_AXIS = _BARS + 3 * _BAR_STEP + 2
_SHARE, _SHARE_AXIS = 232.0, 262.0


def error_counts(
    header: bytes, kind: str = "two flipped bits", trials: int = 10_000, seed: int = 1
) -> Figure:
    """Damage a header as `inject` does, and draw what was noticed.

    Raises `ValueError` as `inject` does.
    """
    return figure_of_counts(inject(header, kind, trials, seed))


def figure_of_counts(counts: ErrorCounts) -> Figure:
    """Return the figure of counts that are there already."""
    title, spoken = _title(counts), _alternative_text(counts)
    shapes = (
        label(title, 20, 28, "ink strong", font_size=16),
        _bars(counts),
        _axis(counts.trials, _COUNT_AXIS, "damaged headers", percents=False),
        _share(counts),
    )
    svg = drawing(title, spoken, (_WIDTH, _HEIGHT), *shapes)
    return Figure(title, svg, _text_twin(title, counts), spoken)


def percent(share: float) -> str:
    """Return a share in percent, with at least two digits that are not leading zeros.

    >>> percent(0.02838), percent(1 / 65_535), percent(0), percent(1)
    ('2.84 %', '0.0015 %', '0 %', '100 %')
    """
    value = 100 * share
    if value in (0, 100):
        return f"{value:.0f} %"
    return f"{value:.{max(2, 1 - math.floor(math.log10(value)))}f} %"


def _bars(counts: ErrorCounts) -> str:
    rows = (("noticed", counts.noticed), ("missed", counts.missed), ("unchanged", counts.unchanged))
    return "".join(
        _bar(name, number, counts.trials, _BARS + place * _BAR_STEP)
        for place, (name, number) in enumerate(rows)
    )


def _bar(name: str, number: int, trials: int, y: float) -> str:
    width = _LENGTH * number / trials
    looks = {"noticed": "calm", "missed": "changed", "unchanged": "neither"}
    frame = element("rect", x=_LEFT, y=y, width=width, height=_BAR, class_=looks[name])
    hatched = name == "missed" and number > 0
    lines = element("path", d=hatching(_LEFT, y, width, _BAR), class_="slant") if hatched else ""
    return "".join(
        (
            label(name, _LEFT - 10, y + 15, font_size=13, text_anchor="end"),
            lines,
            frame if number else "",
            label(f"{number:,}", _LEFT + width + 8, y + 15, "ink mono", font_size=13),
        )
    )


def _share(counts: ErrorCounts) -> str:
    """The measured share with its interval, and the expected share as a dashed line."""
    low, high = _interval(counts)
    largest = min(1.0, 1.15 * max(high, counts.expected_share))
    if counts.expected_share >= 1:
        largest = 1.0
    at = [_LEFT + _LENGTH * share / largest for share in (low, counts.missed_share, high)]
    expected = _LEFT + _LENGTH * counts.expected_share / largest
    y = _SHARE + 12
    whiskers = f"M{at[0]:g} {y:g}H{at[2]:g}M{at[0]:g} {y - 6:g}v12M{at[2]:g} {y - 6:g}v12"
    line = f"M{expected:g} {_SHARE - 8:g}V{_SHARE_AXIS:g}"
    shown = counts.errors > 0
    return "".join(
        (
            _share_legend(counts, (low, high)),
            _axis(largest, _SHARE_AXIS, "share of the errors that was missed (%)", percents=True),
            element("path", d=line, class_="expected"),
            element("path", d=whiskers, class_="measured") if shown else "",
            element("circle", cx=at[1], cy=y, r=5, class_="alert") if shown else "",
        )
    )


def _share_legend(counts: ErrorCounts, interval: tuple[float, float]) -> str:
    y = _SHARE - 22
    low, high = interval
    measured = (
        f"measured {percent(counts.missed_share)} (95 % interval {percent(low)} to {percent(high)})"
    )
    return "".join(
        (
            element("circle", cx=_LEFT + 10, cy=y - 4, r=5, class_="alert"),
            element("path", d=f"M{_LEFT:g} {y - 4:g}h20", class_="measured"),
            label(measured, _LEFT + 28, y, font_size=13),
            element("path", d=f"M{_LEFT + 400:g} {y - 4:g}h22", class_="expected"),
            label(f"expected {percent(counts.expected_share)}", _LEFT + 430, y, font_size=13),
        )
    )


def _axis(largest: float, y: float, name: str, *, percents: bool) -> str:
    """An axis from 0 to `largest`, with a tick at every nice step, and its name below."""
    shapes = [element("path", d=f"M{_LEFT:g} {y:g}h{_LENGTH:g}", class_="axis")]
    step = nice_step(largest)
    for place in range(int(largest / step + 1e-9) + 1):
        value = place * step
        x = _LEFT + _LENGTH * value / largest
        words = f"{100 * value:g}" if percents else f"{value:,.0f}"
        shapes.append(element("path", d=f"M{x:g} {y:g}v5", class_="axis"))
        shapes.append(label(words, x, y + 18, "quiet mono", font_size=11.5, text_anchor="middle"))
    middle = _LEFT + _LENGTH / 2
    shapes.append(label(name, middle, y + 36, "quiet", font_size=12.5, text_anchor="middle"))
    return "".join(shapes)


def _interval(counts: ErrorCounts) -> tuple[float, float]:
    return wilson_interval(counts.missed, counts.errors) if counts.errors else (0.0, 1.0)


def _title(counts: ErrorCounts) -> str:
    kind = counts.kind[0].upper() + counts.kind[1:]
    verb = "was" if counts.missed == 1 else "were"
    return f"{kind}: {counts.missed:,} of {counted(counts.errors, 'error')} {verb} missed"


def _alternative_text(counts: ErrorCounts) -> str:
    low, high = (percent(share) for share in _interval(counts))
    return (
        f"Bars for {counts.trials:,} damaged headers: {counts.noticed:,} noticed, "
        f"{counts.missed:,} missed, {counts.unchanged:,} unchanged. Below, the missed share of the "
        f"errors, {percent(counts.missed_share)} with a 95 % interval from {low} to {high}, "
        f"beside the expected {percent(counts.expected_share)}."
    )


def _text_twin(title: str, counts: ErrorCounts) -> str:
    low, high = (percent(share) for share in _interval(counts))
    rows = (
        ("damaged headers", f"{counts.trials:,}"),
        ("noticed", f"{counts.noticed:,}"),
        ("missed", f"{counts.missed:,}"),
        ("unchanged", f"{counts.unchanged:,}"),
        ("missed share of errors", percent(counts.missed_share)),
        ("its 95 % interval", f"{low} to {high}"),
        ("expected share", percent(counts.expected_share)),
    )
    return "\n".join([title, *(f"{name:<24}{value}" for name, value in rows)])
