"""A moment as people type it: a date, a time of day and an offset from UTC (RFC 3339, section 5.6).

Without the offset nobody can tell which moment was meant, so it is asked for and never guessed.
"""

__all__ = ["in_words", "read_moment"]

import datetime
import re

BEFORE_OFFSET = re.compile(r"\s+(?=[+-]\d|Z$)|\s+(?:UTC|GMT)$")


def read_moment(text: str) -> datetime.datetime:
    """Return the moment; raise `ValueError` in words.

    >>> read_moment("2026-05-04 18:00 +02:00").isoformat()
    '2026-05-04T18:00:00+02:00'
    """
    seen = repr(text) if text else "an empty cell"
    try:
        time = datetime.datetime.fromisoformat(BEFORE_OFFSET.sub(_offset, text.strip()))
    except ValueError:
        raise ValueError(f"{seen} is no time as 2026-05-04T14:00:00+02:00 is") from None
    if time.tzinfo is None:
        raise ValueError(f"{seen} has no offset from UTC, as +02:00 or Z")
    try:
        time.astimezone(datetime.UTC)
    except OverflowError:
        raise ValueError(f"{seen} is out of reach of any calendar") from None
    return time


def in_words(moment: datetime.datetime) -> str:
    """Write a moment for people, with its offset.

    >>> in_words(read_moment("2026-05-04T18:00:00+02:00"))
    '2026-05-04 18:00 +02:00'
    """
    text = moment.isoformat(sep=" ", timespec="seconds")
    date, _, rest = text.partition(" ")
    clock, offset = rest[:8], rest[8:]
    return f"{date} {clock.removesuffix(':00') if clock.count(':') == 2 else clock} {offset}"


def _offset(found: re.Match[str]) -> str:
    return "Z" if found[0].strip() else ""
