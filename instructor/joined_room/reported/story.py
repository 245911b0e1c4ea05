"""The life of one packet: what each router on its way says that it did with it."""

__all__ = ["Story"]

from collections.abc import Sequence

from course_lib.joining.messages import Passed
from instructor.joined_room.room_view import StoryStep, StoryView

MOST_OCTETS_SHOWN = 1500
LONGEST_VERDICT = 120


class Story:
    """One packet from one pier to another. expected: the piers on its way, as far as known."""

    def __init__(
        self, number: int, packet: str, expected: Sequence[int], names: Sequence[str], now_s: float
    ) -> None:
        self.number, self._packet, self._names = number, packet, names
        self._expected, self._begun_s = tuple(expected), now_s
        self._steps = dict[int, StoryStep]()

    def take(self, now_s: float, pier: int, told: Passed) -> None:
        """Take in what a router says; the first word of each counts."""
        octets = told.octets[: 2 * MOST_OCTETS_SHOWN]
        verdict = told.verdict[:LONGEST_VERDICT]
        step = StoryStep(self._names[pier], verdict, octets, round(now_s - self._begun_s, 3))
        self._steps.setdefault(pier, step)

    def view(self) -> StoryView:
        """Return the steps in the order of the way; those aside from it behind, as they came."""
        on_way = [pier for pier in self._expected if pier in self._steps]
        aside = [pier for pier in self._steps if pier not in on_way]
        return StoryView(self._packet, tuple(self._steps[pier] for pier in (*on_way, *aside)))
