"""Draw what a buffer buys and what it costs: use of the line, and waits, on one axis of its size.

The axis is that of the pipe and the tank above. Settings that were tried before stay as thin lines
with a letter. Dashed lines are theory: the use that one flow makes, or flows in step; the wait
behind a full buffer. An upright line is the square-root rule.
"""

__all__ = ["USE_FOOT", "Curve", "buffer_curves", "curve_name", "theory_parts"]

from collections.abc import Callable, Sequence
from typing import NamedTuple

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import (
    PACKET_S,
    POLICIES,
    ROUND_TRIP_S,
    Measured,
    Sharing,
    expected_use,
    root_packets,
)
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.figures.headers.header_words import counted
from course_lib.figures.tcp.packet_axis import AXIS_Y, LARGEST, LEFT, NOTHING, RIGHT, at

USE_TOP, USE_FOOT = 172.0, 282.0  # pixels, as all that follows
_WAIT_TOP = 310.0
LOWEST_USE = 40.0  # percent; what is lower is marked on the lower edge
MOST_MS = 75.0
USE_TICKS, WAIT_TICKS, SIZE_TICKS = (40, 60, 80, 100), (0, 25, 50, 75), range(0, 301, 50)
_LETTERS = "abc"
_LETTER_AT = (75, 100, 150)  # packets, sizes that are measured, left of the words for theory
_LEGEND_Y, _LEGEND = 466.0, 824.0  # of the letters: height, and room
_SMALL = 12.5


class Curve(NamedTuple):
    """What was measured of one setting, by rising size of the buffer."""

    sharing: Sharing
    measured: tuple[Measured, ...]


def curve_name(sharing: Sharing) -> str:
    """Return a setting in words.

    >>> curve_name(Sharing(25, 0)), curve_name(Sharing(4, 30, "by waiting time"))
    ('25 flows in step', '4 flows, 60 ± 30 ms, drops by waiting time')
    """
    trip_ms = 1000 * ROUND_TRIP_S
    how = " in step" if sharing.in_step else f", {trip_ms:g} ± {sharing.spread_ms} ms"
    drops = "" if sharing.policy == POLICIES[0] else f", drops {sharing.policy}"
    return counted(sharing.flows, "flow") + (how if sharing.flows > 1 else "") + drops


def use_y(percent: float) -> float:
    """Return the height of a use of the line, in percent."""
    share = (max(percent, LOWEST_USE) - LOWEST_USE) / (100 - LOWEST_USE)
    return USE_FOOT - share * (USE_FOOT - USE_TOP)


def wait_y(wait_ms: float) -> float:
    """Return the height of a wait, in ms."""
    return AXIS_Y - wait_ms / MOST_MS * (AXIS_Y - _WAIT_TOP)


def theory_parts(flows: int | None) -> list[Part]:
    """Return the axes; with a number of flows, also what theory says of the curves."""
    parts = [Part("axes", _axes())]
    if flows is None:
        return parts
    use = [(at(n), use_y(100 * expected_use(n))) for n in range(0, LARGEST + 1, 10)]
    full = [(at(0), wait_y(0)), (RIGHT, wait_y(1000 * PACKET_S * LARGEST))]
    root = root_packets(flows)
    x, side = at(root), "end" if root > LARGEST / 2 else "start"
    shift = -5 if side == "end" else 5
    return [
        *parts,
        Part("theory", path("expected", _line(use)) + path("expected", _line(full))),
        Part("rule", path("gap", f"M{x:g} {USE_TOP:g}V{AXIS_Y:g}")),
        Part("theory words",
             label("one flow, or in step", RIGHT - 4, use_y(83), "ink haloed", _SMALL, "end")
             + label("behind a full buffer", RIGHT - 60, wait_y(69), "ink haloed", _SMALL, "end")
             + label(f"square-root rule: {root}", x + shift, USE_FOOT + 13, "ink haloed", _SMALL,
                     side)),
    ]  # fmt: skip


def buffer_curves(
    now: Curve, ghosts: Sequence[Curve], shown: Measured | None, *, is_coarse: bool
) -> list[Part]:
    """Return the curves: three ghosts at most, the setting of now, and a ring around `shown`."""
    parts = []
    for letter, place, ghost in zip(_LETTERS, _LETTER_AT, ghosts, strict=False):
        parts.append(Part(f"ghost {ghost.sharing}", _ghost(ghost, letter, place)))
    rows = sorted(
        {one.utilisation.x: one for one in (*now.measured, *([shown] if shown else []))}.items()
    )
    measured = [one for _, one in rows]
    parts.append(Part("use", _series(measured, _use, use_y)))
    parts.append(Part("slow wait", _series(measured, _slow, wait_y, is_square=True)))
    parts.append(Part("mean wait", _series(measured, _mean, wait_y)))
    parts.append(Part("wait names", _names_of_waits(measured)))
    parts.append(Part("legend", _legend(ghosts)))
    if shown is not None:
        parts.append(Part("shown", _ring(shown, is_coarse)))
    return parts


def _use(one: Measured) -> Band:
    x, mean, low, high, runs = one.utilisation
    return Band(x, 100 * mean, 100 * low, 100 * high, runs)


