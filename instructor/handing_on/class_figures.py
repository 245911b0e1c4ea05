"""Figures of a class that was taught, for somebody who will teach another one: nobody is in them.

They are the two tables of the class report, which speak of exercises and beliefs. A number of
students below five is left out here, though it names nobody: in a small class people know who that
was. Where a share would tell the number, it is left out with it.
"""

__all__ = ["NoFiguresError", "write_figures"]

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path

from instructor.output.tables import write_table
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.report_csv import (
    EXERCISE_COLUMNS,
    MISCONCEPTION_COLUMNS,
    OUTCOME_COLUMNS,
    SHARE_COLUMNS,
)

REPORT = Path("results") / "report"
TABLES = {"exercises.csv": EXERCISE_COLUMNS, "misconceptions.csv": MISCONCEPTION_COLUMNS}
COUNTS = ("hand_ins", "tried", "students", *OUTCOME_COLUMNS)


class NoFiguresError(ValueError):
    """A course folder has no figures to hand on; the text says why and what to do."""


def write_figures(course: Path, folder: Path, units: Sequence[str]) -> tuple[str, ...]:
    """Write the tables of a graded class, of these units alone; return the names of the files."""
    for name, columns in TABLES.items():
        path = course / REPORT / name
        if not path.is_file():
            raise NoFiguresError(
                f"--figures-of {course}: there is no {REPORT / name}. Name a course folder of a "
                "class that was graded."
            )
        with path.open(encoding="utf-8", newline="") as stream:
            rows = [row for row in csv.DictReader(stream) if row["unit"] in units]
        write_table(folder / name, columns, [_without_few(row, columns) for row in rows])
    return tuple(TABLES)


def _without_few(row: Mapping[str, str], columns: Sequence[str]) -> list[str]:
    few = {name for name in COUNTS if name in columns and _is_few(row[name])}
    hidden = few | ({*SHARE_COLUMNS} if few & {"hand_ins", "tried", "students"} else set())
    return ["" if name in hidden else row[name].removeprefix("'") for name in columns]


def _is_few(number: str) -> bool:
    return number.isdecimal() and 0 < int(number) < SMALLEST_GROUP
