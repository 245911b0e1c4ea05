"""The life of one packet: what each router on its way says that it did with it.

Every router of the room is asked; whom the packet never met says nothing. A few echo requests go,
and the one that is known from end to end is told. Clocks of two machines are never compared: the
order of the steps is that of the time to live, which each router lowers (RFC 1812, section 5.3.1).
"""

__all__ = ["Story"]

from collections.abc import Sequence

from course_lib.joining.messages import DELIVERED, DISCARDED, FORWARDED, HELD, Passed
from instructor.joined_room.room_view import StoryStep, StoryView

MOST_PACKETS, MOST_STEPS = 5, 40
MOST_DIGITS = 2 * 1500  # of the octets that are shown
LONGEST_WHY = 100
SILENT_AFTER_S = 3.0  # then whoever was to get it, and has said nothing, is shown as silent
_OUTCOMES = (FORWARDED, DELIVERED, HELD, DISCARDED)


class Story:
    """Packets from the pier `source`, one of which is told. names: of all piers."""

    def __init__(
        self, number: int, packet: str, source: int, names: Sequence[str], now_s: float
    ) -> None:
        self.number, self._packet, self._begun_s = number, packet, now_s
        self._source, self._names = names[source], names
        self._told = dict[int, dict[tuple[str, int], Passed]]()  # by packet; pier and time to live

    def take(self, pier: int, told: Passed) -> None:
        """Take in what a router says; of each time that a packet came there, the first word."""
        if told.outcome not in _OUTCOMES or not 0 <= told.came_with <= 255:
            return
        if len(self._told) >= MOST_PACKETS and told.packet not in self._told:
            return
        steps = self._told.setdefault(told.packet, {})
        if len(steps) < MOST_STEPS:
            steps.setdefault((self._names[pier], told.came_with), told)

    def view(self, now_s: float) -> StoryView:
        """Return what is known of the packet that most is known of, in the order of its way."""
        steps = max(map(self._in_order, self._told.values()), key=self._weight, default=[])
        shown = tuple(_step(pier, told) for pier, told in steps)
        if now_s - self._begun_s >= SILENT_AFTER_S:
            shown += self._silent(steps)
        return StoryView(self.number, self._packet, shown)

    def _in_order(self, told: dict[tuple[str, int], Passed]) -> list[tuple[str, Passed]]:
        lives = sorted(told.items(), key=lambda each: -each[0][1])  # else in the order of reports
        return [(pier, passed) for (pier, _), passed in lives]

    def _weight(self, steps: list[tuple[str, Passed]]) -> tuple[bool, int]:
        """Rate a packet by how much is known of it; what is known from end to end is enough."""
        ways = [self._source, *(told.towards for _, told in steps)]
        is_whole = steps[-1][1].outcome in (DELIVERED, DISCARDED) and all(
            pier == expected for (pier, _), expected in zip(steps, ways, strict=False)
        )
        return is_whole, len(steps)

    def _silent(self, steps: list[tuple[str, Passed]]) -> tuple[StoryStep, ...]:
        """Return who was to get the packet and has said nothing of it, if anybody."""
        to = steps[-1][1].towards if steps else self._source
        if to not in self._names or any(pier == to for pier, _ in steps):
            return ()
        return (StoryStep(to, "nothing is heard of it here: lost on the way, or in this router"),)


def _step(pier: str, told: Passed) -> StoryStep:
    lives = (told.came_with, told.left_with)
    return StoryStep(pier, _words(told), told.octets[:MOST_DIGITS], lives)


def _words(told: Passed) -> str:
    """Return the verdict in a sentence; whatever a member says, it stays short."""
    towards = " ".join(told.towards.split()) or "the host at this pier"
    why = " ".join(told.why.split())[:LONGEST_WHY]
    verdict = {
        FORWARDED: f"forwarded to {towards:.30}",
        DELIVERED: "delivered to the host at this pier",
        HELD: "not sent on as yet",
        DISCARDED: "discarded",
    }[told.outcome]
    kept_life = told.left_with is not None and told.left_with != told.came_with - 1
    more = [why, "its time to live is not one lower" if kept_life else ""]
    return ": ".join(filter(None, [verdict, "; ".join(filter(None, more))]))
