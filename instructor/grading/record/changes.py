"""Whose score changed and why, and the whole history, as tables.

`changes.csv` compares with the round before: one row for each exercise of each student
whose points are other than they were. `history.csv` has every score that ever counted
and is never shortened; its first row for an exercise says that it was graded for the
first time.
"""

__all__ = ["CHANGE_COLUMNS", "HISTORY_COLUMNS", "points_text", "write_changes", "write_history"]

from collections.abc import Iterable
from pathlib import Path

from instructor.grading.record.record import HistoryLine, PointsChange
from instructor.output.tables import write_table

CHANGE_COLUMNS = (
    "student", "unit", "exercise", "old_points", "new_points", "old_outcome", "new_outcome", "why",
)  # fmt: skip
HISTORY_COLUMNS = ("round", "at", "student", "unit", "exercise", "outcome", "points", "why")


def write_changes(path: Path, changes: Iterable[PointsChange]) -> None:
    """Write whose score is other than before this round; points are empty if undecided."""
    write_table(path, CHANGE_COLUMNS, (
        (one.student, one.unit, one.exercise, points_text(one.old_points),
         points_text(one.new_points), one.old_outcome, one.new_outcome, one.why)
        for one in changes
    ))  # fmt: skip


def write_history(path: Path, lines: Iterable[HistoryLine]) -> None:
    """Write every score that ever counted; times are UTC (RFC 3339)."""
    write_table(path, HISTORY_COLUMNS, (
        (str(one.round), one.at, one.student, one.unit, one.exercise, one.outcome,
         points_text(one.points), one.why)
        for one in lines
    ))  # fmt: skip


def points_text(points: float | None) -> str:
    """Write points; nothing where a person must decide."""
    return "" if points is None else f"{points:g}"
