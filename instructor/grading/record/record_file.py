"""The file of the record: its tables, and how it is opened, by one run at a time.

While a run lasts it holds the file, so that two runs cannot grade one class at the same time.
"""

__all__ = ["RecordError", "copied_file", "opened_file"]

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

FORMAT = 1  # of this file; raised when its tables change
TABLES = """
CREATE TABLE IF NOT EXISTS answer (
    id INTEGER PRIMARY KEY, student TEXT NOT NULL, unit TEXT NOT NULL, exercise TEXT NOT NULL,
    identity TEXT NOT NULL, marked TEXT NOT NULL, at TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS answer_of ON answer (student, unit);
CREATE TABLE IF NOT EXISTS round (
    id INTEGER PRIMARY KEY, started TEXT NOT NULL, finished TEXT);
CREATE TABLE IF NOT EXISTS score (
    id INTEGER PRIMARY KEY, round INTEGER NOT NULL REFERENCES round, student TEXT NOT NULL,
    unit TEXT NOT NULL, exercise TEXT NOT NULL, outcome TEXT NOT NULL, points REAL,
    identity TEXT NOT NULL, why TEXT NOT NULL, at TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS score_of ON score (student, unit);
CREATE TABLE IF NOT EXISTS entered (
    book TEXT NOT NULL, student TEXT NOT NULL, unit TEXT NOT NULL, digest TEXT NOT NULL,
    cells TEXT NOT NULL, PRIMARY KEY (book, student, unit));
CREATE TABLE IF NOT EXISTS arrival (
    student TEXT NOT NULL, unit TEXT NOT NULL, time TEXT NOT NULL, source TEXT NOT NULL,
    PRIMARY KEY (student, unit));
CREATE TABLE IF NOT EXISTS counted (
    id INTEGER PRIMARY KEY, round INTEGER NOT NULL, student TEXT NOT NULL, unit TEXT NOT NULL,
    points REAL NOT NULL, max_points REAL NOT NULL, raw REAL NOT NULL, raw_max REAL NOT NULL,
    why TEXT NOT NULL, at TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS kept (name TEXT PRIMARY KEY, made_from TEXT NOT NULL, data TEXT);
CREATE TABLE IF NOT EXISTS hand_in (
    student TEXT NOT NULL, unit TEXT NOT NULL, data BLOB NOT NULL, PRIMARY KEY (student, unit));
CREATE TABLE IF NOT EXISTS looked (
    student TEXT NOT NULL, unit TEXT NOT NULL, rests_on TEXT NOT NULL, data TEXT NOT NULL,
    PRIMARY KEY (student, unit));
DROP TABLE IF EXISTS cases;
"""


class RecordError(RuntimeError):
    """The record cannot be used; the text says why and what to do."""


@contextlib.contextmanager
def opened_file(path: Path) -> Iterator[sqlite3.Connection]:
    """Open the file, making it if there is none; raise `RecordError` if somebody else has it."""
    with contextlib.closing(sqlite3.connect(path, timeout=1.0)) as connection:
        _prepare(connection, path)
        yield connection


@contextlib.contextmanager
def copied_file(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a copy of the file in memory; raise `RecordError` if it cannot be read now."""
    with contextlib.closing(sqlite3.connect(":memory:")) as copy:
        if path.exists():
            address = f"{path.resolve().as_uri()}?mode=ro"
            try:
                with contextlib.closing(sqlite3.connect(address, timeout=1.0, uri=True)) as record:
                    record.backup(copy)
            except sqlite3.OperationalError as problem:
                raise RecordError(
                    f"{path} cannot be read now ({problem}). If another run is grading this class, "
                    "wait until it is done."
                ) from problem
        _prepare(copy, path)
        yield copy


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    try:
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        connection.execute("PRAGMA synchronous = FULL")
        (found,) = connection.execute("PRAGMA user_version").fetchone()
        if found not in (0, FORMAT):
            raise RecordError(f"{path} was written by another version of this course ({found}).")
        connection.executescript(
            f"BEGIN EXCLUSIVE; {TABLES} PRAGMA user_version = {FORMAT}; COMMIT"
        )
    except sqlite3.DatabaseError as problem:
        if "locked" in str(problem):
            raise RecordError(
                f"Another run is grading this class: it holds {path}. Wait until it is done."
            ) from problem
        if "full" in str(problem):
            raise
        raise RecordError(
            f"{path} cannot be read ({problem}). Put it aside and run again: every answer is then"
            " run once more, and the history begins anew."
        ) from problem
