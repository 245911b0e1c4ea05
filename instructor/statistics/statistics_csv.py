"""The statistics as four tables for other programs, without a student in them.

Names and order of columns never change.

`statistics.csv` has one row for each exercise:

| column | holds |
|---|---|
| `unit`, `exercise`, `title`, `max_points` | which one it is |
| `students`, `undecided` | answers with points; answers that wait for a person |
| `difficulty`, `difficulty_low`, `difficulty_high` | mean share of points (0 to 1), 95 % interval |
| `unit_rest`, `unit_rest_low`, `unit_rest_high` | correlation with the rest of the unit |
| `course_rest`, `course_rest_low`, `course_rest_high` | and of the course |
| `upper_lower` | share of points of the best 27 % less that of the weakest 27 % |
| `judgement` | what that says, in words |

`units.csv` has one row for each unit, and one with an empty `unit` for the course: `students` who
have all of it, `exercises`, `max_points`, `mean`, `alpha`, `alpha_low`, `alpha_high`,
`standard_error`, `files` a student, `again` (the share with more than one), `half_in` (UTC).

`unnamed.csv` has one row for each group of wrong answers that return the same and show no known
belief: `unit`, `exercise`, `students`, `tried`, `case`, `example`.

`attempts.csv` has one row for each exercise of which at least five handed their progress over:
`unit`, `exercise`, `told_minutes` (the workbook's), then of the attempts and of the minutes at work
how many `people` gave them, the median, and between which two half of them lie (`attempts_people`,
`attempts`, `attempts_low`, `attempts_high`, `minutes_people`, ...).

Where the group is too small for a figure, its cells are empty.
"""

__all__ = [
    "ATTEMPTS_COLUMNS",
    "STATISTICS_COLUMNS",
    "UNIT_COLUMNS",
    "UNNAMED_COLUMNS",
    "write_statistics_tables",
]

from collections.abc import Sequence
from datetime import UTC
from pathlib import Path

from instructor.output.tables import write_table
from instructor.statistics.exercise_statistics import (
    ClassStatistics,
    ExerciseStatistics,
    UnitStatistics,
)
from instructor.statistics.time_at_work import Middle, TimeAtWork
from instructor.statistics.unnamed_answers import UnnamedGroup

STATISTICS_COLUMNS = (
    "unit", "exercise", "title", "max_points", "students", "undecided",
    "difficulty", "difficulty_low", "difficulty_high",
    "unit_rest", "unit_rest_low", "unit_rest_high",
    "course_rest", "course_rest_low", "course_rest_high", "upper_lower", "judgement",
)  # fmt: skip
UNIT_COLUMNS = (
    "unit", "students", "exercises", "max_points", "mean", "alpha", "alpha_low", "alpha_high",
    "standard_error", "files", "again", "half_in",
)  # fmt: skip
UNNAMED_COLUMNS = ("unit", "exercise", "students", "tried", "case", "example")
ATTEMPTS_COLUMNS = (
    "unit", "exercise", "told_minutes",
    "attempts_people", "attempts", "attempts_low", "attempts_high",
    "minutes_people", "minutes", "minutes_low", "minutes_high",
)  # fmt: skip
Row = tuple[str, ...]


def write_statistics_tables(
    folder: Path, found: ClassStatistics, unnamed: Sequence[UnnamedGroup],
    at_work: Sequence[TimeAtWork],
) -> None:  # fmt: skip
    """Write the four tables into `folder`."""
    write_table(folder / "statistics.csv", STATISTICS_COLUMNS, map(_exercise, found.exercises))
    write_table(folder / "units.csv", UNIT_COLUMNS, map(_unit, found.units))
    write_table(folder / "unnamed.csv", UNNAMED_COLUMNS, map(_unnamed, unnamed))
    write_table(folder / "attempts.csv", ATTEMPTS_COLUMNS, map(_at_work, at_work))


def _exercise(one: ExerciseStatistics) -> Row:
    item = one.exercise
    return (
        item.unit, item.id, item.title, f"{item.points:g}", str(one.students), str(one.undecided),
        *_numbers(one.difficulty), *_numbers(one.in_unit and one.in_unit[:3]),
        *_numbers(one.in_course and one.in_course[:3]), _number(one.upper_lower),
        one.judgement.value,
    )  # fmt: skip


def _unit(one: UnitStatistics) -> Row:
    known, came = one.reliability, one.hand_ins
    return (
        one.unit, str(one.students), str(one.exercises), f"{one.of:g}", _number(one.mean),
        *_numbers(known and known[:3]), _number(known and known.error), _number(came.files),
        _number(came.again and came.again.share),
        came.half_in.astimezone(UTC).isoformat(timespec="minutes") if came.half_in else "",
    )  # fmt: skip


def _unnamed(one: UnnamedGroup) -> Row:
    item = one.exercise
    return (item.unit, item.id, str(one.students), str(one.tried), one.case, one.example)


def _at_work(one: TimeAtWork) -> Row:
    told = "" if one.told_min is None else str(one.told_min)
    item = one.exercise
    return (item.unit, item.id, told, *_middle(one.attempts), *_middle(one.minutes))


def _middle(one: Middle | None) -> Row:
    if one is None:
        return ("",) * 4
    return (str(one.people), f"{one.middle:g}", f"{one.low:g}", f"{one.high:g}")


def _numbers(values: Sequence[float] | None) -> Row:
    return ("",) * 3 if values is None else tuple(map(_number, values))


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.4f}"
