"""The record of a class: what was graded, what it rested on, and how scores came about.

One small SQLite file in the course folder. It is written before and after the
gradebook, one transaction each, so that a run that was stopped at any moment is
taken up where it stopped: what is on record is not run again, what did not reach the
gradebook is written there again.

Rows of `answer` and `score` are only ever added: they are the history. Its tables stand in
`record_file`.
"""

__all__ = [
    "NOT_ENTERED",
    "Entered",
    "GradingRecord",
    "HistoryLine",
    "PointsChange",
    "RecordError",
    "copied_record",
    "open_record",
]

import contextlib
import datetime
import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.exercises.registry import exercise
from course_lib.runner.plain_data import NotPlainError
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.record.answer_data import answer_from_text, answer_to_text
from instructor.grading.record.counting import CountingRecord
from instructor.grading.record.identity import Identity, what_changed
from instructor.grading.record.record_file import RecordError, copied_file, opened_file

Identities = Mapping[str, Identity]


class Entered(NamedTuple):
    """What stands in a gradebook for one hand-in: a digest of all of it, and one for each cell."""

    digest: str
    cells: Mapping[str, str]


NOT_ENTERED = Entered("", {})


class HistoryLine(NamedTuple):
    """One line of the history, in the columns of its table: what an exercise earned, and why."""

    round: int
    at: str
    student: str
    unit: str
    exercise: str
    outcome: str
    points: float | None
    why: str


class PointsChange(NamedTuple):
    """One exercise of one student with other points than before, in the columns of its table."""

    student: str
    unit: str
    exercise: str
    old_points: float | None
    new_points: float | None
    old_outcome: str
    new_outcome: str
    why: str


@contextlib.contextmanager
def open_record(path: Path) -> Iterator["GradingRecord"]:
    """Open the record, making it if there is none; raise `RecordError` if somebody else has it."""
    with opened_file(path) as connection:
        yield GradingRecord(connection)


@contextlib.contextmanager
def copied_record(path: Path) -> Iterator["GradingRecord"]:
    """Open a copy of the record in memory: whatever is done to it, the record stays as it is."""
    with copied_file(path) as copy:
        yield GradingRecord(copy)


