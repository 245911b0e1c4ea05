"""What the gradebook says in the end: points given by machine and by hand, less what is late.

The figures are the gradebook's own: a person's points count before the machine's, extra
credit is added, and what being late costs is taken off, but never below nothing.
"""

__all__ = ["Total", "seconds_late", "totals"]

from collections.abc import Iterable
from typing import Any, NamedTuple


class Total(NamedTuple):
    """One hand-in as the gradebook has it; `waiting` are the cells that a person must mark."""

    student: str
    unit: str
    points: float
    max_points: float
    penalty: float
    late_s: float
    waiting: tuple[str, ...]


def totals(book: Any, units: Iterable[str]) -> tuple[Total, ...]:
    """Return every hand-in of these units that is in the gradebook, by unit and student."""
    found = (_total(unit, one) for unit in units for one in book.assignment_submissions(unit))
    return tuple(sorted(found, key=lambda one: (one.unit, one.student)))


def seconds_late(submission: Any) -> float:
    """Return how late a hand-in came; without a day when it was due, nothing is late."""
    if submission.assignment.duedate is None:
        return 0.0
    return float(submission.total_seconds_late)


def _total(unit: str, one: Any) -> Total:
    penalty = one.late_submission_penalty or 0.0
    grades = (grade for notebook in one.notebooks for grade in notebook.grades)
    waiting = sorted(grade.name for grade in grades if grade.needs_manual_grade)
    return Total(
        one.student_id, unit, max(0.0, one.score - penalty), one.max_score, penalty,
        seconds_late(one), tuple(waiting),
    )  # fmt: skip
