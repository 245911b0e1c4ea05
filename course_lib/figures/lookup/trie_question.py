"""Ask which route of a trie answers an address, before the picture shows it.

The guess is a flag whose pole stands in the band of a route. As long as the question is open, bands
are pressed to guess, and neither picture nor words tell the way of the address.
"""

__all__ = ["NO_ROUTE", "Question"]

from collections.abc import Mapping
from dataclasses import dataclass

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.scene import Part, Press
from course_lib.figures.drawing.svg import Words, box
from course_lib.figures.lookup.trie_bands import Bands
from course_lib.figures.lookup.trie_words import shown_bits

NO_ROUTE = "no route"
_BAND, _UP = 19.0, 20.0  # the height of a band, and how far a flag reaches above all bands


@dataclass(frozen=True, slots=True)
class Question:
    """Which next hop answers? `guess` is the prefix of a route, `NO_ROUTE`, or None: not yet."""

    guess: str | None = None
    is_open: bool = True

    def in_words(self, routes: Mapping[str, str]) -> str:
        """Return the guess as people write it."""
        if self.guess is None or self.guess == NO_ROUTE:
            return self.guess or ""
        return f"{routes[self.guess]}, prefix {shown_bits(self.guess)}"

    def words(self, words: Words, address: str, routes: Mapping[str, str]) -> Words:
        """Return the words of the picture with question and guess."""
        title, text, spoken = words
        mine = f"Your guess: {self.in_words(routes)}." if self.guess is not None else ""
        asked = ""
        if self.is_open:
            title = f"Address {address}: which next hop answers?"
            _, _, table = text.partition("\n")
            text = f"{title}\n{table}"
            asked = f"The address is {address}, number {int(address, 2)}. Which next hop answers?"
        more = f"{asked} {mine}".strip()
        return Words(title, f"{text}\n{more}".rstrip(), f"{spoken} {more}".rstrip())

    def parts(
        self, bands: Bands, routes: Mapping[str, str], line: tuple[float, float]
    ) -> list[Part]:
        """Return the flag with its band outlined, or the flag at the end of the line of addresses.

        `line` is the left and right end of what words may cover.
        """
        if self.guess is None:
            return []
        words = f"your guess: {routes.get(self.guess, NO_ROUTE)}"
        if self.guess == NO_ROUTE:
            return flags(bands.foot, line, guess=(bands.at(0), words), up=bands.foot - _high(bands))
        x, y, width = bands.place(self.guess)
        outline = Part("guessed band", box("guessed", x, y, width, _BAND, 3))
        foot = y + _BAND / 2
        return [
            outline,
            *flags(foot, line, guess=(x + width / 2, words), up=foot - _high(bands)),
        ]

    def presses(self, routes: Mapping[str, str]) -> tuple[Press, ...]:
        """Return the bands of all routes as what takes the guess."""
        return tuple(
            Press(f"band {prefix}", f"Guess {hop}, prefix {shown_bits(prefix)}", "guess", prefix,
                  prefix == self.guess)
            for prefix, hop in sorted(routes.items())
        )  # fmt: skip


def _high(bands: Bands) -> float:
    return bands.top - _UP
