"""Add 16-bit words up, step by step, and flip their bits to see what that does to the sum.

By keyboard: Tab goes to the bits, arrows lead from one to the next, Space flips; Tab goes on to the
button and to what plays the sum. The picture is `course_lib.figures.checksum.sum_diagram`.
"""

__all__ = ["SumExplorer", "explore_sum"]

from course_lib.figures.checksum.sum_diagram import sum_scenes
from course_lib.figures.checksum.sum_words import flip_in_words
from course_lib.figures.checksum.word_columns import WordColumns
from course_lib.figures.headers.header_fields import with_flipped_bit
from course_lib.widgets.touch.touch_figure import Action, Button, Picture, TouchFigure


def explore_sum(octets: bytes) -> "SumExplorer":
    """Show how the words of `octets` add up in ones' complement; each of their bits can be flipped.

    Raises `ValueError` unless there is an even number of octets, 2 to 60.
    """
    return SumExplorer(octets)


class SumExplorer(TouchFigure):
    """The live figure of a sum; `octets` are what its bits are now."""

    def __init__(self, octets: bytes) -> None:
        if len(octets) % 2 or not 2 <= len(octets) <= 60:
            raise ValueError(
                f"there must be an even number of octets, 2 to 60, not {len(octets)}: "
                "the sum is one of 16-bit words"
            )
        self._start = self.octets = bytes(octets)
        actions: dict[str, Action] = {"flip": self._flipped, "mend": self._mended}
        super().__init__(self._draw("Play the sum, or press a bit to flip it."), actions)

    def _flipped(self, bit: int) -> Picture:
        self.octets = with_flipped_bit(self.octets, bit)
        return self._draw(flip_in_words(WordColumns.of(self._start, self.octets), bit))

    def _mended(self, _: None) -> Picture:
        self.octets = self._start
        return self._draw("The words are as they were.")

    def _draw(self, change: str) -> Picture:
        scenes = sum_scenes(self._start, self.octets)
        words = (change, f"{scenes[-1].words.title}.")
        return Picture(scenes, words, (Button("mend", "Undo all flips"),))
