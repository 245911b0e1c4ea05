"""Draw a header as the checksum sees it, a column of 16-bit words, and mark what has changed.

The checksum adds the words up, so bits in one column have the same weight. In this drawing they
stand below each other: two changes in one column that go opposite ways are seen to cancel.
"""

__all__ = ["changed_words"]

from typing import NamedTuple

from course_lib.checksum import ones_complement_sum
from course_lib.figures.drawing.svg import Figure, drawing, element, label
from course_lib.figures.headers.header_words import counted

_BITS = 16
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
        return [bit for bit in range(_BITS) if (self.before ^ self.after) >> (15 - bit) & 1]

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
    title, twin = _title(words, sums), _text_twin(words, sums)
    spoken = "The header as a column of 16-bit words. " + ". ".join(twin) + "."
    foot = _TOP + len(words) * _ROW
    shapes = (
        label(title, 20, 28, "ink strong", font_size=16),
        _ruler(),
        *(_draw_word(word) for word in words),
        _frames(words),
        _draw_sums(sums, foot),
    )
    svg = drawing(title, spoken, (_WIDTH, foot + 34), *shapes)
    return Figure(title, svg, "\n".join([title, *twin]), spoken)


def _x(bit: int) -> float:
    return _LEFT + (bit + 0.5) * _CELL


def _ruler() -> str:
    return "".join(
        label(str(bit), _x(bit), _TOP - 10, "quiet mono", font_size=11.5, text_anchor="middle")
        for bit in range(_BITS)
    )


def _frames(words: list[_Word]) -> str:
    """Frame a column from its first change to its last, where there are two or more."""
    shapes = []
    for bit in range(_BITS):
        tops = [word.y for word in words if bit in word.flipped]
        if len(tops) > 1:
            height = tops[-1] - tops[0] + _ROW - 2
            place = {"x": _x(bit) - 14, "y": tops[0] + 1, "width": 28, "height": height}
            shapes.append(element("rect", class_="changed", rx=5, **place))
    return "".join(shapes)


def _draw_word(word: _Word) -> str:
    base = word.y + 15.5
    octets = f"octets {2 * word.place}–{2 * word.place + 1}"
    digits = f"{word.before:04x}"
    if word.flipped:
        digits += f" → {word.after:04x}"
    return "".join(
        (
            label(octets, _LEFT - 12, base, "quiet", font_size=12, text_anchor="end"),
            element(
                "rect", x=_LEFT, y=word.y + 1, width=_BITS * _CELL, height=_ROW - 2, class_="axis"
            ),
            _unchanged_bits(word, base),
            *(_changed_bit(word, bit, base) for bit in word.flipped),
            label(digits, _HEX, base, "ink mono", font_size=13),
        )
    )


def _unchanged_bits(word: _Word, base: float) -> str:
    bits = [bit for bit in range(_BITS) if bit not in word.flipped]
    digits = "".join(str(word.before >> (15 - bit) & 1) for bit in bits)
    places = " ".join(f"{_x(bit):g}" for bit in bits)
    return (
        label(digits, places, base, "ink mono", font_size=12.5, text_anchor="middle")
        if bits
        else ""
    )


def _changed_bit(word: _Word, bit: int, base: float) -> str:
    old = word.before >> (15 - bit) & 1
    x = _x(bit)
    return element(
        "rect", x=x - 14, y=word.y + 2, width=28, height=_ROW - 4, rx=4, class_="alert"
    ) + label(f"{old}→{1 - old}", x, base, "on-mark strong", font_size=12, text_anchor="middle")


def _draw_sums(sums: tuple[int, int], y: float) -> str:
    before, after = sums
    same = "=" if before == after else "≠"
    return label(
        "sum of the words, before and after",
        _HEX - 12,
        y + 20,
        "quiet",
        font_size=12,
        text_anchor="end",
    ) + label(f"{before:04x} {same} {after:04x}", _HEX, y + 20, "ink mono strong", font_size=13)


def _title(words: list[_Word], sums: tuple[int, int]) -> str:
    flipped = sum(len(word.flipped) for word in words)
    if not flipped:
        return "Nothing has changed"
    outcome = "the sum is the same" if sums[0] == sums[1] else "the sum is another"
    return f"{counted(flipped, 'bit')} changed, and {outcome}"


def _text_twin(words: list[_Word], sums: tuple[int, int]) -> list[str]:
    flipped = sum(len(word.flipped) for word in words)
    lines = [
        f"Octets {2 * word.place} and {2 * word.place + 1}: {word.before:04x} becomes "
        f"{word.after:04x}{_moves(word) if flipped <= _FEW else ''}"
        for word in words
        if word.flipped
    ]
    return [*lines, f"Sum of the words: {sums[0]:04x} before, {sums[1]:04x} after"]


def _moves(word: _Word) -> str:
    moves = []
    for bit in word.flipped:
        old, worth = word.before >> (15 - bit) & 1, 1 << (15 - bit)
        moves.append(f"bit {bit} from {old} to {1 - old}, {'minus' if old else 'plus'} {worth}")
    return f" ({'; '.join(moves)})"
