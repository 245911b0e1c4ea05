"""The Internet checksum's sum, one addition after the other, as an adder of 16 columns makes it.

What leaves the adder at the left, the carry, comes in again at the right as an addition of its own
(RFC 1071, section 1). So the sum is folded all the way, and not once at the end; both ways lead to
the same number.
"""

__all__ = ["Addition", "additions", "moved_by", "words_of_octets"]

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

_ALL_ONES, _HALF = 0xFFFF, 0x8000
_BITS = 16


class Addition(NamedTuple):
    """One step of the adder: `added` comes to `so_far`.

    `word` is the place of the word that is added, None for a carry that comes in again; `words` is
    how many words have been added after this step.
    """

    so_far: int
    added: int
    word: int | None
    words: int

    @property
    def total(self) -> int:
        """The sum with its carry: 17 bits."""
        return self.so_far + self.added

    @property
    def sum(self) -> int:
        """The 16 bits that stay in the adder."""
        return self.total & _ALL_ONES

    @property
    def carry(self) -> int:
        """The bit that leaves at the left."""
        return self.total >> _BITS


def words_of_octets(octets: bytes) -> list[int]:
    """Return the 16-bit words of an even number of octets.

    >>> words_of_octets(bytes.fromhex("0001f203"))
    [1, 61955]
    """
    return [int.from_bytes(octets[at : at + 2]) for at in range(0, len(octets), 2)]


def additions(words: Sequence[int]) -> list[Addition]:
    """Return all steps, from a sum of 0 to the sum of all words.

    >>> [f"{step.total:x}" for step in additions([0x0001, 0xF203, 0xF4F5])]
    ['1', 'f204', '1e6f9', 'e6fa']
    """
    return list(_additions(words))


def _additions(words: Sequence[int]) -> Iterator[Addition]:
    so_far = 0
    for place, word in enumerate(words):
        step = Addition(so_far, word, place, place + 1)
        yield step
        if step.carry:  # 0xffff + 0xffff is 0x1fffe: a carry that comes in never makes another
            step = Addition(step.sum, 1, None, place + 1)
            yield step
        so_far = step.sum


def moved_by(before: Sequence[int], after: Sequence[int]) -> int:
    """Return how far the sum has moved, whole turns of 0xffff left out; 0 if it is what it was.

    The way back counts where it is shorter: it is -0x8000 to 0x8000.

    >>> moved_by([0x4500, 0x4011], [0x4501, 0x4010]), moved_by([0, 5], [0xFFFF, 4])
    (0, -1)
    """
    moved = int(math.fmod(sum(after) - sum(before), _ALL_ONES))
    if abs(moved) <= _HALF:
        return moved
    return moved - _ALL_ONES if moved > 0 else moved + _ALL_ONES
