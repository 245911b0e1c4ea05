"""A request as people write it, in TOML: read it, and say where it does not make sense.

title = "One day at North Pier"
time_zone = "Europe/Lisbon"      # names of the IANA time zone database; UTC if none is given
people = 24
machines = 12                    # left out: everybody brings one
known = ["01"]                   # units that the class can do already

[[days]]
date = 2026-05-04
sessions = ["09:00-10:30", "11:00-12:30", "13:30-15:00", "15:30-17:00"]
weeks = 1                        # so many weeks one after the other

[wishes]
must = ["04", "06"]
like = ["10"]
show = ["09"]
avoid = ["11"]

[habits]                         # any of them; what each means stands in `request.py`
slack = 0.15
"""

__all__ = ["RequestError", "read_request"]

import datetime
import itertools
import tomllib
import zoneinfo
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from instructor.planning.request import (
    AVOID,
    DEFAULT_HABITS,
    LIKE,
    MUST,
    SHOW,
    Habits,
    Request,
    Session,
    Wish,
)

WORDS = (MUST, LIKE, SHOW, AVOID)
KNOWN = ("title", "time_zone", "people", "machines", "known", "days", "wishes", "habits")


class RequestError(ValueError):
    """A request cannot be read; the text names the file and the field, and says what is wrong."""


def read_request(path: Path, units: Sequence[str]) -> Request:
    """Read a request for a course that has these units; raises `RequestError`."""
    try:
        facts = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        return request_from(facts, units)
    except (OSError, UnicodeDecodeError) as problem:
        raise RequestError(f"{path} cannot be read: {problem}.") from problem
    except ValueError as problem:  # tomllib's too
        raise RequestError(f"{path}: {problem}") from problem


def request_from(facts: Mapping[str, Any], units: Sequence[str]) -> Request:
    """Return what a file's content asks for; raises `ValueError` in words."""
    _only(facts, KNOWN, "the file")
    zone_name = facts.get("time_zone", "UTC")
    try:
        zone = zoneinfo.ZoneInfo(zone_name)
    except (KeyError, ValueError, TypeError, OSError):
        raise ValueError(f"time_zone: {zone_name!r} is no name of a time zone.") from None
    machines = facts.get("machines")
    return Request(
        title=str(facts.get("title", "A course")),
        sessions=_sessions(facts.get("days", ()), zone),
        wishes=_wishes(_table(facts, "wishes"), units),
        known=frozenset(_unit(name, units, "known") for name in facts.get("known", ())),
        people=_number("people", facts.get("people", 2), 1),
        machines=None if machines is None else _number("machines", machines, 1),
        time_zone=zone_name,
        habits=_habits(_table(facts, "habits")),
    )


def _sessions(days: Iterable[Mapping[str, Any]], zone: zoneinfo.ZoneInfo) -> tuple[Session, ...]:
    found = []
    for day in days:
        _only(day, ("date", "sessions", "weeks"), "[[days]]")
        date = day.get("date")
        if not isinstance(date, datetime.date) or isinstance(date, datetime.datetime):
            raise ValueError(f"[[days]] date = {date!r} is no date, as 2026-05-04 is.")
        for week in range(_number("weeks", day.get("weeks", 1), 1)):
            on = date + datetime.timedelta(weeks=week)
            found += [_session(text, on, zone) for text in day.get("sessions", ())]
    found.sort()
    if not found:
        raise ValueError("there is no session: give [[days]] a date and sessions.")
    for one, following in itertools.pairwise(found):
        if following.start < one.end:
            raise ValueError(f"two sessions are at one time: {_when(one)} and {_when(following)}.")
    return tuple(found)


def _session(text: object, on: datetime.date, zone: zoneinfo.ZoneInfo) -> Session:
    try:
        start, end = (datetime.time.fromisoformat(part.strip()) for part in str(text).split("-"))
    except ValueError:
        raise ValueError(f"sessions: {text!r} is not two times, as 09:00-10:30 is.") from None
    session = Session(
        datetime.datetime.combine(on, start, zone), datetime.datetime.combine(on, end, zone)
    )
    if start >= end:
        raise ValueError(f"sessions: {text!r} ends before it begins.")
    return session


def _when(session: Session) -> str:
    return f"{session.start:%Y-%m-%d %H:%M}-{session.end:%H:%M}"


def _wishes(table: Mapping[str, Any], units: Sequence[str]) -> tuple[Wish, ...]:
    _only(table, WORDS, "[wishes]")
    found = [Wish(_unit(name, units, word), word)
             for word, names in table.items() for name in names]  # fmt: skip
    for place, wish in enumerate(found):
        for other in found[:place]:
            if other.unit == wish.unit:
                raise ValueError(f"[wishes] {wish.unit} stands twice: {other.word}, {wish.word}.")
    return tuple(found)


def _unit(name: object, units: Sequence[str], where: str) -> str:
    found = [unit for unit in units if name in (unit, unit.partition("-")[0])]
    if len(found) != 1:
        raise ValueError(f"{where}: there is no unit {name!r}; there are {', '.join(units)}.")
    return found[0]


def _habits(table: Mapping[str, Any]) -> Habits:
    _only(table, Habits._fields, "[habits]")
    for name, value in table.items():
        if name == "slack":
            if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1:
                raise ValueError(f"[habits] slack = {value!r} is no share from 0 to below 1.")
        else:
            _number(f"[habits] {name}", value, 1 if name.startswith(("people", "blocks")) else 0)
    return DEFAULT_HABITS._replace(**table)


def _only(table: Mapping[str, Any], known: Sequence[str], where: str) -> None:
    for name in table:
        if name not in known:
            raise ValueError(f"{where}: {name!r} is unknown; there are {', '.join(known)}.")


def _table(facts: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = facts.get(name, {})
    if not isinstance(found, Mapping):
        raise ValueError(f"{name} is a table: it begins with a line [{name}].")
    return found


def _number(name: str, value: object, least: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise ValueError(f"{name} = {value!r} is no whole number from {least} on.")
    return value
