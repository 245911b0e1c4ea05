"""Draw a stretch of one flow's window over time, and what follows when one more packet is lost.

Below the window lies a belt, and under it a dot for each packet that falls off. The token at its
left end is a packet; where it is dragged to, a packet is lost besides. The window without that loss
stays as a thin line. Time runs to the right.
"""

__all__ = ["LEFT", "RIGHT", "token_x", "top_of", "window_stretch"]

import math

from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, label, path
from course_lib.figures.loss.aftermath import PLACES, Aftermath, Stretch

LEFT, RIGHT, _TOP, _FOOT = 70.0, 842.0, 62.0, 152.0  # pixels, as all that follows
_BELT_Y = 168.0
_SMALL = 12.5


def token_x(place: int) -> float:
    """Return where the token is at a place."""
    return LEFT + place / PLACES * (RIGHT - LEFT)


def top_of(stretch: Stretch, after: Aftermath | None) -> float:
    """Return where the axis of the window ends."""
    return _round_up(max(*stretch.windows, *(after.stretch.windows if after else ())))


def window_stretch(
    stretch: Stretch, after: Aftermath | None, until: int | None = None, words: str = ""
) -> list[Part]:
    """Return the parts; with `until`, the window after a loss is drawn up to that sample.

    `words` say what happens there.
    """
    high = top_of(stretch, after)
    parts = [
        Part("frame", _frame(stretch, high)),
        Part("belt", _belt(stretch, after)),
        Part("window", path("axis" if after else "chosen", _trace(stretch, high))),
        Part("told", label(words, RIGHT, _TOP - 14, "ink", _SMALL, "end", RIGHT - LEFT - 80)),
    ]
    if after is not None:
        last = len(stretch.times_s) - 1 if until is None else until
        x, now = token_x(after.place), _x(stretch, last)
        parts.append(Part("window after", path("chosen", _trace(after.stretch, high, last))))
        parts.append(Part("gone", path("gap", f"M{x:.1f} {_BELT_Y:g}V{_TOP:g}")))
        parts.append(Part("moment", path("axis", f"M{now:.1f} {_TOP:g}V{_FOOT:g}")))
    parts.append(Part("token", _token(after)))
    return parts


def _x(stretch: Stretch, sample: int) -> float:
    return LEFT + stretch.times_s[sample] / stretch.end_s * (RIGHT - LEFT)


def _trace(stretch: Stretch, high: float, last: int | None = None) -> str:
    shown = stretch.windows if last is None else stretch.windows[: last + 1]
    return "M" + "L".join(
        f"{_x(stretch, n):.1f} {_FOOT - window / high * (_FOOT - _TOP):.1f}"
        for n, window in enumerate(shown)
    )


def _round_up(most: float) -> float:
    """Return the next number of 1, 2 or 5 times a power of ten."""
    power = 10 ** math.floor(math.log10(most))
    return next(float(step * power) for step in (1, 2, 5, 10) if most <= step * power)


def _frame(stretch: Stretch, high: float) -> str:
    return "".join((
        path("axis", f"M{LEFT:g} {_TOP:g}V{_FOOT:g}H{RIGHT:g}"),
        label("window (packets)", 20, _TOP - 14, "quiet", _SMALL),
        label(f"{high:g}", LEFT - 7, _TOP + 4, "quiet", _SMALL, "end"),
        label("0", LEFT - 7, _FOOT + 2, "quiet", _SMALL, "end"),
        label("0 s", LEFT, _BELT_Y + 24, "quiet", _SMALL, "middle"),
        label(f"{stretch.end_s:g} s", RIGHT, _BELT_Y + 24, "quiet", _SMALL, "end"),
    ))  # fmt: skip


def _belt(stretch: Stretch, after: Aftermath | None) -> str:
    """Draw what falls out of the belt: a dot under it for each lost packet."""
    shown = after.stretch if after else stretch
    falls = "".join(
        f"M{LEFT + at / shown.end_s * (RIGHT - LEFT):.1f} {_BELT_Y + 7:g}h0" for at in shown.lost_s
    )
    line = path("axis", f"M{LEFT:g} {_BELT_Y:g}H{RIGHT:g}")
    line += label("lost", LEFT - 12, _BELT_Y + 10, "quiet", _SMALL, "end")
    return line + (path("fallen", falls) if falls else "")


def _token(after: Aftermath | None) -> str:
    if after is None:
        x, look, sign, words = token_x(0), "calm", "+", "a packet: drag it out of the flow"
    else:
        x, look, sign = token_x(after.place), "alert", "×"
        words = f"packet {after.number:,} is lost"
    return group(
        words,
        box("hit", x - 14, _BELT_Y - 14, 28, 28),
        box(look, x - 8, _BELT_Y - 6, 16, 12, 2),
        label(sign, x, _BELT_Y + 4.5, "on-mark strong", 13, "middle"),
    )
