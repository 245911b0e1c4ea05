"""The grid of students and exercises, sorted both ways: where help is needed most stands first.

Exercises with the smallest share of their points come at the left, students with the fewest points
on top. So what a whole class cannot do is a column, who is lost is a row, and a lone dark cell is
a slip.
"""

__all__ = ["Grid", "GridCell", "GridRow", "grid", "parts"]

import math
from itertools import pairwise
from typing import NamedTuple

from course_lib.exercises.display import sign_of
from course_lib.exercises.registry import Exercise
from course_lib.exercises.verdict import Outcome, Verdict
from instructor.output.pages import number
from instructor.reporting.class_report import ClassReport, ExerciseFigures, StudentTotal


class GridCell(NamedTuple):
    """One answer: what is drawn, its look, and the words that are read out."""

    drawn: str
    look: str
    words: str


class GridRow(NamedTuple):
    """One student: a cell for each exercise, and the points so far."""

    student: str
    cells: tuple[GridCell, ...]
    points: float
    is_final: bool


class Grid(NamedTuple):
    """Columns from the weakest exercise on, rows from the fewest points on."""

    columns: tuple[ExerciseFigures, ...]
    rows: tuple[GridRow, ...]


COLUMNS = 32  # of one table: as many as fit on a sheet of paper beside a name
NOTHING = GridCell("", "missing", "not handed in")


def grid(report: ClassReport) -> Grid:
    """Sort students and exercises of a class, and say what became of each answer."""
    columns = sorted(report.exercises, key=_share)
    students = sorted(report.students, key=lambda one: (one.points, one.student))
    return Grid(
        tuple(columns),
        tuple(_row(one, [column.exercise for column in columns]) for one in students),
    )


def parts(columns: int) -> list[slice]:
    """Cut so many columns into as few tables as fit on paper, all of much the same width."""
    tables = math.ceil(columns / COLUMNS)
    edges = [columns * number // tables for number in range(tables + 1)] if tables else []
    return [slice(*both) for both in pairwise(edges)]


def _share(one: ExerciseFigures) -> float:
    """Put what has no figure last."""
    return 2.0 if one.points is None else one.points.share


def _row(one: StudentTotal, exercises: list[Exercise]) -> GridRow:
    cells = (_cell(one.verdicts.get(item.id)) for item in exercises)
    return GridRow(one.student, tuple(cells), one.points, one.is_final)


def _cell(verdict: Verdict | None) -> GridCell:
    """Draw the sign of the outcome; of what is partly right, the points that it earned."""
    if verdict is None:
        return NOTHING
    sign = sign_of(verdict.outcome)
    if verdict.outcome is Outcome.PARTLY_RIGHT and verdict.points is not None:
        of = number(verdict.exercise.points)
        return GridCell(
            number(verdict.points), sign.look, f"partly right, {number(verdict.points)} of {of}"
        )
    return GridCell(sign.character, sign.look, verdict.outcome.value)
