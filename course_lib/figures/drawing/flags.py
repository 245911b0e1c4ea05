"""The reader's own guess as a flag on a level line, and then the answer on a board beside it.

The two are told apart by shape, word and colour: a guess flies from a pole and has a tail, an
answer has a plain board below it. They stand at different heights, so neither ever covers the
other. A figure draws the guess as soon as there is one, and the answer only when it was asked for:

    parts += flags(foot, (left, right), guess=(at(21), "your guess: 21"))
    parts += flags(foot, (left, right), guess=(…), answer=(at(35), "answer: 35"))

The part of the guess has the key "guess", so a `Slide` with this key lets the reader drag it. What
remembers the guess is `course_lib.widgets.touch.own_guess`.
"""

__all__ = ["FLAGS_HEIGHT", "flags"]

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path

Place = tuple[float, str]  # where on the line in pixels, and the words

_SIZE, _FLAG, _TAIL, _PAD = 12.5, 19.0, 7.0, 7.0  # of words, height, length of the tail, margin
_GUESS_UP, _ANSWER_UP = 46.0, 25.0  # how far the upper edges are above the line
FLAGS_HEIGHT = _GUESS_UP + 2.0  # pixels above the line that have to be left free


def flags(
    foot: float,
    line: tuple[float, float],
    *,
    guess: Place | None = None,
    answer: Place | None = None,
    up: float = _GUESS_UP,
) -> list[Part]:
    """Return parts "guess" and "answer", as far as they are there.

    `foot` is the height of the line, and `line` the left and right end of what words may cover.
    `up` is how far the guess reaches above the line: less, where no answer stands below it.
    """
    parts = []
    if guess is not None:
        parts.append(Part("guess", _guess(foot, line, up, *guess)))
    if answer is not None:
        parts.append(Part("answer", _answer(foot, line, *answer)))
    return parts


def _guess(foot: float, line: tuple[float, float], up: float, x: float, words: str) -> str:
    top, width = foot - up, width_of(words, _SIZE, "strong") + 2 * _PAD
    way = _way(x, width + _TAIL, line)
    end = way * (width + _TAIL)
    cloth = f"M{x:g} {top:g}h{end:g}l{-way * _TAIL:g} {_FLAG / 2:g}l{way * _TAIL:g} {_FLAG / 2:g}"
    return group(
        words,
        path("guessed", f"M{x:g} {foot:g}V{top:g}"),
        path("guess", f"{cloth}H{x:g}z"),
        element("circle", cx=x, cy=foot, r=4, class_="guess"),
        label(words, x + way * (_PAD + width) / 2, top + 14, "on-mark strong", _SIZE, "middle"),
    )


def _answer(foot: float, line: tuple[float, float], x: float, words: str) -> str:
    top, width = foot - _ANSWER_UP, width_of(words, _SIZE, "strong") + 2 * _PAD
    way = _way(x, width, line)
    return group(
        words,
        path("chosen", f"M{x:g} {foot:g}V{top:g}"),
        box("calm", min(x, x + way * width), top, width, _FLAG),
        path("calm", f"M{x:g} {foot:g}l-5 -7h10z"),
        label(words, x + way * width / 2, top + 14, "on-mark strong", _SIZE, "middle"),
    )


def _way(x: float, width: float, line: tuple[float, float]) -> int:
    """Return 1 if a flag finds room to the right of its pole, else -1."""
    return 1 if x + width <= line[1] or x - width < line[0] else -1
