"""The picture of a line at a load: what theory expects, what was measured so far, and why.

On the left the mean wait against the load, on the right a stretch of the same run at the same
height. The guess is a flag whose pole stands at the wait that was guessed.
"""

__all__ = ["WaitView", "wait_scene"]

from collections.abc import Iterator

from course_lib.ferry.one_line import expected_wait
from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide, Touch
from course_lib.figures.drawing.svg import element, label, path
from course_lib.figures.queueing.wait_axes import (
    ASKED_PERCENT,
    FOOT,
    GUESSES,
    LEFT,
    LOADS,
    RIGHT,
    earlier_dots,
    load_at,
    load_axes,
    load_knob,
    measured_dot,
    rungs,
    theory_line,
    wait_y,
)
from course_lib.figures.queueing.wait_words import (
    GHOST_LETTERS,
    Ghost,
    WaitView,
    ghost_name,
    wait_words,
)
from course_lib.figures.queueing.work_window import work_window

_SIZE = (860.0, 472.0)
_BLOCK_X, _BLOCK_Y, _LINE = LEFT + 14, 106.0, 20.0  # the numbers of now, in the empty corner
_LEGEND_Y, _LEGEND = 462.0, 824.0
_FLAG_UP, _SMALL = 26.0, 12.5
_APART, _HIGH = 2.0, 22.0  # waits at which lines do not lie on each other


def wait_scene(view: WaitView) -> Scene:
    """Return the scene of a view."""
    words, x = wait_words(view), load_at(view.percent)
    parts = [Part("title", label(words.title, 20, 22, "ink strong", 16, room=824)),
             Part("axes", load_axes())]  # fmt: skip
    parts += work_window(view.stretch, view.band.mean, x)
    if not view.is_asked:
        parts += _ghosts(view)
        parts.append(Part("theory", theory_line(view.traffic, "expected")))
        parts.append(Part("legend", _legend(view.ghosts)))
        parts.append(Part("earlier", earlier_dots(view.measured)))
    plumb, knob = load_knob(view.percent, view.band.mean)
    parts += [plumb, *rungs()] if view.is_asked else [plumb, knob]
    parts.append(Part("measured", measured_dot(view.band, is_coarse=view.is_coarse)))
    parts.append(Part("numbers", _numbers(view)))
    if view.guess is not None:
        where = (load_at(ASKED_PERCENT), f"your guess: {view.guess}")
        parts += flags(wait_y(view.guess), (LEFT, RIGHT + 100), guess=where, up=_FLAG_UP)
    return Scene(words, _SIZE, tuple(parts), _touches(view))


def _numbers(view: WaitView) -> str:
    """Say in the corner what the dashed line and the dot are worth."""
    theory, measured, how = view.sentences
    name = "" if view.is_asked else f"{view.traffic.kendall}, "
    lines = [label(f"{name}load {view.percent} %", _BLOCK_X, _BLOCK_Y, "ink strong", _SMALL)]
    y = _BLOCK_Y + _LINE
    if theory:
        lines.append(path("expected", f"M{_BLOCK_X:g} {y - 4:g}h20"))
        lines.append(label(theory, _BLOCK_X + 28, y, "ink", _SMALL))
        y += _LINE
    lines.append(
        element("circle", cx=_BLOCK_X + 10, cy=y - 4, r=6, class_="torn", stroke_dasharray="3 2")
        if view.is_coarse
        else path("measured", f"M{_BLOCK_X:g} {y - 4:g}h20")
        + element("circle", cx=_BLOCK_X + 10, cy=y - 4, r=5.5, class_="alert")
    )
    lines.append(label(measured, _BLOCK_X + 28, y, "ink", _SMALL))
    lines.append(label(how, _BLOCK_X + 28, y + _LINE, "quiet", _SMALL))
    return "".join(lines)


def _ghosts(view: WaitView) -> list[Part]:
    """Draw settings of before: their theory, what was measured of it, a letter where is room."""
    room, parts = Room(LEFT, RIGHT + 60), []
    room.take(LEFT, FOOT, RIGHT - LEFT + 60, 60)  # numbers of the axis, and the knob
    if view.guess is not None:
        room.take(load_at(ASKED_PERCENT), wait_y(view.guess) - _FLAG_UP, 140, _FLAG_UP)
    for letter, ghost in zip(GHOST_LETTERS, view.ghosts, strict=False):
        place = room.place(letter, _beside(ghost), _SMALL, "strong")
        name = label(letter, *place[:2], "ink strong haloed", _SMALL, place[2]) if place else ""
        dots = earlier_dots(ghost.measured)
        parts.append(Part(f"ghost {letter}", theory_line(ghost.traffic, "axis") + dots + name))
    return parts


def _beside(ghost: Ghost) -> Iterator[tuple[float, float, str]]:
    """Yield places for a letter: beside a dot, or else along the line."""
    line = [(one / 100, expected_wait(ghost.traffic, one / 100).wait) for one in LOADS[::-3]]
    dots = [(one.x, one.mean) for one in reversed(ghost.measured)]
    apart = [(load, wait) for load, wait in (*dots, *line) if _APART < wait < _HIGH]
    for load, wait in (*apart, *dots, *line):
        x, y = load_at(100 * load), wait_y(wait)
        yield x + 6, min(y + 12, FOOT - 5), "start"
        yield x - 6, y - 7, "end"


def _legend(ghosts: tuple[Ghost, ...]) -> str:
    """Say which settings the letters mean, in one row."""
    names = [ghost_name(letter, one) for letter, one in zip(GHOST_LETTERS, ghosts, strict=False)]
    widths = [width_of(name, _SMALL) for name in names]
    if not names:
        return path("axis", "M0 0")
    squeezed = min(1.0, (_LEGEND - 20 * (len(names) - 1)) / sum(widths))
    shapes, x = [], 20.0
    for name, width in zip(names, widths, strict=True):
        shapes.append(label(name, x, _LEGEND_Y, "ink", _SMALL, room=width * squeezed))
        x += width * squeezed + 20
    return "".join(shapes)


def _touches(view: WaitView) -> tuple[Touch, ...]:
    if view.is_asked:
        return tuple(
            Press(f"rung {wait}", f"Guess {wait} packet times", "guess", wait, wait == view.guess)
            for wait in GUESSES
        )
    low, high = LOADS[0], LOADS[-1]
    return (
        Slide("load", "Load of the line", "load", load_at(low), load_at(high), low, high,
              view.percent, f"{view.percent} %"),
    )  # fmt: skip
