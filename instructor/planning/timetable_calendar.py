"""A timetable as a calendar that other programs read: iCalendar, RFC 5545.

One event for each stretch of one unit in a session, so that a calendar is not covered with crumbs.
"""

__all__ = ["as_calendar"]

import datetime
import hashlib
import itertools
from collections.abc import Mapping, Sequence

from icalendar import Calendar, Event

from instructor.planning.request import Request
from instructor.planning.teaching_units import TeachingUnit
from instructor.planning.timetable import FREE, Entry, Timetable


def as_calendar(
    request: Request, units: Sequence[TeachingUnit], timetable: Timetable,
    made_at: datetime.datetime,
) -> bytes:  # fmt: skip
    """Return the calendar as octets, with the rules of its time zone.

    An event's name (UID, section 3.8.4.7) rests on the course's title, the day, and what it is
    about: so the same stretch at another hour is the same event.
    """
    titles = {unit.name: unit for unit in units}
    calendar = Calendar()
    calendar.add("prodid", "-//Hop by Hop//timetable//EN")
    calendar.add("version", "2.0")
    entries = [one for one in timetable.entries if one.kind != FREE]
    seen: dict[str, int] = {}
    for (session, unit), group in itertools.groupby(
        entries, key=lambda one: (one.session, one.unit)
    ):
        stretch = list(group)
        about = (
            f"{request.title}/{request.sessions[session].start.date()}/{unit or stretch[0].what}"
        )
        seen[about] = seen.get(about, 0) + 1
        calendar.add_component(_event(titles, stretch, f"{about}/{seen[about]}", made_at))
    days = [one.start.date() for one in request.sessions]
    a_year = datetime.timedelta(days=366)  # so that the rules of a clock change are in it
    calendar.add_missing_timezones(first_date=days[0] - a_year, last_date=days[-1] + a_year)
    octets: bytes = calendar.to_ical()
    return octets


def _event(
    units: Mapping[str, TeachingUnit], stretch: Sequence[Entry], name: str,
    made_at: datetime.datetime,
) -> Event:  # fmt: skip
    first = stretch[0]
    event = Event()
    event.add("uid", f"{hashlib.sha256(name.encode()).hexdigest()[:32]}@hop-by-hop.example.org")
    event.add("dtstamp", made_at.astimezone(datetime.UTC))
    event.add("dtstart", first.start)
    event.add("dtend", max(one.end for one in stretch if one.kind != "unattended" or one is first))
    unit = units.get(first.unit)
    what = ", ".join(dict.fromkeys(one.what for one in stretch))
    event.add("summary", f"{unit.number} {unit.title}" if unit else what)
    if unit:
        event.add("description", what)
    return event
