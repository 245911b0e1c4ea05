"""Two axes with names and ticks, and the lines and marks between them.

An `Area` is the place of a plot in a drawing and what its axes count. It says where a value lies,
and draws the frame. Series differ in their marks and in the pattern of their lines, not in colour
alone.
"""

__all__ = [
    "MARKS",
    "Area",
    "Point",
    "legend_entry",
    "legend_entry_line",
    "line_look",
    "mark_at",
    "nice_step",
    "path_through",
    "theory_line",
]

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from course_lib.figures.drawing.svg import element, label

_NICE = (1.0, 2.0, 2.5, 5.0, 10.0)  # steps that people like to count in
_TICKS = 5
_MARK = 4.2  # pixels from its middle to its edge
MARKS = ("circle", "square", "triangle")
_LINES = {"circle": "trace", "square": "trace-second", "triangle": "trace-third"}
_FILLS = {"circle": "calm", "square": "alert", "triangle": "ink"}

Point = tuple[float, float]


class Area(NamedTuple):
    """A plot's left upper corner and size in pixels, and the ends of its axes."""

    left: float
    top: float
    width: float
    height: float
    x_ends: tuple[float, float]
    y_ends: tuple[float, float]

    def x(self, value: float) -> float:
        """Return where a value of the lower axis lies."""
        low, high = self.x_ends
        return self.left + self.width * (value - low) / (high - low)

    def y(self, value: float) -> float:
        """Return where a value of the upright axis lies; what is outside stays at the edge."""
        low, high = self.y_ends
        inside = min(max(value, low), high)
        return self.top + self.height * (1 - (inside - low) / (high - low))

    def frame(self, x_name: str, y_name: str) -> str:
        """Return both axes with ticks, numbers and names; without a name, without numbers."""
        bottom = self.top + self.height
        corner = f"M{self.left:g} {self.top:g}V{bottom:g}H{self.left + self.width:g}"
        shapes = [element("path", d=corner, class_="axis")]
        shapes += [self._x_tick(value, bool(x_name)) for value in _ticks(*self.x_ends)]
        shapes += [self._y_tick(value) for value in _ticks(*self.y_ends)]
        middle = self.left + self.width / 2
        below = bottom + 36
        shapes.append(label(x_name, middle, below, "quiet", font_size=12.5, text_anchor="middle"))
        shapes.append(label(y_name, self.left - 4, self.top - 9, "quiet", font_size=12.5))
        return "".join(shapes)

    def _x_tick(self, value: float, numbered: bool) -> str:
        x, bottom = self.x(value), self.top + self.height
        tick = element("path", d=f"M{x:.1f} {bottom:g}v5", class_="axis")
        if not numbered:
            return tick
        words = f"{value:,g}"
        return tick + label(words, x, bottom + 18, "quiet mono", font_size=11, text_anchor="middle")

    def _y_tick(self, value: float) -> str:
        y = self.y(value)
        tick = element("path", d=f"M{self.left:g} {y:.1f}h-5", class_="axis")
        words = f"{value:,g}"
        return tick + label(
            words, self.left - 8, y + 4, "quiet mono", font_size=11, text_anchor="end"
        )


def path_through(area: Area, points: Iterable[Point], look: str) -> str:
    """Return a line through points, in the order in which they come."""
    places = "L".join(f"{area.x(x):.1f} {area.y(y):.1f}" for x, y in points)
    return element("path", d=f"M{places}", class_=look) if places else ""


def theory_line(area: Area, points: Sequence[Point], words: str, above: float = 6.0) -> str:
    """Return a dashed line with its name at its last point inside the plot."""
    inside = [one for one in points if area.x_ends[0] <= one[0] <= area.x_ends[1]]
    x, y = area.x(inside[-1][0]), area.y(inside[-1][1])
    name = label(words, x - 2, y - above, "ink", font_size=12, text_anchor="end")
    return path_through(area, inside, "expected") + name


def mark_at(x: float, y: float, mark: str, scale: float = 1.0) -> str:
    """Return a mark with its middle at a place, given in pixels."""
    half, look = _MARK * scale, _FILLS[mark]
    if mark == "circle":
        return element("circle", cx=round(x, 1), cy=round(y, 1), r=half, class_=look)
    if mark == "square":
        corner = f"M{x - half:.1f} {y - half:.1f}"
        return element("path", d=f"{corner}h{2 * half:g}v{2 * half:g}h{-2 * half:g}z", class_=look)
    peak = f"M{x:.1f} {y - 1.2 * half:.1f}"
    return element("path", d=f"{peak}l{1.2 * half:g} {2 * half:g}h{-2.4 * half:g}z", class_=look)


def legend_entry(x: float, y: float, mark: str, words: str) -> str:
    """Return a mark on a piece of its line, and its name; `y` is the line of writing."""
    return legend_entry_line(x, y, _LINES[mark], words) + mark_at(x + 13, y - 4, mark)


def legend_entry_line(x: float, y: float, look: str, words: str) -> str:
    """Return a piece of a line, and its name."""
    line = element("path", d=f"M{x:g} {y - 4:g}h26", class_=look)
    return line + label(words, x + 33, y, font_size=12.5)


def line_look(mark: str) -> str:
    """Return the look of the line that goes with a mark."""
    return _LINES[mark]


def nice_step(length: float) -> float:
    """Return the smallest nice step that needs no more than a few ticks.

    >>> nice_step(300), nice_step(0.9)
    (100.0, 0.2)
    """
    raw = length / _TICKS
    power = 10.0 ** math.floor(math.log10(raw))
    return next(nice * power for nice in _NICE if nice * power >= raw * (1 - 1e-9))


def _ticks(low: float, high: float) -> list[float]:
    step = nice_step(high - low)
    first = math.ceil(low / step - 1e-9)
    count = math.floor(high / step + 1e-9) - first + 1
    return [round((first + place) * step, 10) for place in range(count)]
