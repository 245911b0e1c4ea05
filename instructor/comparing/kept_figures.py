"""Figures of a class that may outlive its records: nobody is in them, and no small group.

They are the tables of its report by which another class can be compared, but for students' own
code. A number of students below five is left out, though it names nobody: in a small class people
know who that was. Where a share would tell the number, it is left out with it.
"""

__all__ = ["kept_figures", "write_figures"]

from collections.abc import Collection, Mapping
from pathlib import Path

from course_lib.exercises.registry import all_exercises
from course_lib.exercises.whole_file import write_whole
from instructor.comparing.class_tables import TABLES, Row, read_class_tables
from instructor.output.tables import table_text
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.report_csv import OUTCOME_COLUMNS, SHARE_COLUMNS

STUDENTS_OWN = ("unnamed",)  # there is code of theirs in it
GROUPS = ("hand_ins", "tried", "students")  # if one is small, a share of it would tell how small
COUNTS = (*GROUPS, "undecided", "before_students", "after_students", "both", *OUTCOME_COLUMNS,
          *(f"level_{level}" for level in range(1, 6)))  # fmt: skip


def kept_figures(
    argument: str, course: Path, units: Collection[str] | None = None
) -> dict[str, str]:
    """Return the texts of the tables by the names of their files; of some units alone, if named.

    Raises `NoTablesError`, whose text begins with the `argument` that named the course folder.
    """
    found = {}
    for name, rows in read_class_tables(argument, course).rows.items():
        chosen = [row for row in rows if units is None or _unit(row) in (*units, "")]
        if chosen and name not in STUDENTS_OWN:
            found[f"{name}.csv"] = table_text(list(chosen[0]), map(_without_few, chosen))
    return found


def write_figures(folder: Path, texts: Mapping[str, str]) -> None:
    """Write them into a folder; tables of an earlier class that are there go."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in TABLES:
        (folder / f"{name}.csv").unlink(missing_ok=True)
    for name, text in texts.items():
        write_whole(folder / name, text)


def _unit(row: Row) -> str:
    """Return the unit that a row is about; '' for one about the course, or the class."""
    of = {item.id: item.unit for item in all_exercises()}
    return row.get("unit") or of.get(row.get("exercise", ""), row.get("exercise", ""))


def _without_few(row: Row) -> list[str]:
    few = {name for name in COUNTS if 0 < _number(row.get(name, "")) < SMALLEST_GROUP}
    hidden = few | ({*SHARE_COLUMNS} if few & {*GROUPS} else set())
    return ["" if name in hidden else cell.removeprefix("'") for name, cell in row.items()]


def _number(cell: str) -> int:
    return int(cell) if cell.isdecimal() else 0
