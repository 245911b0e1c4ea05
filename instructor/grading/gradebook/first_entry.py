"""Enter a hand-in that the gradebook has not seen before: a few questions in place of many.

The gradebook's own code makes each row by itself and reads it back, which took half of the
time in the gradebook. For a hand-in that is new there is nothing to read and nothing that
a person may have entered: its rows are made here, with what the gradebook's own code says
they hold, and are inserted together. A test compares both ways, row by row.
"""

__all__ = ["NewCells", "UnitCells", "enter_new", "read_unit_cells"]

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class UnitCells:
    """The keys that the gradebook gave a unit and its cells; the latter by their names."""

    assignment: str
    notebook: str
    has_due_date: bool
    grades: Mapping[str, str]
    comments: Mapping[str, str]


@dataclass(slots=True)
class _Row:
    """A row to be; it stands in for the gradebook's own objects while these are filled."""

    cell_id: str
    auto_score: float | None = None
    manual_score: float | None = None
    needs_manual_grade: bool = True
    auto_comment: str | None = None


@dataclass(slots=True)
class NewCells:
    """All points and comments of a hand-in, empty at first; stands in for the gradebook."""

    grades: dict[str, _Row]
    comments: dict[str, _Row]

    @property
    def db(self) -> "NewCells":
        """Return what is told to commit."""
        return self

    def find_grade(self, name: str, *where: str) -> _Row:
        """Return the row for the points of a cell."""
        return self.grades[name]

    def find_comment(self, name: str, *where: str) -> _Row:
        """Return the row for the comment on a cell."""
        return self.comments[name]

    def commit(self) -> None:
        """Do nothing: all rows are inserted together."""


def read_unit_cells(book: Any, unit: str) -> UnitCells | None:
    """Read the keys of a unit's cells; None if the gradebook knows it by several workbooks."""
    assignment = book.find_assignment(unit)
    if len(assignment.notebooks) != 1:
        return None
    notebook = book.find_notebook(unit, unit)
    with_points = [*notebook.grade_cells, *notebook.task_cells]
    with_comments = [*notebook.solution_cells, *notebook.task_cells]
    return UnitCells(
        assignment.id,
        notebook.id,
        assignment.duedate is not None,
        {one.name: one.id for one in with_points},
        {one.name: one.id for one in with_comments},
    )


def enter_new(
    book: Any, unit: UnitCells, student: str, handed_in: str, fill: Callable[[NewCells], None]
) -> str:
    """Insert all rows of a new hand-in; return the key of its workbook.

    `fill` sets the points and comments. The student must be in the gradebook.
    """
    from nbgrader import api, utils
    from sqlalchemy import insert

    cells = NewCells(
        {name: _Row(cell) for name, cell in unit.grades.items()},
        {name: _Row(cell) for name, cell in unit.comments.items()},
    )
    fill(cells)
    submission, workbook = uuid.uuid4().hex, uuid.uuid4().hex
    stamp = utils.parse_utc(handed_in) if handed_in else None
    book.db.execute(insert(api.SubmittedAssignment.__table__), [
        {"id": submission, "assignment_id": unit.assignment, "student_id": student,
         "timestamp": stamp},
    ])  # fmt: skip
    book.db.execute(insert(api.SubmittedNotebook.__table__), [
        {"id": workbook, "assignment_id": submission, "notebook_id": unit.notebook},
    ])  # fmt: skip
    _insert_points(book, workbook, cells)
    return workbook


def _insert_points(book: Any, workbook: str, cells: NewCells) -> None:
    from nbgrader import api
    from sqlalchemy import insert

    book.db.execute(insert(api.Grade.__table__), [
        {"notebook_id": workbook, "cell_id": row.cell_id, "auto_score": row.auto_score,
         "needs_manual_grade": row.needs_manual_grade}
        for row in cells.grades.values()
    ])  # fmt: skip
    book.db.execute(insert(api.Comment.__table__), [
        {"notebook_id": workbook, "cell_id": row.cell_id, "auto_comment": row.auto_comment}
        for row in cells.comments.values()
    ])  # fmt: skip
