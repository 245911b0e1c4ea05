"""An IPv4 packet whole: the strip of all octets, its header enlarged below, its sum beside that."""

__all__ = ["packet_scene"]

from collections.abc import Iterable

from course_lib.figures.drawing.scene import Part, Scene, Touch
from course_lib.figures.drawing.svg import Words, label
from course_lib.figures.headers.frame_strip import Frame, frame_parts, frame_slides
from course_lib.figures.headers.header_diagram import bit_presses, header_parts
from course_lib.figures.headers.header_fields import HeaderReading
from course_lib.figures.headers.header_grid import RIGHT, rows_of
from course_lib.figures.headers.header_words import words_of
from course_lib.figures.headers.sum_bars import SUM_WIDTH, Sum, sum_of, sum_parts

_EDGE, _TITLE_Y = 20.0, 20.0  # pixels, as all that follows
_STRIP_Y, _RULER = 24.0, 27.0
_APART = 20.0  # between header and sum


def packet_scene(reading: HeaderReading, frame: Frame, changed_bits: Iterable[int] = ()) -> Scene:
    """Return the scene: bits "flip", the fences are "header length" and "total length".

    As long as the frame is asked where its packet ends, only the flag can be dragged ("guess").
    """
    changed = frozenset(changed_bits)
    rows = rows_of(reading, _STRIP_Y + frame.height + _RULER, folded=True)
    sum_ = sum_of(reading)
    broken = ("checksum",) if sum_ is not None and sum_.lacks else ()
    words = _words(reading, frame, sum_, changed)
    parts = [
        Part("title", label(words.title, _EDGE, _TITLE_Y, "ink strong", 16)),
        *frame_parts(frame, _STRIP_Y),
        *header_parts(reading, rows, changed, broken),
        *sum_parts(sum_, rows, RIGHT + _APART),
    ]
    touches: list[Touch] = list(frame_slides(frame))
    if not frame.asked:
        touches += bit_presses(reading, rows)
    size = (RIGHT + _APART + SUM_WIDTH, rows[-1].foot + (4 if rows[-1].has_bits else 16))
    return Scene(words, size, tuple(parts), tuple(touches))


def _words(
    reading: HeaderReading, frame: Frame, sum_: Sum | None, changed: frozenset[int]
) -> Words:
    title, text, spoken = words_of(reading._replace(behind=0), changed)
    more = [frame.words()]
    if sum_ is not None:
        more += [sum_.steps(), sum_.sentence()]
    return Words(title, "\n".join([text, *more]), " ".join([spoken, *more]))
