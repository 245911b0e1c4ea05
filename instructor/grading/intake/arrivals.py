"""When each hand-in came, and how that is known: a time with its source, or none.

| source | what it is |
|---|---|
| `timestamp.txt` | the stamp that the gradebook's tools, or a hub, put beside a workbook |
| `handed-in.csv` | the upload page's own report |
| `the file` | when the file, or a student's archive, was last changed on the disk |
| `the archive` | what a class's archive says of its member, without an offset from UTC |

The last two come from clocks and programs that nobody here knows. Whether they are believed is for
the rules of the class to say.
"""

__all__ = ["arrival_of"]

from datetime import UTC, datetime, tzinfo

from instructor.deadlines.counted import UNKNOWN, Arrival
from instructor.grading.intake.hand_ins import HandIn

NS = 10**9


def arrival_of(hand_in: HandIn, zone: tzinfo = UTC) -> Arrival:
    """Return when a hand-in came, by the best source; a time without an offset is `zone`'s."""
    if hand_in.handed_in:
        from nbgrader.utils import parse_utc  # loads an installer: not for hand-ins without a stamp

        source = hand_in.time_from or "timestamp.txt"
        return Arrival(parse_utc(hand_in.handed_in).replace(tzinfo=UTC), source)
    of_file, of_member = hand_in.changed
    if of_file:
        return Arrival(datetime.fromtimestamp(of_file // NS, UTC), "the file")
    try:
        return Arrival(_of_member(of_member, zone), "the archive")
    except (ValueError, OverflowError, OSError):
        return UNKNOWN


def _of_member(number: int, zone: tzinfo) -> datetime:
    """Read an archive's time: a date and time of day in one number, or nanoseconds since 1970."""
    text = str(number)
    if len(text) == len("YYYYMMDDHHMMSS"):
        return datetime.strptime(text, "%Y%m%d%H%M%S").replace(tzinfo=zone)
    if not number:
        raise ValueError("an archive without times")
    return datetime.fromtimestamp(number // NS, UTC)
