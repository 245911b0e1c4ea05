"""Say in words what the picture of a sum shows: title, table of words, and what is read out."""

__all__ = ["SumWords", "flip_in_words"]

from collections.abc import Sequence
from typing import NamedTuple

from course_lib.figures.checksum.end_around_sum import Addition, additions
from course_lib.figures.checksum.word_columns import BITS, WordColumns
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, table

_FEW = 4  # changed bits that are still told one by one
_ALL_ONES = 0xFFFF
_DISTANCES = (
    "How far the sum has moved stands on a line with the marks −0x8000, −0x80, 0, +0x80, +0x8000"
)


def flip_in_words(columns: WordColumns, bit: int) -> str:
    """Say which way a bit, counted from the first of all, has just been flipped.

    >>> flip_in_words(WordColumns.of(bytes(4), bytes([0, 0, 0x40, 0])), 17)
    'Word 1, column 1: 0 → 1, plus 16384.'
    """
    place, column = divmod(bit, BITS)
    return f"Word {place}, column {column}: {_flip(columns.words[place], column)}."


def _flip(word: int, column: int) -> str:
    worth = 1 << (BITS - 1 - column)
    return f"0 → 1, plus {worth}" if word & worth else f"1 → 0, minus {worth}"


class SumWords(NamedTuple):
    """What is said of words in one step of their sum.

    `moved` is how far the whole sum has moved; None as long as not all words have been added.
    """

    columns: WordColumns
    step: Addition
    moved: int | None

    def words(self, right_rows: Sequence[str] = (), right_spoken: str = "") -> Words:
        """Return title, text and spoken words, at their end those of a figure on the right."""
        lines = [self.title, *self._table(), self._added() + "."]
        lines.append(f"{_DISTANCES}.")
        if self.moved is not None:
            lines.append(f"The sum has moved by {self._moved()}.")
        return Words(
            self.title,
            "\n".join([*lines, *right_rows]),
            f"{'Left: ' * bool(right_spoken)}{self._spoken()} {right_spoken}".rstrip(),
        )

    @property
    def title(self) -> str:
        """Say what the sum is so far, and at the end what the check makes of a header.

        Words that did not pass as they were are no header with a checksum in it.
        """
        words, step = self.columns.words, self.step
        total = f"{step.sum:#06x}"
        if self.moved is None:
            carry = "; a 1 is carried" if step.carry else ""
            if step.word is None:
                return f"The carry comes in again at the right: {total}"
            return f"{step.words} of {len(words)} words added: {total}{carry}"
        changed, passes = len(self.columns.changed), ": the header passes"
        title = f"The {len(words)} words add up to {total}"
        if changed:
            title = f"{counted(changed, 'bit')} changed, the words add up to {total}"
            passes = ": missed, the header passes" if step.sum == _ALL_ONES else ": noticed"
        before = [old for old, _ in self.columns.pairs]
        return title + passes * (additions(before)[-1].sum == _ALL_ONES)

    def _added(self) -> str:
        step = self.step
        what = "the carry" if step.word is None else f"word {step.word}"
        carry = ", and a 1 is carried" if step.carry else ""
        return f"Sum so far {step.so_far:04x} + {what} {step.added:04x} = {step.sum:04x}{carry}"

    def _moved(self) -> str:
        return f"{'−' if self.moved < 0 else '+'}{abs(self.moved):#06x}" if self.moved else "0"

    def _table(self) -> list[str]:
        head = ("word", "before", "now", "in bits", "changed")
        rows = [
            (str(place), f"{old:04x}", f"{new:04x}", f"{new:016b}", self._moves(place))
            for place, (old, new) in enumerate(self.columns.pairs)
        ]
        return table([head, *rows])

    def _moves(self, place: int) -> str:
        """Say which bits of a word have changed, and how, if they are few."""
        bits = [bit % BITS for bit in self.columns.changed if bit // BITS == place]
        if len(bits) > _FEW:
            return f"{len(bits)} bits"
        word = self.columns.pairs[place][1]
        return "; ".join(f"column {column}: {_flip(word, column)}" for column in bits)

    def _spoken(self) -> str:
        pairs = self.columns.pairs
        told = [
            f"{place}: {old:04x}" + (f", now {new:04x}" if old != new else "")
            for place, (old, new) in enumerate(pairs)
        ]
        spoken = (
            f"{len(pairs)} words of {BITS} bits in columns 0 to {BITS - 1}. "
            f"Word {'; '.join(told)}. Under them an adder. {self._added()}. {_DISTANCES}."
        )
        if self.moved is not None:
            spoken += f" The sum has moved by {self._moved()}."
        return spoken
