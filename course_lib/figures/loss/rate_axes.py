"""Draw the rate of a flow against how seldom it loses a packet, on two logarithmic axes.

On such axes the square-root law is a straight line that climbs one step for every two to the right.
The axes never change: one lost in 5 to 100,000 packets, and 0.03 to 100 Mbit/s. A rate below is an
arrow at the lower edge, and its number says it.
"""

__all__ = [
    "ASKED", "FEWEST", "GUESSES", "LEFT", "LOWEST", "MOST", "NOTCHES", "RIGHT", "axes", "dots",
    "every_at", "guess_rungs", "knob", "law_lines", "measured_mark", "notch_of", "period_x",
    "rate_y",
]  # fmt: skip

import math
from collections.abc import Iterable

from course_lib.experiments.intervals import Band
from course_lib.ferry.lossy_line import (
    LossyFlow,
    line_mbit_s,
    square_root_mbit_s,
    timeouts_mbit_s,
)
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path

LEFT, RIGHT, TOP, FOOT = 70.0, 500.0, 232.0, 414.0  # pixels, as all that follows
FEWEST, MOST = 5, 100_000  # packets, of which one is lost
LOWEST, HIGHEST = 0.03, 100.0  # Mbit/s
ASKED = 100
PERIOD_TICKS, RATE_TICKS = (10, 100, 1_000, 10_000, 100_000), (0.1, 1, 10, 100)
GUESSES = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 49.5)  # rungs of the ladder, Mbit/s
_A_DECADE = 10  # notches
NOTCHES = range(round(_A_DECADE * math.log10(FEWEST)), round(_A_DECADE * math.log10(MOST)) + 1)
_SMALL = 12.5


def every_at(notch: int) -> int:
    """Return of how many packets one is lost at a notch of the slider.

    >>> every_at(NOTCHES[0]), every_at(20), every_at(NOTCHES[-1])
    (5, 100, 100000)
    """
    return round(10 ** (notch / _A_DECADE))


def notch_of(every: int) -> int:
    """Return the notch next to a number of packets."""
    return round(_A_DECADE * math.log10(every))


def period_x(every: float) -> float:
    """Return where a number of packets stands."""
    low, high = math.log(FEWEST), math.log(MOST)
    return LEFT + (math.log(every) - low) / (high - low) * (RIGHT - LEFT)


def rate_y(mbit_s: float) -> float:
    """Return the height of a rate; what is below the axis lies on its end."""
    low, high = math.log(LOWEST), math.log(HIGHEST)
    return FOOT - (math.log(max(mbit_s, LOWEST)) - low) / (high - low) * (FOOT - TOP)


def axes() -> str:
    """Return both axes with numbers and names, and what the line carries."""
    ticks = "".join(f"M{period_x(every):.1f} {FOOT:g}v5" for every in PERIOD_TICKS)
    periods = [
        label(f"{every:,}", period_x(every), FOOT + 32, "quiet", _SMALL, "middle")
        for every in PERIOD_TICKS
    ]
    rates = [
        label(f"{rate:g}", LEFT - 7, rate_y(rate) + 4, "quiet", _SMALL, "end")
        for rate in RATE_TICKS
    ]
    full = rate_y(line_mbit_s())
    return "".join((
        path("axis", f"M{LEFT:g} {TOP:g}V{FOOT:g}H{RIGHT:g}{ticks}"),
        path("axis", f"M{LEFT:g} {full:.1f}H{RIGHT:g}"),
        label(f"the line: {line_mbit_s():g}", LEFT + 6, full - 4, "quiet haloed", _SMALL),
        label("rate (Mbit/s)", 20, TOP - 10, "quiet", _SMALL),
        label("one packet is lost in …", (LEFT + RIGHT) / 2, FOOT + 52, "quiet", _SMALL, "middle"),
        *periods,
        *rates,
    ))  # fmt: skip


def law_lines(flow: LossyFlow) -> list[Part]:
    """Return the square-root law, and the equation that counts time-outs in."""
    row = [flow._replace(every=every_at(notch)) for notch in NOTCHES]
    law = [(one.every, square_root_mbit_s(one)) for one in row]
    waits = [(one.every, timeouts_mbit_s(one)) for one in row]
    return [
        Part("law", path("expected", _line(law))),
        Part("with time-outs", path("gap", _line(waits))),
    ]


def dots(bands: Iterable[Band], look: str = "neither", radius: float = 3.0) -> str:
    """Return small dots for what was measured before."""
    shapes = [
        element("circle", cx=period_x(one.x), cy=rate_y(one.mean), r=radius, class_=look)
        for one in bands
        if one.mean >= LOWEST
    ]
    return "".join(shapes) or path("axis", "M0 0")


def measured_mark(band: Band, *, is_coarse: bool) -> str:
    """Return what is measured now: a dot with its interval; a ring as long as it is coarse."""
    x, y = period_x(band.x), rate_y(band.mean)
    if band.mean < LOWEST:
        return path("alert", f"M{x - 7:.1f} {FOOT - 12:g}h14l-7 12z")
    if is_coarse:
        return element("circle", cx=x, cy=y, r=6, class_="torn", stroke_dasharray="3 2")
    bar = f"M{x:.1f} {rate_y(band.low):.1f}V{rate_y(band.high):.1f}" if band.runs > 1 else "M0 0"
    return path("measured", bar) + element("circle", cx=x, cy=y, r=5.5, class_="alert")


def knob(every: int, mbit_s: float) -> list[Part]:
    """Return the knob under the axis that is dragged, and the plumb line up to the dot."""
    x = period_x(every)
    shape = group(
        "how seldom a packet is lost: drag it",
        box("hit", x - 14, FOOT - 8, 28, 30),
        path("ink", f"M{x:.1f} {FOOT:g}l8 8v10h-16v-10z"),
    )
    plumb = path("axis", f"M{x:.1f} {FOOT:g}V{rate_y(mbit_s):.1f}")
    return [Part("plumb", plumb), Part("period", shape)]


def guess_rungs() -> list[Part]:
    """Return a ladder where one in a hundred is lost: each rung is pressed to guess its rate."""
    x, ends = period_x(ASKED), [rate_y(rate) for rate in GUESSES]
    rails = path("gap", f"M{x:.1f} {FOOT:g}V{TOP:g}")
    parts = [Part("ladder", rails + label(f"one in {ASKED}?", x, TOP - 4, "ink strong", _SMALL,
                                          "middle"))]  # fmt: skip
    for rate, y in zip(GUESSES, ends, strict=True):
        shape = group(
            f"guess {rate:g} Mbit/s",
            box("hit", x - 22, y - 8, 44, 16),
            path("axis", f"M{x - 9:.1f} {y:.1f}h18"),
        )
        parts.append(Part(f"rung {rate:g}", shape))
    return parts


def _line(points: Iterable[tuple[float, float]]) -> str:
    """Return a line through points, as far as they lie on the axes."""
    inside = [(every, rate) for every, rate in points if LOWEST <= rate <= HIGHEST]
    return "M" + "L".join(f"{period_x(every):.1f} {rate_y(rate):.1f}" for every, rate in inside)