class GradingRecord:
    """The record of one class, open for one run; see `open_record`."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._db = connection
        self._round = 0

    @property
    def counting(self) -> CountingRecord:
        """Return what is on record of times, and of what counts after the rules."""
        return CountingRecord(self._db)

    @property
    def round(self) -> int:
        """Return the number of the round that was begun; 0 before."""
        return self._round

    def begin_round(self) -> bool:
        """Begin a round of grading; tell whether it takes up one that was not finished."""
        left = self._one("SELECT id FROM round WHERE finished IS NULL ORDER BY id DESC LIMIT 1")
        if left is None:
            with self._db:
                new = self._db.execute("INSERT INTO round (started) VALUES (?)", (_now(),))
            left = (new.lastrowid,)
        (self._round,) = left
        before = self._one("SELECT 1 FROM answer LIMIT 1")
        fresh = self._one("SELECT 1 FROM score WHERE round = ? LIMIT 1", self._round)
        return before is not None and fresh is not None

    def finish_round(self) -> None:
        """Note that everything of this round was written, pages and tables too."""
        with self._db:
            self._db.execute("UPDATE round SET finished = ? WHERE id = ?", (_now(), self._round))

    def known(self, student: str, unit: str, wanted: Identities) -> dict[str, MarkedAnswer]:
        """Return the answers that were graded before with just what they would rest on now."""
        rows = self._db.execute(
            "SELECT exercise, identity, marked FROM answer WHERE student = ? AND unit = ?"
            " ORDER BY id", (student, unit),
        )  # fmt: skip
        return {
            name: answer_from_text(exercise(name), marked)
            for name, identity, marked in rows
            if name in wanted and identity == json.dumps(wanted[name])
        }

    def keep_answers(
        self, marked: MarkedHandIn, rests_on: Identities, known: Mapping[str, MarkedAnswer]
    ) -> None:
        """Put down the decided answers of a hand-in that were not `known`, all or none of them."""
        rows = []
        for answer in marked.answers:
            name = answer.verdict.exercise.id
            if answer.verdict.points is None or known.get(name) is answer:
                continue  # what nobody could tell is tried again
            with contextlib.suppress(NotPlainError):  # a reply made to hurt: run again next time
                text = answer_to_text(answer)
                rows.append((marked.student, marked.unit, name, json.dumps(rests_on[name]), text))
        with self._db:
            self._db.executemany(
                "INSERT INTO answer (student, unit, exercise, identity, marked, at)"
                " VALUES (?, ?, ?, ?, ?, ?)", [(*row, _now()) for row in rows],
            )  # fmt: skip

    def looked(self, student: str, unit: str, rests_on: str) -> str:
        """Return what was found in a hand-in besides its answers; '' if that rests on more."""
        row = self._one(
            "SELECT data FROM looked WHERE student = ? AND unit = ? AND rests_on = ?",
            student, unit, rests_on,
        )  # fmt: skip
        return "" if row is None else str(row[0])

    def keep_looked(self, student: str, unit: str, rests_on: str, text: str) -> None:
        """Keep what was found in a hand-in besides its answers, in the place of an earlier one."""
        with self._db:
            self._db.execute(
                "INSERT OR REPLACE INTO looked VALUES (?, ?, ?, ?)", (student, unit, rests_on, text)
            )

    def entered(self, book: str, student: str, unit: str) -> Entered:
        """Return what was entered into a gradebook for a hand-in last."""
        row = self._one(
            "SELECT digest, cells FROM entered WHERE book = ? AND student = ? AND unit = ?",
            book, student, unit,
        )  # fmt: skip
        return NOT_ENTERED if row is None else Entered(row[0], json.loads(row[1]))

    def note_entered(
        self, book: str, marked: MarkedHandIn, rests_on: Identities, entered: Entered
    ) -> None:
        """Note that a hand-in is in the gradebook, and add what is new to the history."""
        steps = list(self._new_steps(marked, rests_on))
        with self._db:
            self._db.execute(
                "INSERT OR REPLACE INTO entered VALUES (?, ?, ?, ?, ?)",
                (book, marked.student, marked.unit, entered.digest, json.dumps(entered.cells)),
            )
            self._db.executemany(
                "INSERT INTO score (round, student, unit, exercise, outcome, points, identity,"
                " why, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", steps,
            )  # fmt: skip

    def changes(self) -> tuple[PointsChange, ...]:
        """Return whose points are other than before this round, and why, in a fixed order."""
        last = "SELECT max(id) FROM score WHERE round {} ? GROUP BY student, unit, exercise"
        rows = self._db.execute(
            "SELECT student, unit, exercise, old.points, new.points, old.outcome, new.outcome,"
            " new.why FROM score AS new JOIN score AS old USING (student, unit, exercise)"
            f" WHERE new.id IN ({last.format('=')}) AND old.id IN ({last.format('<')})"
            " AND new.points IS NOT old.points ORDER BY student, unit, exercise",
            (self._round, self._round),
        )
        return tuple(PointsChange(*row) for row in rows)

    def history(self) -> tuple[HistoryLine, ...]:
        """Return every score that ever counted, by round, then by unit, student and exercise."""
        rows = self._db.execute(
            "SELECT round, at, student, unit, exercise, outcome, points, why FROM score"
            " ORDER BY round, unit, student, exercise, id"
        )
        return tuple(HistoryLine(*row) for row in rows)

    def rename_book(self, before: str, name: str) -> None:
        """Give a gradebook another name, wherever it lay; `before` is a pattern of SQL's `LIKE`."""
        with self._db:
            self._db.execute(
                "UPDATE OR REPLACE entered SET book = ? WHERE book LIKE ? AND book LIKE 'sqlite:%'",
                (name, before),
            )

    def hand_ins(self) -> tuple[tuple[str, str, bytes], ...]:
        """Return the packed workbooks that counted last, with student and unit."""
        rows = self._db.execute("SELECT student, unit, data FROM hand_in ORDER BY unit, student")
        return tuple((str(student), str(unit), bytes(data)) for student, unit, data in rows)

    def keep_hand_ins(self, hand_ins: Iterable[tuple[str, str, bytes]]) -> None:
        """Keep packed workbooks, each in the place of an earlier one."""
        with self._db:
            self._db.executemany("INSERT OR REPLACE INTO hand_in VALUES (?, ?, ?)", hand_ins)

    def drop_hand_ins(self, hand_ins: Iterable[tuple[str, str]]) -> None:
        """Let workbooks go, each given by its student and unit."""
        with self._db:
            self._db.executemany("DELETE FROM hand_in WHERE student = ? AND unit = ?", hand_ins)

    def forget_hand_ins(self) -> None:
        """Let nothing count that is not handed over again."""
        with self._db:
            self._db.execute("DELETE FROM hand_in")

    def kept_text(self, name: str, made_from: str) -> str:
        """Return what was kept under a name, or '' if it is made from something else."""
        row = self._one("SELECT data FROM kept WHERE name = ? AND made_from = ?", name, made_from)
        return "" if row is None else str(row[0])

    def keep_text(self, name: str, made_from: str, text: str) -> None:
        """Keep what takes a while to work out: the cases of a unit, hashes of the library."""
        with self._db:
            self._db.execute(
                "INSERT OR REPLACE INTO kept VALUES (?, ?, ?)", (name, made_from, text)
            )

    def _new_steps(
        self, marked: MarkedHandIn, rests_on: Identities
    ) -> Iterator[tuple[object, ...]]:
        for answer in marked.answers:
            verdict = answer.verdict
            name = verdict.exercise.id
            last = self._one(
                "SELECT outcome, points, identity FROM score WHERE student = ? AND unit = ?"
                " AND exercise = ? ORDER BY id DESC LIMIT 1", marked.student, marked.unit, name,
            )  # fmt: skip
            if last is not None and last[:2] == (verdict.outcome.value, verdict.points):
                continue
            yield (
                self._round, marked.student, marked.unit, name, verdict.outcome.value,
                verdict.points, json.dumps(rests_on[name]), _why(last, rests_on[name]), _now(),
            )  # fmt: skip

    def _one(self, question: str, *values: object) -> tuple[Any, ...] | None:
        row: tuple[Any, ...] | None = self._db.execute(question, values).fetchone()
        return row


def _why(last: Sequence[object] | None, now: Identity) -> str:
    if last is None:
        return "graded for the first time"
    changed = what_changed(Identity(*json.loads(str(last[2]))), now)
    return changed or "run again: before, nobody could tell"


def _now() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
