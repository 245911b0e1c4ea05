"""How a class stands: what everybody earned and when it came, and what counts under other rules.

Nothing is written and nothing is run here; gradebook and record are only read.
"""

__all__ = ["PointsMoved", "Standing", "moved", "moved_in_words", "moved_table", "standing_of"]

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from rich.box import SIMPLE
from rich.table import Table
from rich.text import Text

from instructor.class_run.grade_class import RECORD_FILE
from instructor.deadlines.class_rules import ClassRules, Key
from instructor.deadlines.counted import Arrival, Counted, Earned, counted, with_missing
from instructor.grading.gradebook.earned import (
    arrivals_in_book,
    by_hand_in_book,
    earned_in_book,
    unit_cells,
)
from instructor.grading.record.record import copied_record
from instructor.output.pages import number
from instructor.output.text import visible
from instructor.release.course_folder import CourseFolder, gradebook_url
from instructor.release.gradebook_tools import database_url, open_gradebook

NEAR = 1e-9  # points


@dataclass(frozen=True, slots=True)
class Standing:
    """What was earned, when hand-ins came, and what there is to earn in each unit, by cells."""

    earned: tuple[Earned, ...] = ()
    arrivals: Mapping[Key, Arrival] = field(default_factory=dict)
    units: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    by_hand: frozenset[tuple[str, str, str]] = frozenset()  # student, unit, cell
    now: datetime = field(default_factory=lambda: datetime.now(UTC))

    def counted(self, rules: ClassRules, roster: Iterable[str]) -> dict[Key, Counted]:
        """Return what counts under these rules, by student and unit."""
        whole = with_missing(self.earned, self.units, roster, rules, self.now)
        found = counted(whole, rules, self.arrivals)
        return {(one.student, one.unit): one for one in found}


class PointsMoved(NamedTuple):
    """A unit of a student that counts otherwise: points and maximum, before and after."""

    student: str
    unit: str
    old: tuple[float, float]
    new: tuple[float, float]


def standing_of(course: CourseFolder) -> Standing:
    """Read gradebook and record of a class; of one that nobody graded yet there is nothing."""
    from sqlalchemy.engine import make_url

    url = gradebook_url(course)
    file = make_url(database_url(url)).database
    if url.startswith("sqlite") and not (file and Path(file).exists()):
        return Standing()
    arrivals: dict[Key, Arrival] = {}
    with open_gradebook(url) as book:
        units = [one.name for one in book.assignments if one.name in course.batch.units]
        arrivals |= arrivals_in_book(book, units)
        earned = earned_in_book(book, units)
        cells = {unit: unit_cells(book, unit) for unit in units}
        by_hand = frozenset(by_hand_in_book(book))
    if (course.path / RECORD_FILE).exists():
        with copied_record(course.path / RECORD_FILE) as record:
            arrivals |= record.counting.arrivals()
    return Standing(earned, arrivals, cells, by_hand)


def moved(old: Mapping[Key, Counted], new: Mapping[Key, Counted]) -> tuple[PointsMoved, ...]:
    """Return of whom something else counts, by unit and student; who is gone counts nothing."""
    found = []
    for key in sorted(old.keys() | new.keys(), key=lambda key: key[::-1]):
        before, after = _figures(old.get(key)), _figures(new.get(key))
        if any(abs(one - other) > NEAR for one, other in zip(before, after, strict=True)):
            found.append(PointsMoved(*key, before, after))
    return tuple(found)


def moved_table(changes: Sequence[PointsMoved]) -> Table:
    """Return one row for each unit of a student that counts otherwise, 80 columns at most."""
    table = Table(box=SIMPLE, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("student", overflow="fold")
    table.add_column("unit", overflow="fold")
    for heading in ("counts now", "would count", "change"):
        table.add_column(heading, justify="right", no_wrap=True)
    for one in changes:
        change = one.new[0] - one.old[0]
        table.add_row(
            Text(visible(one.student)), Text(one.unit[:2]), _of(one.old), _of(one.new),
            f"{'+' if change > 0 else ''}{number(change)}",
        )  # fmt: skip
    return table


def moved_in_words(changes: Sequence[PointsMoved]) -> str:
    """Say in one line how many students are concerned, and by how much together."""
    if not changes:
        return "nobody's points change"
    students = len({one.student for one in changes})
    whose = "1 student" if students == 1 else f"{students} students"
    up = sum(max(0.0, one.new[0] - one.old[0]) for one in changes)
    down = sum(max(0.0, one.old[0] - one.new[0]) for one in changes)
    return f"{whose}: {number(up)} points more, {number(down)} points less"


def _figures(one: Counted | None) -> tuple[float, float]:
    return (0.0, 0.0) if one is None else (one.points, one.of)


def _of(figures: tuple[float, float]) -> str:
    return f"{number(figures[0])} of {number(figures[1])}"
