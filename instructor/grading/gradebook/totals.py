"""What the gradebook says in the end: points given by machine and by hand, less what is late.

The figures are the gradebook's own: a person's points count before the machine's, extra
credit is added, and what being late costs is taken off, but never below nothing.
"""

__all__ = ["Total", "totals"]

from collections.abc import Iterable, Iterator
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
    return tuple(sorted(_all(book, units), key=lambda one: (one.unit, one.student)))


def _all(book: Any, units: Iterable[str]) -> Iterator[Total]:
    for unit in units:
        for one in book.assignment_submissions(unit):
            penalty = one.late_submission_penalty or 0.0
            late_s = 0.0 if one.assignment.duedate is None else one.total_seconds_late
            waiting = sorted(
                grade.name
                for notebook in one.notebooks
                for grade in notebook.grades
                if grade.needs_manual_grade
            )
            yield Total(
                one.student_id, unit, max(0.0, one.score - penalty), one.max_score,
                penalty, late_s, tuple(waiting),
            )  # fmt: skip
