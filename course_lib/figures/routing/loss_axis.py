"""Draw when datagrams were lost after a change: time to the right, each mark ten times the last.

So a flood of news within a millisecond and a wait of half a minute find room on one axis. A row for
each protocol has a stroke wherever a datagram was sent that never arrived.
"""

__all__ = [
    "GUESSES",
    "LOSS_HEIGHT",
    "LossRow",
    "axis_words",
    "guess_s",
    "loss_axis",
    "time_words",
    "x_of",
]

import math
from collections.abc import Iterable
from typing import NamedTuple

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import label, path

LEFT, RIGHT = 140.0, 836.0  # pixels, as all that follows
_DECADES = range(-3, 4)  # powers of ten seconds
_SMALL, _PITCH, _STROKE = 12.5, 20.0, 13.0
LOSS_HEIGHT = 2 * _PITCH + 34
GUESSES = range(61)  # tenths of the axis' decades: 0 is 1 ms, 60 is 1,000 s


class LossRow(NamedTuple):
    """A protocol, when datagrams were lost, in seconds, and the words behind the last one."""

    name: str
    lost_s: tuple[float, ...]
    words: str


def guess_s(tenths: int) -> float:
    """Return the time for which a place on the axis stands, in seconds, to two digits."""
    return float(f"{10 ** (_DECADES[0] + tenths / 10):.2g}")


def time_words(time_s: float) -> str:
    """Return a time to three digits, in milliseconds where it is less than a second."""
    return f"{time_s * 1e3:.3g} ms" if time_s < 1 else f"{time_s:.3g} s"


def x_of(time_s: float) -> float:
    """Return where a time stands; what is less than the first mark stands there."""
    decades = math.log10(max(time_s, 10 ** _DECADES[0])) - _DECADES[0]
    share = min(1.0, decades / (len(_DECADES) - 1))
    return LEFT + share * (RIGHT - LEFT)


def loss_axis(rows: Iterable[LossRow], now_s: float | None, top: float) -> list[Part]:
    """Return rows, axis, and a cursor at the time of now; None: nothing has changed yet."""
    parts = []
    foot = top + 2 * _PITCH
    if now_s is not None:
        cursor = path("chosen", f"M{x_of(now_s):.1f} {top - 2:g}V{foot:g}")
        parts.append(Part("now", cursor))
    for number, row in enumerate(rows):
        y = top + number * _PITCH
        places = sorted({round(x_of(time_s), 1) for time_s in row.lost_s})
        strokes = "".join(f"M{x:g} {y + 2:g}v{_STROKE:g}" for x in places) or "M0 0"
        end = (places[-1] if places else LEFT) + 8
        width = width_of(row.words, _SMALL)
        x = end if end + width <= RIGHT else LEFT + 8
        parts.append(Part(f"lost {row.name}", "".join((
            label(row.name, LEFT - 10, y + 13, "ink", _SMALL, "end"),
            path("torn", strokes),
            label(row.words, x, y + 13, "ink haloed", _SMALL),
        ))))  # fmt: skip
    parts.append(Part("axis", _axis(foot)))
    return parts


def axis_words() -> str:
    """Return what the axis is, with the numbers at its marks."""
    marks = ", ".join(_mark(10.0**power) for power in _DECADES)
    return f"The axis of time has marks at {marks} since the change."


def _axis(foot: float) -> str:
    places = [(x_of(10**power), 10.0**power) for power in _DECADES]
    ticks = "".join(f"M{x:g} {foot:g}v5" for x, _ in places)
    numbers = [
        label(_mark(time_s), x, foot + 17, "quiet", _SMALL, "end" if x == RIGHT else "middle")
        for x, time_s in places
    ]
    return "".join((
        path("axis", f"M{LEFT:g} {foot:g}H{RIGHT:g}{ticks}"),
        label("since the change", LEFT - 34, foot + 17, "quiet", _SMALL, "end", room=106),
        *numbers,
    ))  # fmt: skip


def _mark(time_s: float) -> str:
    return f"{time_s * 1e3:,.0f} ms" if time_s < 1 else f"{time_s:,.0f} s"
