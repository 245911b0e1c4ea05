"""A timetable as a page: a picture and a table for each day, printable."""

__all__ = ["as_page"]

import itertools
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from markupsafe import Markup

from instructor.output.pages import render_page
from instructor.planning.request import Request
from instructor.planning.teaching_units import TeachingUnit
from instructor.planning.timetable import Entry, Timetable
from instructor.planning.timetable_picture import day_picture, day_sentence
from instructor.planning.timetable_words import KINDS, how_good, time_of, what_of

TEMPLATE = Path(__file__).parent / "templates" / "timetable.html"


class Row(NamedTuple):
    """A line of a day's table; with `is_pause` there is a break before it."""

    time: str
    what: str
    how: str
    is_pause: bool


class Day(NamedTuple):
    """What the page shows of a day."""

    name: str
    picture: Markup
    sentence: str
    rows: tuple[Row, ...]


def as_page(request: Request, units: Sequence[TeachingUnit], timetable: Timetable) -> str:
    """Return the whole page."""
    titles = {unit.name: unit for unit in units}
    days = []
    for date, group in itertools.groupby(timetable.entries, key=lambda one: one.start.date()):
        entries = tuple(group)
        rows = tuple(
            Row(time_of(one), what_of(one, titles), KINDS[one.kind], _pauses(entries, place))
            for place, one in enumerate(entries)
        )
        name = f"{date:%A}, {date.isoformat()}"
        days.append(Day(name, day_picture(request, entries), day_sentence(entries), rows))
    return render_page(
        TEMPLATE, title=request.title, how_good=how_good(timetable), turns=request.turns, days=days,
        left_out=timetable.left_out,
    )  # fmt: skip


def _pauses(entries: Sequence[Entry], place: int) -> bool:
    return place > 0 and entries[place].session != entries[place - 1].session
