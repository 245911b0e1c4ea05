"""What each marker gave to each answer, in a small file of the course folder; and what counts.

A mark holds for one text: if the student hands in another one, it is read anew. Where two markers
gave different points, those that were there first count for now, and the answer waits until
somebody has settled it.
"""

__all__ = ["MARKS_FILE", "Counting", "Mark", "MarkStore", "counting", "open_marks"]

import contextlib
import datetime
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from instructor.marking.written_answers import WrittenAnswer

MARKS_FILE = "hand-marks.db"
TABLE = """
CREATE TABLE IF NOT EXISTS mark (
    marker TEXT NOT NULL, student TEXT NOT NULL, unit TEXT NOT NULL, cell TEXT NOT NULL,
    digest TEXT NOT NULL, points REAL NOT NULL, comment TEXT NOT NULL, at TEXT NOT NULL,
    PRIMARY KEY (marker, student, unit, cell))
"""
SETTLED = ""  # in place of a marker's name: what was settled where two differed


class Mark(NamedTuple):
    """What one marker gave to one answer, in the columns of its table."""

    marker: str
    student: str
    unit: str
    cell: str
    digest: str
    points: float
    comment: str
    at: str


class Counting(NamedTuple):
    """What counts of several marks on one answer, and whether it must be settled first."""

    points: float
    comment: str
    differ: bool


@contextlib.contextmanager
def open_marks(course: Path) -> Iterator["MarkStore"]:
    """Open the marks of a course folder, for this account alone; make the file if need be."""
    path = course / MARKS_FILE
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    with contextlib.closing(sqlite3.connect(path, timeout=5.0)) as connection:
        connection.execute(TABLE)
        yield MarkStore(connection)


class MarkStore:
    """All marks of a class; see `open_marks`."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._db = connection

    def give(
        self, marker: str, answers: Iterable[WrittenAnswer], points: float, comment: str
    ) -> None:
        """Note the points of a marker for these answers; what the same one gave before is gone."""
        at = datetime.datetime.now(datetime.UTC).isoformat(timespec="microseconds")
        rows = [
            Mark(marker, one.student, one.unit, one.cell, one.digest, points, comment, at)
            for one in answers
        ]
        with self._db:
            self._db.executemany("INSERT OR REPLACE INTO mark VALUES (?,?,?,?,?,?,?,?)", rows)

    def on(self, answer: WrittenAnswer) -> tuple[Mark, ...]:
        """Return the marks on just this text, in the order in which they were given."""
        rows = self._db.execute(
            "SELECT * FROM mark WHERE student = ? AND unit = ? AND cell = ? AND digest = ?"
            " ORDER BY at", (answer.student, answer.unit, answer.cell, answer.digest),
        )  # fmt: skip
        return tuple(Mark(*row) for row in rows)


def counting(marks: Sequence[Mark]) -> Counting | None:
    """Return what counts of the marks on one answer; None if there is none."""
    if not marks:
        return None
    settled = [one for one in marks if one.marker == SETTLED]
    if settled:
        return Counting(settled[-1].points, settled[-1].comment, differ=False)
    comments = "\n".join(dict.fromkeys(one.comment for one in marks if one.comment))
    return Counting(marks[0].points, comments, len({one.points for one in marks}) > 1)
