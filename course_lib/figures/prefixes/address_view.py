"""Which part of all addresses is seen, and where an address stands in the picture.

What is seen is always one prefix: from /0, all addresses, to /32, a single one. One bit more halves
it, and everything in it is drawn twice as wide.
"""

__all__ = ["FOOT", "LEFT", "RIGHT", "SMALL", "WIDTH", "View"]

from dataclasses import dataclass
from functools import cached_property

from course_lib.prefixes.prefix import Prefix, prefix_around

LEFT, RIGHT, WIDTH = 88.0, 656.0, 864.0  # pixels; the line runs from left to right
FOOT = 306.0  # the height of the line
SMALL = 12.5  # the size of words
_LINE = RIGHT - LEFT


@dataclass(frozen=True)
class View:
    """What is seen: the prefix of so many bits in which an address lies."""

    address: int
    length: int

    @cached_property
    def prefix(self) -> Prefix:
        """Return the prefix that is seen."""
        return prefix_around(self.address, self.length)

    @property
    def frame(self) -> "View":
        """Return the same view at its first address: one for all addresses that are seen."""
        return View(self.prefix.first, self.length)

    def at(self, address: int) -> float:
        """Return where an address begins."""
        seen = self.prefix
        return LEFT + (address - seen.first) / seen.size * _LINE

    def middle(self, address: int) -> float:
        """Return the middle of an address: one is wide where few are seen."""
        return self.at(address) + _LINE / self.prefix.size / 2

    def span(self, prefix: Prefix) -> tuple[float, float]:
        """Return left edge and width of a prefix, cut off where it is far outside."""
        left, right = (
            min(max(self.at(end), LEFT - _LINE), RIGHT + _LINE)
            for end in (prefix.first, prefix.last + 1)
        )
        return left, right - left

    def shows(self, prefix: Prefix) -> bool:
        """Tell whether some of a prefix is seen."""
        return self.prefix.covers(prefix) or prefix.covers(self.prefix)
