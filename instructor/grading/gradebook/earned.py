"""What everybody earned, cell by cell, before any rule of the class: as the gradebook has it.

A person's points come before the machine's, and extra credit is added, as the gradebook counts.
"""

__all__ = ["arrivals_in_book", "by_hand_in_book", "earned_in_book", "take_off", "unit_cells"]

from collections import defaultdict
from collections.abc import Iterable
from datetime import UTC
from typing import Any

from instructor.deadlines.class_rules import Key
from instructor.deadlines.counted import Arrival, Cell, Counted, Earned

NEAR = 1e-9  # points; what differs by less is the same


def earned_in_book(book: Any, units: Iterable[str]) -> tuple[Earned, ...]:
    """Return what was earned in every hand-in of these units, by unit and student."""
    from nbgrader import api

    rows = (
        book.db.query(
            api.Assignment.name, api.SubmittedAssignment.student_id, api.BaseCell.name,
            api.Grade.score, api.Grade.max_score,
        )
        .join(api.SubmittedAssignment, api.SubmittedAssignment.assignment_id == api.Assignment.id)
        .join(api.SubmittedNotebook,
              api.SubmittedNotebook.assignment_id == api.SubmittedAssignment.id)
        .join(api.Grade, api.Grade.notebook_id == api.SubmittedNotebook.id)
        .join(api.BaseCell, api.BaseCell.id == api.Grade.cell_id)
        .filter(api.Assignment.name.in_(list(units)))
    )  # fmt: skip
    cells: defaultdict[Key, dict[str, Cell]] = defaultdict(dict)
    for unit, student, name, score, most in rows:
        cells[unit, student][name] = Cell(score or 0.0, most or 0.0)
    return tuple(Earned(student, unit, cells[unit, student]) for unit, student in sorted(cells))


def arrivals_in_book(book: Any, units: Iterable[str]) -> dict[Key, Arrival]:
    """Return the times of handing in that the gradebook itself has, by student and unit."""
    from nbgrader import api

    rows = (
        book.db.query(api.SubmittedAssignment.student_id, api.Assignment.name,
                      api.SubmittedAssignment.timestamp)
        .join(api.Assignment, api.Assignment.id == api.SubmittedAssignment.assignment_id)
        .filter(api.Assignment.name.in_(list(units)))
    )  # fmt: skip
    return {
        (student, unit): Arrival(stamp.replace(tzinfo=UTC), "timestamp.txt")
        for student, unit, stamp in rows
        if stamp is not None
    }


def by_hand_in_book(book: Any) -> set[tuple[str, str, str]]:
    """Return the cells to which a person gave points, as student, unit and name."""
    from nbgrader import api

    rows = (
        book.db.query(api.SubmittedAssignment.student_id, api.Assignment.name, api.BaseCell.name)
        .join(api.Assignment, api.Assignment.id == api.SubmittedAssignment.assignment_id)
        .join(api.SubmittedNotebook,
              api.SubmittedNotebook.assignment_id == api.SubmittedAssignment.id)
        .join(api.Grade, api.Grade.notebook_id == api.SubmittedNotebook.id)
        .join(api.BaseCell, api.BaseCell.id == api.Grade.cell_id)
        .filter(api.Grade.manual_score.is_not(None))
    )  # fmt: skip
    return {(student, unit, cell) for student, unit, cell in rows}


def take_off(book: Any, counted: Iterable[Counted], units: Iterable[str]) -> None:
    """Let the gradebook take off what being late costs in these units, in place of its own rule."""
    lost = {(one.unit, one.student): one.lost for one in counted if one.is_there}
    for unit in units:
        for one in book.assignment_submissions(unit):
            wanted = lost.get((unit, one.student_id), 0.0)
            if abs((one.late_submission_penalty or 0.0) - wanted) > NEAR:
                for place, notebook in enumerate(one.notebooks):  # the sum is the submission's
                    notebook.late_submission_penalty = 0.0 if place else wanted
    book.db.commit()


def unit_cells(book: Any, unit: str) -> dict[str, float]:
    """Return the points that there are in each cell of a unit; none if it is not known."""
    from nbgrader.api import MissingEntry

    try:
        notebooks = book.find_assignment(unit).notebooks
    except MissingEntry:
        return {}
    return {
        cell.name: float(cell.max_score or 0.0)
        for notebook in notebooks
        for cell in (*notebook.grade_cells, *notebook.task_cells)
    }
