"""Find room for words among what is drawn already, so that no two words cover each other."""

__all__ = ["Room"]

from collections.abc import Iterable
from typing import NamedTuple

from course_lib.figures.drawing.letters import width_of

_ABOVE, _BELOW = 0.78, 0.24  # how far letters reach from the line they stand on, by their size


class _Box(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "_Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


class Room:
    """What is taken of a picture, in pixels; words are only put where nothing is."""

    def __init__(self, left: float, right: float) -> None:
        self._left, self._right = left, right
        self._taken: list[_Box] = []

    def take(self, x: float, y: float, width: float, height: float) -> None:
        """Take a rectangle, for something that is drawn in any case."""
        self._taken.append(_Box(x, y, x + width, y + height))

    def place(
        self,
        words: str,
        places: Iterable[tuple[float, float, str]],
        size: float,
        look: str = "ink",
    ) -> tuple[float, float, str] | None:
        """Take the first place that has room for words, and return it; None if there is none.

        A place is x, y and the anchor ("start", "middle" or "end"), as in `svg.label`.
        """
        width = width_of(words, size, look)
        shift = {"start": 0.0, "middle": width / 2, "end": width}
        for x, y, anchor in places:
            left = x - shift[anchor]
            box = _Box(left, y - size * _ABOVE, left + width, y + size * _BELOW)
            inside = box.left >= self._left and box.right <= self._right
            if inside and not any(box.meets(one) for one in self._taken):
                self._taken.append(box)
                return x, y, anchor
        return None
