"""Draw a header as the checksum sees it: its 16-bit words below each other, bits in columns.

The checksum adds the words up, so bits in one column have the same weight, and two changes in one
column that go opposite ways cancel. A bit that has changed is white on dark, with an arrow up where
a 0 became a 1, and down where a 1 became a 0; where several bits of a column have changed, a frame
holds them together. Every bit can be pressed ("flip").
"""

__all__ = ["BITS", "LEFT", "RIGHT", "WordColumns"]

import functools
from collections.abc import Iterator
from dataclasses import dataclass

from course_lib.figures.checksum.end_around_sum import words_of_octets
from course_lib.figures.drawing.scene import Part, Press
from course_lib.figures.drawing.svg import box, group, label, path

BITS = 16  # of a word
LEFT, _CELL, _ROW = 68.0, 17.0, 22.0  # pixels: where bits begin, the width and height of one
RIGHT = LEFT + BITS * _CELL
_TOP = 68.0
_SMALL = 12.5


@dataclass(frozen=True, slots=True)
class WordColumns:
    """The words of a header as it was, and as it is now, in pairs.

    `changed` are the bits that differ, counted from the first of the header.
    """

    pairs: tuple[tuple[int, int], ...]
    changed: tuple[int, ...]

    @classmethod
    def of(cls, before: bytes, after: bytes) -> "WordColumns":
        """Return the words of a header before and after; both must have the same even length."""
        pairs = tuple(zip(words_of_octets(before), words_of_octets(after), strict=True))
        changed = [
            BITS * place + column
            for place, (old, new) in enumerate(pairs)
            for column in range(BITS)
            if (old ^ new) >> (BITS - 1 - column) & 1
        ]
        return cls(pairs, tuple(changed))

    @property
    def words(self) -> list[int]:
        """The words as they are now."""
        return [now for _, now in self.pairs]

    @property
    def foot(self) -> float:
        """Where the last word ends, in pixels."""
        return self.y(len(self.pairs))

    @staticmethod
    def x(column: float) -> float:
        """Return the middle of a column, counted from the highest bit."""
        return LEFT + (column + 0.5) * _CELL

    @staticmethod
    def y(word: int) -> float:
        """Return the upper edge of a word."""
        return _TOP + word * _ROW

    def parts(self) -> list[Part]:
        """Return everything but what adds the words up."""
        middles = [self.x(column) for column in range(BITS)]
        units = "".join(str(column % 10) for column in range(BITS))
        ruler = label("01", middles[::10], _TOP - 19, "quiet mono", _SMALL, "middle") + label(
            units, middles, _TOP - 6, "quiet mono", _SMALL, "middle"
        )
        head = label("word", LEFT - 10, _TOP - 6, "quiet", _SMALL, "end")
        rows = [Part(f"word {place}", self._row(place)) for place in range(len(self.pairs))]
        bits = [Part(f"bit {bit}", self._bit(bit)) for bit in range(len(self.pairs) * BITS)]
        return [Part("columns", head + ruler), *rows, *bits, *self._frames()]

    def touches(self) -> list[Press]:
        """Return a press for every bit."""
        return [Press(f"bit {bit}", self._name(bit), "flip", bit)
                for bit in range(len(self.pairs) * BITS)]  # fmt: skip

    def adding(self, word: int | None) -> list[Part]:
        """Return an outline round the word that is being added; nothing if it is none."""
        if word is None:
            return []
        outline = box("chosen", LEFT - 2, self.y(word), BITS * _CELL + 4, _ROW, 4)
        return [Part("adding", outline)]

    def _row(self, place: int) -> str:
        old, new = self.pairs[place]
        base = self.y(place) + 15.5
        hexadecimal = f"{old:04x}" if old == new else f"{old:04x}→{new:04x}"
        return (
            label(str(place), LEFT - 10, base, "quiet mono", _SMALL, "end")
            + box("axis", LEFT, self.y(place) + 1, BITS * _CELL, _ROW - 2)
            + label(hexadecimal, RIGHT + 8, base, "ink mono", _SMALL)
        )

    def _bit(self, bit: int) -> str:
        place, column = divmod(bit, BITS)
        old, new = (word >> (BITS - 1 - column) & 1 for word in self.pairs[place])
        return _drawn_bit(place, column, old, new)

    def _name(self, bit: int) -> str:
        place, column = divmod(bit, BITS)
        old, new = (word >> (BITS - 1 - column) & 1 for word in self.pairs[place])
        return _named_bit(place, column, old, new)

    def _frames(self) -> Iterator[Part]:
        """Frame a column from its first change to its last, where there are two or more."""
        for column in range(BITS):
            tops = [self.y(bit // BITS) for bit in self.changed if bit % BITS == column]
            if len(tops) > 1:
                x, height = self.x(column) - 8.5, tops[-1] - tops[0] + _ROW
                yield Part(f"frame {column}", box("changed", x, tops[0], 17, height, 4))


@functools.lru_cache(maxsize=4096)
def _drawn_bit(place: int, column: int, old: int, new: int) -> str:
    x, y, name = WordColumns.x(column), WordColumns.y(place), _named_bit(place, column, old, new)
    if old == new:
        drawn = label(str(new), [x], y + 15.5, "ink mono", _SMALL, "middle")
        return group(name, box("hit", x - 8.5, y + 1, 17, _ROW - 2), drawn)
    arrow = f"M{x + 0.5:g} {y + 14:g}h7l-3.5 -6z" if new else f"M{x + 0.5:g} {y + 8:g}h7l-3.5 6z"
    return group(
        name,
        box("alert", x - 8, y + 1.5, 16, _ROW - 3, 3),
        label(str(new), [x - 4], y + 15.5, "on-mark mono strong", _SMALL, "middle"),
        path("on-mark", arrow),
    )


@functools.lru_cache(maxsize=4096)
def _named_bit(place: int, column: int, old: int, new: int) -> str:
    changed = f", was {old}" if old != new else ""
    return f"Word {place}, column {column}, worth {1 << (BITS - 1 - column)}: {new}{changed}"
