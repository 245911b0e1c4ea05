"""What is known of each link: is it up, how much flows, and what is lost, in both directions.

Both ends count since they were made, and report once a second. Rates and shares are what was added
between two reports of one end. What is old says nothing about now: then rates are 0.
"""

__all__ = ["LinkBooks"]

from typing import NamedTuple

from course_lib.joining.messages import LineReport
from instructor.joined_room.room_view import LinkState, LinkView

OLD_AFTER_S = 4.0
_BITS = 8


class _Heard(NamedTuple):
    """The latest report of one end, and what was added since the one before."""

    at_s: float
    report: LineReport
    bits_per_s: float = 0.0
    lost_share: float = 0.0


class LinkBooks:
    """The books of all links, by their numbers. ends: the piers at both ends, as names."""

    def __init__(self, ends: tuple[tuple[str, str], ...], pulled: tuple[int, ...] = ()) -> None:
        self._ends, self._heard = ends, dict[tuple[int, int], _Heard]()
        self._pulled = {number for number in pulled if number < len(ends)}

    @property
    def pulled(self) -> tuple[int, ...]:
        """The links that are pulled."""
        return tuple(sorted(self._pulled))

    def set_pulled(self, number: int, *, is_pulled: bool) -> None:
        """Take note that a link is pulled, or put in again."""
        (self._pulled.add if is_pulled else self._pulled.discard)(number)

    def report(self, now_s: float, end: int, report: LineReport) -> None:
        """Take in what one end, 0 or 1, says."""
        before = self._heard.get((report.number, end))
        heard = _Heard(now_s, report)
        if before is not None and now_s > before.at_s:
            heard = _added(before, heard)
        self._heard[report.number, end] = heard

    def forget(self, number: int, end: int) -> None:
        """Forget what an end has said: nobody is there any more."""
        self._heard.pop((number, end), None)

    def state(self, now_s: float, number: int) -> LinkState:
        """Return how it is with a link; it is up if both ends say so, and have lately."""
        if number in self._pulled:
            return "pulled"
        both = (self._fresh(now_s, number, end) for end in (0, 1))
        return "up" if all(each and each.report.is_up for each in both) else "down"

    def view(self, now_s: float, number: int) -> LinkView:
        """Return what the screen shows; what one end loses is what the other has sent."""
        one, other = (self._fresh(now_s, number, end) for end in (0, 1))
        return LinkView(
            number, self._ends[number], self.state(now_s, number),
            (one.bits_per_s if one else 0.0, other.bits_per_s if other else 0.0),
            (other.lost_share if other else 0.0, one.lost_share if one else 0.0),
        )  # fmt: skip

    def _fresh(self, now_s: float, number: int, end: int) -> _Heard | None:
        heard = self._heard.get((number, end))
        return heard if heard and now_s - heard.at_s < OLD_AFTER_S else None


def _added(before: _Heard, now: _Heard) -> _Heard:
    """Return the report with what was added since the one before, unless counting began anew."""
    octets = now.report.octets_out - before.report.octets_out
    lost = now.report.lost - before.report.lost
    came = now.report.frames_in - before.report.frames_in
    if octets < 0 or came < 0 or lost < 0:  # a session that is over may take back what it missed
        return now
    rate = _BITS * octets / (now.at_s - before.at_s)
    return now._replace(bits_per_s=rate, lost_share=lost / (lost + came) if lost else 0.0)
