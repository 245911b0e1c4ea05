"""Students in database files: who is, and the same file without some of them, for good.

A deleted row stays in the file of SQLite until something is written over it. So freed space is
overwritten with zeros (`secure_delete`) and the file is written anew (`VACUUM`; SQLite
documentation, "PRAGMA secure_delete" and "VACUUM"). A PostgreSQL server keeps it too, until its
tables are written anew (`VACUUM FULL`; PostgreSQL documentation, "VACUUM"); what it keeps beside
them, its log of changes and backups, is for whoever looks after it.
"""

__all__ = ["forget_in_book", "forget_in_file", "students_in_book", "students_in_file"]

import contextlib
import sqlite3
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Any

from instructor.release.gradebook_tools import open_gradebook

# In the gradebook's own tables a student's id stands under other names.
BOOK_FILE = "gradebook.db"


def students_in_book(url: str) -> set[str]:
    """Return the ids in a gradebook."""
    with open_gradebook(url) as book:
        return {one.id for one in book.students}


def forget_in_book(url: str, students: Collection[str]) -> int:
    """Take students out of a gradebook, with all that it holds of them; return how many were."""
    with open_gradebook(url) as book:
        there = {one.id for one in book.students} & set(students)
        if book.engine.dialect.name == "sqlite":
            book.db.connection().exec_driver_sql("PRAGMA secure_delete = ON")
        for student in sorted(there):
            book.remove_student(student)
        if there:
            book.db.remove()
            _write_anew(book.engine)
    return len(there)


def _write_anew(engine: Any) -> None:
    """Write the gradebook's tables anew, without what was deleted; other tables are not ours."""
    from nbgrader.api import Base

    whole = engine.dialect.name == "sqlite"
    tables = ", ".join(
        map(engine.dialect.identifier_preparer.format_table, Base.metadata.tables.values())
    )
    words = "VACUUM" if whole else f"VACUUM (FULL) {tables}"
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as line:
        line.exec_driver_sql(words)


def students_in_file(path: Path) -> set[str]:
    """Return the ids in a database file of ours."""
    with _opened(path) as database:
        return {
            str(student)
            for table in _tables(database)
            for (student,) in database.execute(f"SELECT DISTINCT student FROM {table}")
        }


def forget_in_file(path: Path, students: Collection[str]) -> int:
    """Take the rows of students out of every table of a database file; return how many went."""
    with _opened(path) as database:
        database.execute("PRAGMA secure_delete = ON")
        gone = 0
        with database:
            for table in _tables(database):
                for student in students:
                    done = database.execute(f"DELETE FROM {table} WHERE student = ?", (student,))
                    gone += done.rowcount
        if gone:
            database.execute("VACUUM")
    return gone


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    with contextlib.closing(sqlite3.connect(path, timeout=5.0)) as database:
        yield database


def _tables(database: sqlite3.Connection) -> list[str]:
    """Return the tables in which rows are students'; their names are our own."""
    names = [name for (name,) in database.execute("SELECT name FROM sqlite_master"
                                                  " WHERE type = 'table'")]  # fmt: skip
    return [
        name
        for name in names
        if "student" in {row[1] for row in database.execute(f"PRAGMA table_info('{name}')")}
    ]
