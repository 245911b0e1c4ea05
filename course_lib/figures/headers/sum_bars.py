"""Draw the sum of a header beside its rows: one bar for each word, end to end.

The width of the column is 0xFFFF. A bar begins where the one above has ended; where it meets the
right edge, its rest goes on from the left, as a carry comes in again (RFC 1071, section 1). Below
each bar stands the sum so far. In an intact header the last bar ends at the right edge; otherwise
what is missing is hatched, and a word says so.
"""

__all__ = ["SUM_WIDTH", "Sum", "sum_of", "sum_parts"]

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from course_lib.figures.checksum.end_around_sum import additions, words_of_octets
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, hatching, label, path
from course_lib.figures.headers.header_fields import HeaderReading
from course_lib.figures.headers.header_grid import SMALL, Row

SUM_WIDTH = 118.0  # pixels, as all that follows
_FULL = 104.0  # the width that stands for 0xffff
_ALL_ONES = 0xFFFF
_WORD, _WORDS = 16, 15.0  # bits of a word, and how much room words take below a bar
_BAR, _LEAST = 9.0, 3.0  # the height of a bar, and the least width of what has to be seen


class Sum(NamedTuple):
    """The words of a header, and the sum as it is behind each of them, carries come in again."""

    words: tuple[int, ...]
    so_far: tuple[int, ...]

    @property
    def total(self) -> int:
        """The sum of all words."""
        return self.so_far[-1]

    @property
    def lacks(self) -> int:
        """What the sum lacks of 0xffff; 0 in an intact header."""
        return _ALL_ONES - self.total

    def sentence(self) -> str:
        """Say whether the checksum agrees."""
        sum_ = f"The words sum up to {self.total:#06x}"
        if self.lacks:
            return f"{sum_}, not to 0xffff: the checksum does not agree."
        return f"{sum_}: the checksum agrees."

    def steps(self) -> str:
        """Return the words and the sums as a sentence."""
        words, sums = (" ".join(f"{one:04x}" for one in each) for each in self)
        return f"Words of the header: {words}. Sum behind each of them: {sums}."


def sum_of(reading: HeaderReading) -> Sum | None:
    """Return the sum of an IPv4 header; None if it does not have the length that it states."""
    stated = reading.value("header_length")
    if reading.layout.name != "IPv4" or stated is None or stated * 4 != len(reading.octets):
        return None
    words = words_of_octets(reading.octets)
    sums = [list(steps)[-1].sum for _, steps in groupby(additions(words), lambda one: one.words)]
    return Sum(tuple(words), tuple(sums))


def sum_parts(sum_: Sum | None, rows: list[Row], left: float) -> list[Part]:
    """Return the column with its bars, from `left` on; without a sum, words that say why."""
    top, foot = rows[0].y, rows[-1].foot
    if sum_ is None:
        lines = ("no sum:", "header and its", "length differ")
        words = [label(line, left, top + 14 + 16 * n, "quiet", SMALL)
                 for n, line in enumerate(lines)]  # fmt: skip
        return [Part("sum", "".join(words))]
    right = left + _FULL
    frame = (
        label("sum of its words", left, top - 23, "quiet", SMALL)
        + label("0", left, top - 7, "quiet mono", SMALL)
        + label("0xffff", right, top - 7, "quiet mono", SMALL, "end")
        + path("axis", f"M{left:g} {top - 3:g}V{foot:g}")
        + path("expected", f"M{right:g} {top - 3:g}V{foot:g}")
    )
    return [Part("sum", frame), *_bars(sum_, rows, left)]


def _bars(sum_: Sum, rows: list[Row], left: float) -> Iterator[Part]:
    before = 0
    last = len(sum_.words) - 1
    for place, (word, after) in enumerate(zip(*sum_, strict=True)):
        row = next(row for row in rows if place * _WORD in row.bits)
        pitch = (row.foot - row.y) / (len(row.bits) // _WORD)
        y = row.y + pitch * (place - row.bits.start // _WORD)
        height = min(_BAR, pitch - _WORDS) if pitch > _WORDS else pitch - 1
        words = ""
        if place == last:
            words = _ending(sum_, left, y, height)
        elif pitch > _WORDS:
            words = _so_far(after, left, y, height)
        tip = f"word {place + 1}: {word:04x}, sum so far {after:04x}"
        yield Part(f"sum {place}", group(tip, *_bar(before, word, left, y, height), words))
        before = after


def _bar(before: int, word: int, left: float, y: float, height: float) -> Iterator[str]:
    """Draw a word from where the sum was; the second piece is what lies beyond the right edge."""
    first = min(word, _ALL_ONES - before)
    second = word - first
    start = min(_x(left, before), left + _FULL - _LEAST)
    yield path(
        "axis", f"M{start:g} {y - min(6, height):g}V{y:g}"
    )  # from where the bar above has ended
    yield box("calm", start, y, max(_LEAST, _wide(first)) if word else 0, height)
    yield box("calm", left, y, max(_LEAST, _wide(second)) if second else 0, height)


def _so_far(after: int, left: float, y: float, height: float) -> str:
    words = f"{after:04x}"
    half = width_of(words, SMALL, "mono") / 2
    middle = min(left + _FULL - 3 - half, max(left + 3 + half, _x(left, after)))
    return label(words, middle, y + height + 11, "quiet mono", SMALL, "middle")


def _ending(sum_: Sum, left: float, y: float, height: float) -> str:
    """Mark where the last bar ends: at the edge, or before it."""
    right = left + _FULL
    if not sum_.lacks:
        words = "0xffff agrees"
        return label(words, right - 4, y + height + 11, "ink strong haloed", SMALL, "end")
    x = min(_x(left, sum_.total), right - _LEAST)
    return (
        path("changed", f"M{x:g} {y:g}H{right:g}v{height:g}H{x:g}z")
        + path("slant", hatching(x, y, right - x, height, 4))
        + label(
            f"{sum_.total:#06x} misses",
            right - 4,
            y + height + 11,
            "ink strong haloed",
            SMALL,
            "end",
        )
    )


def _x(left: float, number: int) -> float:
    return left + _wide(number)


def _wide(number: int) -> float:
    return round(number / _ALL_ONES * _FULL, 2)
