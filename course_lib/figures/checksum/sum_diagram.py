"""Draw the sum of 16-bit words, step by step: the words in columns, and the adder under them.

A scene is one step of the sum, a word or a carry at a time. A larger figure may stand beside it and
have words of its own; its parts are the same in all steps.
"""

__all__ = ["Beside", "sum_scenes"]

from typing import NamedTuple

from course_lib.figures.checksum.adder_drawing import HEIGHT, adder_parts, distance_parts
from course_lib.figures.checksum.end_around_sum import additions, moved_by
from course_lib.figures.checksum.sum_words import SumWords
from course_lib.figures.checksum.word_columns import RIGHT, WordColumns
from course_lib.figures.drawing.scene import Part, Scene, Touch
from course_lib.figures.drawing.svg import label

_WIDTH = RIGHT + 92


class Beside(NamedTuple):
    """What stands on the right of a sum: parts, touches, lines of text, what is read out, size."""

    parts: tuple[Part, ...] = ()
    touches: tuple[Touch, ...] = ()
    lines: tuple[str, ...] = ()
    spoken: str = ""
    size: tuple[float, float] = (_WIDTH, 0.0)


def sum_scenes(before: bytes, after: bytes, beside: Beside | None = None) -> tuple[Scene, ...]:
    """Return a scene for each step of the sum of `after`; in the last one all words are added.

    What differs from `before` is marked. Both must have the same even number of octets, 2 at least.
    """
    beside = beside or Beside()
    columns = WordColumns.of(before, after)
    steps = additions(columns.words)
    moved = moved_by([old for old, _ in columns.pairs], columns.words)
    fixed = (*columns.parts(), *beside.parts)
    touches = (*columns.touches(), *beside.touches)
    width, height = beside.size
    size = width, max(columns.foot + HEIGHT, height)
    scenes = []
    for step in steps:
        moved_now = moved if step is steps[-1] else None
        words = SumWords(columns, step, moved_now).words(beside.lines, beside.spoken)
        parts = (
            Part("title", label(words.title, 20, 26, "ink strong", 16)),
            *fixed,
            *columns.adding(step.word),
            *adder_parts(columns, step),
            *distance_parts(columns, moved_now),
        )
        scenes.append(Scene(words, size, parts, touches))
    return tuple(scenes)
