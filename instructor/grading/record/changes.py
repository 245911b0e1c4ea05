"""Whose points by machine changed and why, and the whole history, as tables.

Points by hand are in neither: the gradebook has them. `changes.csv` compares with the round
before: one row for each exercise of each student whose points are other than they were, and one
for each unit in which the rules for deadlines changed what counts. `history.csv` has every score
that ever counted and is never shortened; its first row for an exercise says that it was graded for
the first time.
"""

__all__ = ["points_text", "write_changes", "write_history"]

from collections.abc import Iterable
from pathlib import Path

from instructor.grading.record.record import HistoryLine, PointsChange
from instructor.output.tables import write_table


def write_changes(path: Path, changes: Iterable[PointsChange]) -> None:
    """Write whose score is other than before this round; points are empty if undecided."""
    write_table(path, PointsChange._fields, map(_as_text, changes))


def write_history(path: Path, lines: Iterable[HistoryLine]) -> None:
    """Write every score that ever counted; times are UTC (RFC 3339)."""
    write_table(path, HistoryLine._fields, map(_as_text, lines))


def points_text(points: float | None) -> str:
    """Write points; nothing where a person must decide."""
    return "" if points is None else f"{points:g}"


def _as_text(row: Iterable[str | float | None]) -> list[str]:
    return [str(one) if isinstance(one, str | int) else points_text(one) for one in row]
