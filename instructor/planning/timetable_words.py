"""A timetable in words: a line for each entry, what was left out, how good it is; in Markdown."""

__all__ = ["KINDS", "as_markdown", "how_good", "time_of", "what_of"]

import itertools
from collections.abc import Mapping, Sequence

from instructor.planning.request import Request
from instructor.planning.teaching_units import TeachingUnit
from instructor.planning.timetable import Entry, Timetable

KINDS = {
    "listening": "listen", "hands-on": "work", "unattended": "runs by itself", "fixed": "together",
    "free": "free",
}  # fmt: skip


def as_markdown(request: Request, units: Sequence[TeachingUnit], timetable: Timetable) -> str:
    """Return the whole timetable: a table for each day, then what is not in it."""
    titles = {unit.name: unit for unit in units}
    lines = [f"# {request.title}", "", how_good(timetable), ""]
    if request.turns > 1:
        lines += [f"At the machines work {request.turns} groups, one after the other.", ""]
    for day, entries in itertools.groupby(timetable.entries, key=lambda one: one.start.date()):
        lines += [f"## {day:%A}, {day.isoformat()}", "", "| time | what | how |", "|---|---|---|"]
        session = None
        for entry in entries:
            if session not in (None, entry.session):
                lines.append("| | *break* | |")
            session = entry.session
            lines.append(f"| {time_of(entry)} | {what_of(entry, titles)} | {KINDS[entry.kind]} |")
        lines.append("")
    if timetable.left_out:
        lines += ["## Not in it, or not whole", "", "| unit | how much | why |", "|---|---|---|"]
        lines += [f"| {one.unit} | {one.what} | {one.why} |" for one in timetable.left_out]
        lines.append("")
    return "\n".join(lines)


def how_good(timetable: Timetable) -> str:
    """Say whether a better timetable can exist.

    >>> how_good(Timetable((), (), {}, 100, 100))
    'No timetable keeps more of the wishes: that is proved.'
    """
    if timetable.is_best:
        return "No timetable keeps more of the wishes: that is proved."
    more = 100 * (timetable.bound - timetable.worth) / max(1, timetable.worth)
    return (
        f"The search was ended early: a timetable that is worth up to {more:.1f} % more may exist, "
        "and none that is worth more than that."
    )


def what_of(entry: Entry, units: Mapping[str, TeachingUnit]) -> str:
    """Say what goes on, and of which unit."""
    if not entry.unit:
        return entry.what
    unit = units[entry.unit]
    return f"{unit.number} {unit.title}: {entry.what}"


def time_of(entry: Entry) -> str:
    """Return from when to when it goes on."""
    return f"{entry.start:%H:%M}–{entry.end:%H:%M}"
