"""Draw a switch at work: slot by slot the crossbar, and below it what ever larger ones carry."""

__all__ = ["switch_scene"]

from course_lib.ferry.one_switch import PORTS
from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.letters import wrapped
from course_lib.figures.drawing.scene import Part, Press, Scene, Touch
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.switching.crossbar import crossbar
from course_lib.figures.switching.saturation_axes import (
    GUESSES,
    LEFT,
    RIGHT,
    dots,
    ports_at,
    rungs,
    saturation_axes,
    share_y,
    theory_line,
)
from course_lib.figures.switching.switch_view import SwitchView
from course_lib.figures.switching.switch_words import carried_rows, slot_sentences, switch_words

_SIZE = (860.0, 486.0)
_WORDS_X, _WORDS_Y, _WORDS, _LINE = 546.0, 66.0, 300.0, 18.0  # pixels, as all that follows
_BARS_FOOT, _CELL, _BAR, _MOST_BARS = 266.0, 12.0, 30.0, 10
_TABLE_X, _TABLE_Y, _ROW = (596.0, 704.0, 836.0), 342.0, 21.0
_FLAG_UP, _SMALL = 26.0, 12.5
_POINTERS = "Triangles are pointers: of outputs from the left, inputs from above."


def switch_scene(view: SwitchView) -> Scene:
    """Return the scene of a view."""
    words = switch_words(view)
    parts = [Part("title", label(words.title, 20, 22, "ink strong", 16, room=824)),
             *crossbar(view),
             Part("happens", _happens(view)),
             Part("bars", _bars(view)),
             Part("axes", saturation_axes(limit=not view.is_asked))]  # fmt: skip
    if view.is_asked:
        parts += rungs()
    else:
        for letter, ghost in zip("ab", view.ghosts, strict=False):
            drawn = theory_line(ghost.switch, "axis") + dots(ghost.measured, is_now=False)
            parts.append(Part(f"ghost {letter}", drawn))
        parts.append(Part("theory", theory_line(view.switch, "expected")))
        parts.append(Part("measured", dots(view.measured, is_now=True)))
        parts.append(Part("table", _table(view)))
    if view.guess is not None:
        where = (ports_at(PORTS), f"your guess: {view.guess} %")
        parts += flags(share_y(view.guess / 100), (LEFT, RIGHT), guess=where, up=_FLAG_UP)
    return Scene(words, _SIZE, tuple(parts), _touches(view))


def _happens(view: SwitchView) -> str:
    """Write what happens in this phase beside the crossbar."""
    heading = f"Slot {view.number}"
    lines = [label(heading, _WORDS_X, _WORDS_Y - 18, "ink strong", _SMALL)]
    told = [(line, "ink") for line in slot_sentences(view)]
    if view.pointers[0]:
        told.append((_POINTERS, "quiet"))
    y = _WORDS_Y
    for sentence, look in told:
        for line in wrapped(sentence, _WORDS, _SMALL):
            lines.append(label(line, _WORDS_X, y, look, _SMALL))
            y += _LINE
    return "".join(lines)


def _bars(view: SwitchView) -> str:
    """Draw how many cells crossed in each slot so far, time to the right."""
    shapes = [path("axis", f"M{_WORDS_X:g} {_BARS_FOOT:g}h{_MOST_BARS * _BAR:g}"),
              label("cells that crossed, slot by slot", _WORDS_X, _BARS_FOOT - PORTS * _CELL - 24,
                    "quiet", _SMALL)]  # fmt: skip
    for place, crossed in enumerate(view.crossed):
        x, top = _WORDS_X + place * _BAR, _BARS_FOOT - crossed * _CELL
        shapes.append(box("calm", x + 5, top, _BAR - 10, crossed * _CELL))
        shapes.append(label(f"{crossed}", x + _BAR / 2, top - 4, "ink strong", _SMALL, "middle"))
        shapes.append(
            label(f"{place + 1}", x + _BAR / 2, _BARS_FOOT + 16, "quiet", _SMALL, "middle")
        )
    return "".join(shapes)


def _table(view: SwitchView) -> str:
    rows = [("ports", "theory %", "measured %"), *carried_rows(view)]
    if not rows[1:]:
        return path("axis", "M0 0")
    return "".join(
        label(words, x, _TABLE_Y + _ROW * line, "ink" if line else "quiet", _SMALL, "end")
        for line, row in enumerate(rows)
        for words, x in zip(row, _TABLE_X, strict=True)
    )


def _touches(view: SwitchView) -> tuple[Touch, ...]:
    if not view.is_asked:
        return ()
    return tuple(
        Press(f"rung {share}", f"Guess {share} %", "guess", share, share == view.guess)
        for share in GUESSES
    )
