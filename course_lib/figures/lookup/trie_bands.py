"""The bands under a trie: each route over its addresses, longer prefixes on top."""

__all__ = ["Bands", "levels_of"]

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, label, path
from course_lib.figures.lookup.trie_words import Descent, addresses_of, marks_of, shown_bits

_PITCH, _HEIGHT = 23.0, 19.0  # pixels from band to band, and of one band
_SMALL = 12.5


def levels_of(prefixes: Iterable[str]) -> dict[str, int]:
    """Return how many of the other prefixes hold each one: 0 for those that lie on the line.

    >>> levels_of(["", "01", "0110"])
    {'': 0, '01': 1, '0110': 2}
    """
    known = list(prefixes)
    return {one: sum(one.startswith(other) for other in known if other != one) for one in known}


@dataclass(frozen=True, slots=True)
class Bands:
    """Where the bands are: `top` and `at` in pixels, `at` for an address, which has `bits`."""

    levels: Mapping[str, int]
    top: float
    at: Callable[[float], float]
    bits: int

    @property
    def foot(self) -> float:
        """Return where the line of the addresses runs."""
        return self.top + (max(self.levels.values(), default=0) + 1) * _PITCH

    def parts(
        self, offered: Mapping[str, str], routes: Mapping[str, str], way: Descent
    ) -> list[Part]:
        """Return a band for each route on offer, with its words where there is room."""
        room = Room(8, self.at((1 << self.bits) - 0.5))
        for prefix in offered:
            x, y, width = self.place(prefix)
            room.take(x, y, width, _HEIGHT)
        return [self._band(prefix, hop, prefix in routes, way, room)
                for prefix, hop in offered.items()]  # fmt: skip

    def _band(self, prefix: str, hop: str, is_in: bool, way: Descent, room: Room) -> Part:
        """Return one band; what is not in the table is a dashed outline."""
        x, y, width = self.place(prefix)
        lit = is_in and bool(way.nodes) and way.address.startswith(prefix)
        answer = lit and way.answer == prefix
        words = f"{shown_bits(prefix)} → {hop}"
        first, last = addresses_of(prefix, self.bits)
        return Part(
            f"band {prefix}",
            group(
                f"{words}: addresses {first} to {last}",
                box("hit", x, y, width, _HEIGHT),
                box("calm" if answer else "box" if is_in else "gap", x, y, width, _HEIGHT, 3),
                box("chosen", x, y, width, _HEIGHT, 3) if lit and not answer else "",
                self._words(prefix, words, answer, is_in, room),
            ),
        )

    def _words(self, prefix: str, words: str, answer: bool, is_in: bool, room: Room) -> str:
        """Put words into the band, or beside it where it is too narrow and there is room."""
        x, y, width = self.place(prefix)
        ink = "ink haloed" if is_in else "quiet"
        if width_of(words, _SMALL) + 10 <= width:
            return label(words, x + 6, y + 14, "on-mark" if answer else ink, _SMALL)
        beside = [(x + width + 5, y + 14, "start"), (x - 5, y + 14, "end")]
        place = room.place(words, beside, _SMALL)
        if place is None:
            return ""
        return label(words, place[0], place[1], ink, _SMALL, place[2])

    def place(self, prefix: str) -> tuple[float, float, float]:
        """Return left edge, upper edge and width."""
        first, last = addresses_of(prefix, self.bits)
        left, right = self.at(first - 0.5), self.at(last + 0.5)
        return left, self.foot - (self.levels[prefix] + 1) * _PITCH, right - left

    def line(self) -> str:
        """Draw the line of all addresses, with five of them as numbers."""
        marks = marks_of(self.bits)
        ticks = "".join(f"M{self.at(mark):g} {self.foot:g}v5" for mark in marks)
        numbers = [
            label(str(mark), self.at(mark), self.foot + 18, "quiet", _SMALL, "middle")
            for mark in marks
        ]
        ends = f"M{self.at(-0.5):g} {self.foot:g}H{self.at(marks[-1] + 0.5):g}"
        return path("axis", ends + ticks) + "".join(numbers)

    def plumb(self, number: int, way: Descent) -> list[Part]:
        """Draw the line up from an address, to the band that answers or past all of them."""
        x = self.at(number)
        up = self.top - 8
        if way.answer is not None:
            up = self.place(way.answer)[1] + _HEIGHT
        return [Part("plumb", path("chosen", f"M{x:g} {self.foot:g}V{up:g}"))]