def _mean(one: Measured) -> Band:
    return one.wait_ms


def _slow(one: Measured) -> Band:
    return one.wait_99_ms


def _series(
    rows: Sequence[Measured],
    value: Callable[[Measured], Band],
    y: Callable[[float], float],
    *,
    is_square: bool = False,
) -> str:
    """Draw a line with a mark for each size."""
    bands = [value(one) for one in rows]
    if not bands:
        return NOTHING
    dashes = "5 3" if is_square else None
    line = _line([(at(one.x), y(one.mean)) for one in bands])
    shapes = [element("path", d=line, class_="chosen", stroke_dasharray=dashes)]
    for one in bands:
        x, middle = at(one.x), y(one.mean)
        if one.high > one.low:
            shapes.append(path("chosen", f"M{x:g} {y(one.high):.1f}V{y(one.low):.1f}"))
        shapes.append(_mark(x, middle, is_square, y is use_y and one.mean < LOWEST_USE))
    return "".join(shapes)


def _names_of_waits(rows: Sequence[Measured]) -> str:
    """Name both waits behind their last marks, as soon as the curve reaches that far."""
    if not rows or rows[-1].utilisation.x <= LARGEST / 2:
        return NOTHING
    x, mean = at(rows[-1].utilisation.x) + 8, wait_y(rows[-1].wait_ms.mean) + 4
    slow = min(wait_y(rows[-1].wait_99_ms.mean) + 4, mean - 15)
    return label("99 of 100", x, slow, "ink haloed", _SMALL) + label(
        "mean", x, mean, "ink haloed", _SMALL
    )


def _mark(x: float, y: float, is_square: bool, is_below: bool) -> str:
    if is_below:  # the value lies under the plot
        return path("calm", f"M{x - 5:g} {y - 8:.1f}h10l-5 8z")
    if is_square:
        return box("calm", x - 3, y - 3, 6, 6)
    return element("circle", cx=x, cy=y, r=3.2, class_="calm")


def _ghost(ghost: Curve, letter: str, place: float) -> str:
    """Draw a setting that was tried before: its use, and the wait of 99 of 100."""
    shapes = []
    for value, y in ((_use, use_y), (_slow, wait_y)):
        points = [(at(one.x), y(one.mean)) for one in map(value, ghost.measured)]
        shapes.append(path("axis", _line(points)))
        near = min(points, key=lambda point: abs(point[0] - at(place)))
        shapes.append(label(letter, near[0], near[1] + 4, "ink strong haloed", _SMALL, "middle"))
    return group(f"{letter}: {curve_name(ghost.sharing)}", *shapes)


def _ring(shown: Measured, is_coarse: bool) -> str:
    """Ring what is shown at present; dashed as long as it is coarse."""
    look, dashes = ("axis", "3 2") if is_coarse else ("chosen", None)
    return "".join(
        element("circle", cx=at(one.x), cy=y(one.mean), r=7, class_=look, stroke_dasharray=dashes)
        for one, y in ((_use(shown), use_y), (_mean(shown), wait_y), (_slow(shown), wait_y))
    )


def _legend(ghosts: Sequence[Curve]) -> str:
    """Say which settings the letters mean, in one row."""
    if not ghosts:
        return NOTHING
    names = [f"{letter}: {curve_name(ghost.sharing)}"
             for letter, ghost in zip(_LETTERS, ghosts, strict=False)]  # fmt: skip
    widths = [width_of(name, _SMALL) for name in names]
    squeezed = min(1.0, (_LEGEND - 20 * (len(names) - 1)) / sum(widths))
    shapes, x = [], 20.0
    for name, width in zip(names, widths, strict=True):
        shapes.append(label(name, x, _LEGEND_Y, "ink", _SMALL, room=width * squeezed))
        x += width * squeezed + 20
    return "".join(shapes)


def _axes() -> str:
    shapes = [
        path("axis", f"M{LEFT:g} {USE_TOP:g}V{USE_FOOT:g}H{RIGHT:g}"),
        path("axis", f"M{LEFT:g} {_WAIT_TOP:g}V{AXIS_Y:g}H{RIGHT:g}"),
        label("use of the line (%)", LEFT, USE_TOP - 10, "quiet haloed", _SMALL),
        label("wait (ms)", LEFT - 60, _WAIT_TOP - 11, "quiet", _SMALL),
        label("buffer (packets that may wait)", (LEFT + RIGHT) / 2, AXIS_Y + 34, "quiet", _SMALL,
              "middle"),
    ]  # fmt: skip
    for percent in USE_TICKS:
        shapes.append(label(f"{percent}", LEFT - 7, use_y(percent) + 4, "quiet", _SMALL, "end"))
    for wait_ms in WAIT_TICKS:
        shapes.append(label(f"{wait_ms}", LEFT - 7, wait_y(wait_ms) + 4, "quiet", _SMALL, "end"))
    ticks = "".join(f"M{at(size):g} {AXIS_Y:g}v5" for size in SIZE_TICKS)
    numbers = [
        label(f"{size}", at(size), AXIS_Y + 17, "quiet", _SMALL, "middle") for size in SIZE_TICKS
    ]
    return "".join((*shapes, path("axis", ticks), *numbers))


def _line(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
