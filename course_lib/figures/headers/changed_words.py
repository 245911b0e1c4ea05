"""Draw a header as the checksum sees it, a column of 16-bit words, and mark what has changed.

The checksum adds the words up, so bits in one column have the same weight. In this drawing they
stand below each other: two changes in one column that go opposite ways are seen to cancel.
"""

__all__ = ["changed_words"]

from typing import NamedTuple

from course_lib.checksum import ones_complement_sum
from course_lib.figures.drawing.svg import Figure, Words, box, drawing, label
from course_lib.figures.headers.header_words import counted

_BITS = 16
_COLUMNS = range(_BITS)  # bits of a word, from the highest
_CELL, _ROW = 30.0, 22.0  # the width of a bit and the height of a word, in pixels
_LEFT, _TOP = 112.0, 66.0
_HEX = _LEFT + _BITS * _CELL + 18
_WIDTH = 760.0
_FEW = 4  # changed bits that are still told one by one


class _Word(NamedTuple):
    """One 16-bit word, before and after."""

    place: int
    before: int
    after: int

    @property
    def flipped(self) -> list[int]:
        """The columns, counted from the highest bit, that have changed."""
        return [bit for bit in _COLUMNS if (self.before ^ self.after) >> (15 - bit) & 1]

    def bit(self, column: int) -> int:
        """Return a bit as it was before."""
        return self.before >> (15 - column) & 1

    @property
    def y(self) -> float:
        return _TOP + self.place * _ROW


def changed_words(before: bytes, after: bytes) -> Figure:
    """Return the drawing of `before`, with every bit marked that differs in `after`.

    Both must have the same even number of octets; raises `ValueError` otherwise.
    """
    if len(before) != len(after) or len(before) % 2 or not before:
        raise ValueError(
            "both headers must have the same even number of octets, "
            f"not {len(before)} and {len(after)}"
        )
    words = [
        _Word(place, int.from_bytes(before[at : at + 2]), int.from_bytes(after[at : at + 2]))
        for place, at in enumerate(range(0, len(before), 2))
    ]
    sums = (ones_complement_sum(before), ones_complement_sum(after))
    told = _told(words, sums)
    foot = _TOP + len(words) * _ROW
    return drawing(
        told,
        (_WIDTH, foot + 34),
        label(told.title, 20, 28, "ink strong", 16),
        *(label(f"{bit}", _x(bit), _TOP - 10, "quiet mono", 11.5, "middle") for bit in _COLUMNS),
        *(_draw_word(word) for word in words),
        _frames(words),
        _draw_sums(sums, foot),
    )


def _x(bit: int) -> float:
    return _LEFT + (bit + 0.5) * _CELL


def _frames(words: list[_Word]) -> str:
    """Frame a column from its first change to its last, where there are two or more."""
    tops = {bit: [word.y for word in words if bit in word.flipped] for bit in _COLUMNS}
    return "".join(
        box("changed", _x(bit) - 14, ys[0] + 1, 28, ys[-1] - ys[0] + _ROW - 2, 5)
        for bit, ys in tops.items()
        if len(ys) > 1
    )


def _draw_word(word: _Word) -> str:
    base = word.y + 15.5
    octets = f"octets {2 * word.place}–{2 * word.place + 1}"
    still = [bit for bit in _COLUMNS if bit not in word.flipped]
    digits = "".join(str(word.bit(bit)) for bit in still)
    numbers = [word.before, word.after] if word.flipped else [word.before]
    return "".join(
        (
            label(octets, _LEFT - 12, base, "quiet", anchor="end"),
            box("axis", _LEFT, word.y + 1, _BITS * _CELL, _ROW - 2),
            label(digits, map(_x, still), base, "ink mono", 12.5, "middle"),
            *(_changed_bit(word, bit, base) for bit in word.flipped),
            label(" → ".join(f"{one:04x}" for one in numbers), _HEX, base, "ink mono", 13),
        )
    )


def _changed_bit(word: _Word, bit: int, base: float) -> str:
    x, old = _x(bit), word.bit(bit)
    words = label(f"{old}→{1 - old}", x, base, "on-mark strong", anchor="middle")
    return box("alert", x - 14, word.y + 2, 28, _ROW - 4, 4) + words


def _draw_sums(sums: tuple[int, int], y: float) -> str:
    before, after = sums
    same = "=" if before == after else "≠"
    name = label("sum of the words, before and after", _HEX - 12, y + 20, "quiet", anchor="end")
    return name + label(f"{before:04x} {same} {after:04x}", _HEX, y + 20, "ink mono strong", 13)


def _told(words: list[_Word], sums: tuple[int, int]) -> Words:
    flipped = sum(len(word.flipped) for word in words)
    outcome = "the sum is the same" if sums[0] == sums[1] else "the sum is another"
    changed = f"{counted(flipped, 'bit')} changed, and {outcome}"
    title = changed if flipped else "Nothing has changed"
    lines = [
        f"Octets {2 * word.place} and {2 * word.place + 1}: {word.before:04x} becomes "
        f"{word.after:04x}{_moves(word) if flipped <= _FEW else ''}"
        for word in words
        if word.flipped
    ]
    lines.append(f"Sum of the words: {sums[0]:04x} before, {sums[1]:04x} after")
    spoken = "The header as a column of 16-bit words. " + ". ".join(lines) + "."
    return Words(title, "\n".join([title, *lines]), spoken)


def _moves(word: _Word) -> str:
    moves = []
    for bit in word.flipped:
        old, worth = word.bit(bit), 1 << (15 - bit)
        moves.append(f"bit {bit} from {old} to {1 - old}, {'minus' if old else 'plus'} {worth}")
    return f" ({'; '.join(moves)})"
