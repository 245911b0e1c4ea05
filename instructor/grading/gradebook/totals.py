"""What the gradebook says in the end: points given by machine and by hand, less what is late.

The figures are the gradebook's own: a person's points count before the machine's, extra
credit is added, and what being late costs is taken off, but never below nothing. Where the class
has deadlines or excuses of its own (`deadlines/`), these say what counts, and in a unit with such
a deadline what the gradebook itself takes off plays no part: nothing is taken off twice.
"""

__all__ = ["CellPoints", "Total", "by_rules", "seconds_late", "totals"]

from collections.abc import Collection, Iterable, Mapping
from typing import Any, NamedTuple

from instructor.deadlines.counted import Counted, cell_of


class CellPoints(NamedTuple):
    """What the gradebook has for one cell; None where nobody, and no machine, gave points."""

    name: str
    points: float | None
    max_points: float
    by_hand: bool
    waits: bool
    comment: str = ""


class Total(NamedTuple):
    """One hand-in as the gradebook has it; `waiting` are the cells that a person must mark.

    `counted` is what the rules of the class made of it, if they say anything about it; `points`,
    `max_points`, `penalty` and `late_s` are then theirs.
    """

    student: str
    unit: str
    points: float
    max_points: float
    penalty: float
    late_s: float
    waiting: tuple[str, ...]
    cells: tuple[CellPoints, ...] = ()
    counted: Counted | None = None

    @property
    def is_there(self) -> bool:
        """Tell whether anything was handed in."""
        return self.counted is None or self.counted.is_there

    @property
    def asks_when(self) -> bool:
        """Tell whether a person must say when this was handed in."""
        return self.counted is not None and self.counted.is_open


def by_rules(
    found: Iterable[Total], counted: Iterable[Counted], ruled: Collection[str]
) -> tuple[Total, ...]:
    """Return what counts under the rules of the class; `ruled` are units with a deadline of theirs.

    What was not handed in has a line too, if the rules give it one.
    """
    totals_of = {(one.unit, one.student): one for one in found}
    for one in counted:
        key = one.unit, one.student
        if one.due is None and not one.excused:
            continue  # the rules say nothing about it
        total = totals_of.get(key)
        if total is None:
            total = Total(one.student, one.unit, 0.0, one.of, 0.0, 0.0, ())
        totals_of[key] = _by_rules(total, one, is_ruled=one.unit in ruled)
    return tuple(totals_of[key] for key in sorted(totals_of))


def _by_rules(total: Total, one: Counted, *, is_ruled: bool) -> Total:
    penalty, late_s = (one.lost, one.late_s) if is_ruled else (total.penalty, total.late_s)
    points = one.points if is_ruled else max(0.0, one.points - total.penalty)
    out = [excuse for excuse in one.excused if excuse.counts == "left out"]
    names = {cell_of(excuse.exercise) for excuse in out if excuse.exercise}
    is_out = any(not excuse.exercise for excuse in out)
    waiting = () if is_out else tuple(name for name in total.waiting if name not in names)
    return Total(
        total.student, total.unit, points, one.of, penalty, late_s, waiting, total.cells, one
    )  # fmt: skip


def totals(book: Any, units: Iterable[str]) -> tuple[Total, ...]:
    """Return every hand-in of these units that is in the gradebook, by unit and student."""
    said = _comments(book)
    found = (_total(unit, one, said) for unit in units for one in _submissions(book, unit))
    return tuple(sorted(found, key=lambda one: (one.unit, one.student)))


def _submissions(book: Any, unit: str) -> list[Any]:
    """Return all hand-ins of a unit with all that is asked of them below, in three questions."""
    from nbgrader import api
    from sqlalchemy.orm import joinedload, selectinload, undefer

    grades = selectinload(api.SubmittedAssignment.notebooks).selectinload(
        api.SubmittedNotebook.grades
    )
    asked = book.db.query(api.SubmittedAssignment).options(
        undefer(api.SubmittedAssignment.score), undefer(api.SubmittedAssignment.max_score),
        undefer(api.SubmittedAssignment.late_submission_penalty),
        joinedload(api.SubmittedAssignment.assignment),
        grades.undefer(api.Grade.score), grades.undefer(api.Grade.max_score),
        grades.joinedload(api.Grade.cell),
    )  # fmt: skip
    found: list[Any] = (
        asked.join(api.Assignment, api.Assignment.id == api.SubmittedAssignment.assignment_id)
        .filter(api.Assignment.name == unit)
        .all()
    )
    return found


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
