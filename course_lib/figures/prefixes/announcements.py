"""What a router announces, as a list beside the line; or the reader's guess how many there will be.

What the last change brought is marked as new, and what it took away is listed as withdrawn.
"""

__all__ = ["Announced", "announced_list", "count_question", "frame"]

from collections.abc import Sequence
from dataclasses import dataclass

from course_lib.figures.drawing.flags import FLAGS_HEIGHT, flags
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.headers.header_words import listed
from course_lib.figures.prefixes.address_view import SMALL, WIDTH
from course_lib.prefixes.prefix import Prefix

_X, _Y, _LINE = 680.0, 88.0, 18.0
_MOST, _MOST_WITHDRAWN = 9, 4  # as many as find room; the text has them all


@dataclass(frozen=True, slots=True)
class Announced:
    """What is announced now, what was before the last change, and the guess how many it will be.

    While `asks` is set, only the guess is shown.
    """

    now: tuple[Prefix, ...]
    before: tuple[Prefix, ...]
    most: int  # there can be
    guess: int | None = None
    asks: bool = False

    @property
    def new(self) -> list[Prefix]:
        """Return what was not announced before."""
        return [one for one in self.now if one not in self.before]

    @property
    def withdrawn(self) -> list[Prefix]:
        """Return what is no longer announced."""
        return [one for one in self.before if one not in self.now]

    def sentences(self) -> str:
        """Return all of it in words."""
        mine = "" if self.guess is None else f" Your guess: {self.guess}."
        if self.asks:
            return f"How many prefixes are announced, from 0 to {self.most}?{mine}"
        words = f"Announced, {len(self.now)} in all: {listed([str(one) for one in self.now])}."
        if self.new:
            words += f" New: {listed([str(one) for one in self.new])}."
        if self.withdrawn:
            words += f" Withdrawn: {listed([str(one) for one in self.withdrawn])}."
        return words + mine


def announced_list(announced: Announced) -> str:
    """Draw the list of prefixes, and those that the last change has withdrawn."""
    shapes = [label(f"Announced: {len(announced.now)}", _X, _Y, "ink strong", 13.5)]
    y = _Y + _LINE + 2
    for prefix in _first(announced.now, _MOST):
        is_new = prefix in announced.new
        shapes.append(label(str(prefix), _X, y, "ink strong" if is_new else "ink", SMALL))
        if is_new:
            shapes.append(label("new", WIDTH - 10, y, "alert strong", SMALL, "end"))
        y += _LINE
    y = _more(announced.now, _MOST, y, shapes)
    if announced.withdrawn:
        y += 8
        shapes.append(label("Withdrawn:", _X, y, "ink strong", 13.5))
        for prefix in _first(announced.withdrawn, _MOST_WITHDRAWN):
            y += _LINE
            shapes.append(label(str(prefix), _X, y, "quiet", SMALL))
        _more(announced.withdrawn, _MOST_WITHDRAWN, y + _LINE, shapes)
    return "".join(shapes)


def count_question(announced: Announced) -> list[Part]:
    """Draw a line of numbers up to the most there can be, with the guess as a flag on it."""
    left, right, foot = _X + 6, WIDTH - 14, _Y + 40 + FLAGS_HEIGHT
    step = (right - left) / announced.most
    places = [left + step * number for number in range(announced.most + 1)]
    ticks = "".join(f"M{x:g} {foot:g}v5" for x in places)
    marks = (0, announced.most)
    parts = [
        Part("question", label("How many prefixes", _X, _Y, "ink strong", 13.5)
             + label("are announced?", _X, _Y + _LINE, "ink strong", 13.5)),
        Part("count line", path("axis", f"M{left:g} {foot:g}H{right:g}{ticks}") + "".join(
            label(str(mark), places[mark], foot + 20, "quiet", SMALL, "middle") for mark in marks
        )),
    ]  # fmt: skip
    if announced.guess is not None:
        place = (places[announced.guess], f"guess: {announced.guess}")
        parts += flags(foot, (_X, WIDTH - 6), guess=place)
    return parts


def frame(height: float) -> str:
    """Draw what parts the list from the line."""
    return box("box", _X - 12, _Y - 20, WIDTH - _X + 6, height, 4)


def _first(prefixes: Sequence[Prefix], most: int) -> Sequence[Prefix]:
    """Return as many as find room; one line is kept for the words that there are more."""
    return prefixes if len(prefixes) <= most else prefixes[: most - 1]


def _more(prefixes: Sequence[Prefix], most: int, y: float, shapes: list[str]) -> float:
    if len(prefixes) <= most:
        return y
    shapes.append(label("and others", _X, y, "quiet", SMALL))
    return y + _LINE
