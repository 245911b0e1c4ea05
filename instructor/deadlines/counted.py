"""What counts in the end: from points earned and times of handing in to points under the rules.

Nothing here reads a clock or a file. Points by hand and extra credit are in what was earned. First
what somebody is excused from is left out, then the late rule keeps its share of the rest. Free days
are spent in the order of the deadlines, whatever they save: so an extension, which spends fewer of
them, never lowers anything, not even in another unit.
"""

__all__ = [
    "EXERCISE",
    "UNKNOWN",
    "Arrival",
    "Cell",
    "Counted",
    "Earned",
    "cell_of",
    "counted",
    "with_missing",
]

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from instructor.deadlines.class_rules import ClassRules, Excuse, Key
from instructor.deadlines.late_rule import days_late

EXERCISE = re.compile(r"\d+\.\d+")


class Cell(NamedTuple):
    """Points earned in one cell of a workbook, and how many there are."""

    points: float
    of: float


class Earned(NamedTuple):
    """All that a student earned in one unit, by the names of the cells, before any rule.

    With `is_there` False nothing was handed in, and `cells` say what there was to earn.
    """

    student: str
    unit: str
    cells: Mapping[str, Cell]
    is_there: bool = True


class Arrival(NamedTuple):
    """When a hand-in came, and how that is known: one of `SOURCES`; no time if it is not."""

    time: datetime | None = None
    source: str = ""


UNKNOWN = Arrival()


class Counted(NamedTuple):
    """What counts of one unit of one student.

    `raw` and `raw_of` are before any rule, `points` and `of` after all of them; `lost` is what
    being late costs. `late_s` is 0 in time; `days` are those that have begun, of which `free` cost
    nothing. With `is_open` nobody knows when it came, and `arrival` at most holds a time that is
    not believed: nothing is taken off until a person says.
    """

    student: str
    unit: str
    raw: float
    raw_of: float
    points: float
    of: float
    lost: float = 0.0
    share: float = 1.0
    late_s: float = 0.0
    days: int = 0
    free: int = 0
    due: datetime | None = None
    arrival: Arrival = UNKNOWN
    excused: tuple[Excuse, ...] = ()
    is_open: bool = False
    is_there: bool = True


def counted(
    earned: Iterable[Earned], rules: ClassRules, arrivals: Mapping[Key, Arrival]
) -> tuple[Counted, ...]:
    """Return what counts of everything that was earned, by unit and student.

    Of `arrivals`, those are believed whose source the rules name; a time that a person gave
    comes before all of them.
    """
    by_student: defaultdict[str, list[Earned]] = defaultdict(list)
    for one in earned:
        by_student[one.student].append(one)
    found = [done for own in by_student.values() for done in _of_one(own, rules, arrivals)]
    return tuple(sorted(found, key=lambda one: (one.unit, one.student)))


def with_missing(
    earned: Sequence[Earned], units: Mapping[str, Mapping[str, float]], roster: Iterable[str],
    rules: ClassRules, now: datetime,
) -> tuple[Earned, ...]:  # fmt: skip
    """Add a line without points for everybody on the roster who let a deadline pass by `now`.

    `units` say how many points there are in each cell; those without an entry are left out.
    """
    there = {(one.student, one.unit) for one in earned}
    listed = tuple(roster)
    missing = []
    for unit in rules.due:
        cells = {name: Cell(0.0, most) for name, most in units.get(unit, {}).items()}
        for student in listed if cells else ():
            due = rules.due_for(student, unit)
            if due is not None and due < now and (student, unit) not in there:
                missing.append(Earned(student, unit, cells, is_there=False))
    return (*earned, *missing)


def cell_of(exercise: str) -> str:
    """Return the name of the cell whose points an exercise has.

    >>> cell_of("1.2"), cell_of("explain-1")
    ('mark-1-2', 'explain-1')
    """
    return f"mark-{exercise.replace('.', '-')}" if EXERCISE.fullmatch(exercise) else exercise


def _of_one(
    own: Iterable[Earned], rules: ClassRules, arrivals: Mapping[Key, Arrival]
) -> Iterable[Counted]:
    """Yield what counts of one student's units; free days are spent from deadline to deadline."""
    left = rules.late.free_days
    for one in sorted(own, key=lambda one: (_order(rules, one.unit), one.unit)):
        hint = arrivals.get((one.student, one.unit), UNKNOWN)
        done = _of_unit(one, rules, _arrival(rules, one, hint), hint, left)
        left -= done.free
        yield done


def _order(rules: ClassRules, unit: str) -> float:
    due = rules.due.get(unit)
    return float("inf") if due is None else due.timestamp()


def _arrival(rules: ClassRules, one: Earned, arrival: Arrival) -> Arrival:
    key = one.student, one.unit
    if key in rules.handed_in:
        return Arrival(rules.handed_in[key], "a person")
    return arrival if arrival.source in rules.believed else UNKNOWN


def _of_unit(
    one: Earned, rules: ClassRules, arrival: Arrival, hint: Arrival, free_left: int
) -> Counted:
    raw = sum(cell.points for cell in one.cells.values())
    raw_of = sum(cell.of for cell in one.cells.values())
    excused = _excuses(one, rules)
    out = _left_out(one, excused)
    stays = [cell for name, cell in one.cells.items() if name not in out]
    points, of = sum(cell.points for cell in stays), sum(cell.of for cell in stays)
    plain = Counted(
        one.student, one.unit, raw, raw_of, points, of,
        due=rules.due_for(one.student, one.unit), excused=excused, is_there=one.is_there,
    )  # fmt: skip
    if plain.due is None or not one.is_there or not stays:
        return plain._replace(arrival=arrival)
    if arrival.time is None:
        return plain._replace(is_open=True, arrival=hint)
    late_s = max(0.0, (arrival.time - plain.due).total_seconds())
    days = days_late(late_s, rules.late.grace_s)
    free = min(days, free_left)
    share = rules.late.share(days, free)
    return plain._replace(
        points=points * share, lost=points - points * share, share=share, late_s=late_s, days=days,
        free=free, arrival=arrival,
    )  # fmt: skip


def _excuses(one: Earned, rules: ClassRules) -> tuple[Excuse, ...]:
    fits = (
        excuse
        for excuse in rules.excuses
        if (excuse.student, excuse.unit) == (one.student, one.unit)
        and (not excuse.exercise or cell_of(excuse.exercise) in one.cells)
    )
    return tuple(sorted(fits))


def _left_out(one: Earned, excused: Iterable[Excuse]) -> set[str]:
    """Return the cells that are out of the maximum: each once, by however many excuses."""
    out: set[str] = set()
    for excuse in excused:
        if excuse.counts == "left out":
            out |= {cell_of(excuse.exercise)} if excuse.exercise else set(one.cells)
    return out
