"""The figures of a class as two tables for other programs; names and order never change.

`exercises.csv` has one row for each exercise:

| column | holds |
|---|---|
| `unit`, `exercise`, `title` | which one it is |
| `hand_ins`, `tried` | workbooks marked; answers that were there to be run |
| `right` ... `could_not_tell` | how many workbooks had each of the ten outcomes |
| `max_points` | points there are |
| `share`, `share_low`, `share_high` | mean share of the points (0 to 1) and its 95 % interval |

`misconceptions.csv` has one row for each misconception that was seen, ranked:

| column | holds |
|---|---|
| `unit`, `exercise`, `title`, `misconception` | which one it is |
| `belief`, `next` | the belief in words, and the question that repairs it |
| `tried`, `students` | how many tried the exercise, and how many of them showed it |
| `share`, `share_low`, `share_high` | their share (0 to 1) and its 95 % interval |
| `idea` | what stands behind it and beliefs of other exercises, if that was declared |

Where the group is too small for a figure, its cells are empty.
"""

__all__ = [
    "EXERCISE_COLUMNS",
    "MISCONCEPTION_COLUMNS",
    "OUTCOME_COLUMNS",
    "SHARE_COLUMNS",
    "write_tables",
]

from pathlib import Path

from course_lib.exercises.verdict import Outcome
from instructor.output.tables import write_table
from instructor.reporting.class_report import ClassReport, ExerciseFigures, MisconceptionFigures
from instructor.reporting.intervals import Estimate
from instructor.reporting.shared_ideas import declared
from instructor.reporting.words import belief, question

OUTCOME_COLUMNS = tuple(outcome.value.replace(" ", "_") for outcome in Outcome)
SHARE_COLUMNS = ("share", "share_low", "share_high")
EXERCISE_COLUMNS = (
    "unit", "exercise", "title", "hand_ins", "tried", *OUTCOME_COLUMNS, "max_points",
    *SHARE_COLUMNS,
)  # fmt: skip
MISCONCEPTION_COLUMNS = (
    "unit", "exercise", "title", "misconception", "belief", "next", "tried", "students",
    *SHARE_COLUMNS, "idea",
)  # fmt: skip
Row = tuple[str, ...]


def write_tables(folder: Path, report: ClassReport) -> tuple[Path, Path]:
    """Write both tables into `folder` and return their paths."""
    exercises, misconceptions = folder / "exercises.csv", folder / "misconceptions.csv"
    write_table(exercises, EXERCISE_COLUMNS, map(_exercise, report.exercises))
    write_table(misconceptions, MISCONCEPTION_COLUMNS, map(_misconception, report.misconceptions))
    return exercises, misconceptions


def _exercise(one: ExerciseFigures) -> Row:
    item = one.exercise
    outcomes = tuple(str(count.hand_ins) for count in one.outcomes)
    return (
        item.unit, item.id, item.title, str(one.hand_ins), str(len(one.tried)),
        *(outcomes or ("",) * len(OUTCOME_COLUMNS)), f"{item.points:g}", *_share(one.points),
    )  # fmt: skip


def _misconception(one: MisconceptionFigures) -> Row:
    item = one.exercise
    students = "" if one.students is None else str(one.students)
    return (
        item.unit, item.id, item.title, one.name, belief(one), question(one), str(one.tried),
        students, *_share(one.share), declared().get((item.id, one.name), ""),
    )  # fmt: skip


def _share(estimate: Estimate | None) -> Row:
    return ("",) * 3 if estimate is None else tuple(f"{part:.4f}" for part in estimate)
