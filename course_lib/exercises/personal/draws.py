"""Draw numbers from a few words: the same ones on every machine, in every version of Python.

Of `random` only `random()` promises that. So numbers come from SHA-256 here, counting up.
"""

__all__ = ["Draws"]

import hashlib
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")


class Draws:
    """Numbers one after the other; other words, other numbers."""

    def __init__(self, *words: str) -> None:
        self._start = "\0".join(words).encode()
        self._drawn = 0

    def below(self, end: int) -> int:
        """Draw a whole number from 0 to `end` - 1."""
        text = self._start + b"\0" + self._drawn.to_bytes(8, "big")
        self._drawn += 1
        return int.from_bytes(hashlib.sha256(text).digest(), "big") % end  # 256 bits: even enough

    def between(self, first: int, last: int) -> int:
        """Draw a whole number from `first` to `last`, both included."""
        return first + self.below(last - first + 1)

    def some(self, things: Sequence[T], count: int) -> list[T]:
        """Draw so many of some things, none twice, in any order."""
        left = list(things)
        return [left.pop(self.below(len(left))) for _ in range(count)]
