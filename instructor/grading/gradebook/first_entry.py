"""Enter a hand-in that the gradebook has not seen before: a few questions in place of many.

The gradebook's own code makes each row by itself and reads it back, which took half of the
time in the gradebook. For a hand-in that is new there is nothing to read and nothing that
a person may have entered: its rows are made here, with what the gradebook's own code says
they hold, and are inserted together. A test compares both ways, row by row.
"""

__all__ = ["UnitCells", "enter_new", "read_unit_cells"]

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from instructor.grading.gradebook.known_cells import HandInCells


@dataclass(frozen=True, slots=True)
class UnitCells:
    """The keys that the gradebook gave a unit and its cells; the latter by their names."""

    assignment: str
    notebook: str
    has_due_date: bool
    grades: Mapping[str, str]
    comments: Mapping[str, str]


def read_unit_cells(book: Any, unit: str) -> UnitCells | None:
    """Read the keys of a unit's cells; None if the gradebook knows it by several workbooks."""
    assignment = book.find_assignment(unit)
    if len(assignment.notebooks) != 1:
        return None
    notebook = book.find_notebook(unit, unit)
    return UnitCells(
        assignment.id,
        notebook.id,
        assignment.duedate is not None,
        {one.name: one.id for one in (*notebook.grade_cells, *notebook.task_cells)},
        {one.name: one.id for one in (*notebook.solution_cells, *notebook.task_cells)},
    )


def enter_new(
    book: Any, unit: UnitCells, student: str, handed_in: str, fill: Callable[[HandInCells], None]
) -> str:
    """Insert all rows of a new hand-in; return the key of its workbook.

    `fill` sets the points and comments. The student must be in the gradebook.
    """
    from nbgrader import api

    submission, workbook = uuid.uuid4().hex, uuid.uuid4().hex
    stamp = None
    if handed_in:
        from nbgrader.utils import parse_utc  # as in `intake.arrivals`

        stamp = parse_utc(handed_in)
    grades = _rows(api.Grade, workbook, unit.grades)
    comments = _rows(api.Comment, workbook, unit.comments)
    fill(HandInCells(grades, comments))
    book.db.bulk_save_objects([
        api.SubmittedAssignment(
            id=submission, assignment_id=unit.assignment, student_id=student, timestamp=stamp
        ),
        api.SubmittedNotebook(id=workbook, assignment_id=submission, notebook_id=unit.notebook),
        *grades.values(), *comments.values(),
    ])  # fmt: skip
    return workbook


def _rows(kind: Any, workbook: str, keys: Mapping[str, str]) -> Mapping[str, Any]:
    return {name: kind(notebook_id=workbook, cell_id=key) for name, key in keys.items()}
