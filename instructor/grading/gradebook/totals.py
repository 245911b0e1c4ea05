"""What the gradebook says in the end: points given by machine and by hand, less what is late.

The figures are the gradebook's own: a person's points count before the machine's, extra
credit is added, and what being late costs is taken off, but never below nothing.
"""

__all__ = ["CellPoints", "Total", "seconds_late", "totals"]

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple


class CellPoints(NamedTuple):
    """What the gradebook has for one cell; None where nobody, and no machine, gave points."""

    name: str
    points: float | None
    max_points: float
    by_hand: bool
    waits: bool
    comment: str = ""


class Total(NamedTuple):
    """One hand-in as the gradebook has it; `waiting` are the cells that a person must mark."""

    student: str
    unit: str
    points: float
    max_points: float
    penalty: float
    late_s: float
    waiting: tuple[str, ...]
    cells: tuple[CellPoints, ...] = ()


def totals(book: Any, units: Iterable[str]) -> tuple[Total, ...]:
    """Return every hand-in of these units that is in the gradebook, by unit and student."""
    said = _comments(book)
    found = (_total(unit, one, said) for unit in units for one in book.assignment_submissions(unit))
    return tuple(sorted(found, key=lambda one: (one.unit, one.student)))


def seconds_late(submission: Any) -> float:
    """Return how late a hand-in came; without a day when it was due, nothing is late."""
    if submission.assignment.duedate is None:
        return 0.0
    return float(submission.total_seconds_late)


def _total(unit: str, one: Any, said: Mapping[tuple[str, str], str]) -> Total:
    penalty = one.late_submission_penalty or 0.0
    grades = [grade for notebook in one.notebooks for grade in notebook.grades]
    cells = sorted(_cell(grade, said.get((grade.notebook_id, grade.name), "")) for grade in grades)
    return Total(
        one.student_id, unit, max(0.0, one.score - penalty), one.max_score, penalty,
        seconds_late(one), tuple(cell.name for cell in cells if cell.waits), tuple(cells),
    )  # fmt: skip


def _cell(grade: Any, comment: str) -> CellPoints:
    by_hand = grade.manual_score is not None or bool(grade.extra_credit)
    points = grade.auto_score if grade.manual_score is None else grade.manual_score
    if by_hand:
        points = (points or 0.0) + (grade.extra_credit or 0.0)
    return CellPoints(
        grade.name, points, grade.max_score, by_hand, grade.needs_manual_grade, comment
    )


def _comments(book: Any) -> dict[tuple[str, str], str]:
    """Return what people wrote to cells, by the hand-in's key and the name of the points' cell."""
    from nbgrader.api import Comment

    written = book.db.query(Comment).filter(Comment.manual_comment.isnot(None))
    # The comment on an answer in code belongs to the answer, its points to the check below it.
    return {
        (one.notebook_id, one.name.replace("answer-", "mark-")): one.manual_comment
        for one in written
    }
