"""A class's records in one archive that says what is in it and proves that it is whole.

Which records must be kept, how long, and in which form, say the rules of the institution and the
law, not this course. Two forms are offered. The full one holds what an appeal needs: hand-ins, how
they were marked, points and how they came about. The other is for looking back at a course: tables
of points alone, in which ids are replaced; words that students wrote are not in it, since they may
name somebody. Both hold the figures by which a later class can be compared.
"""

__all__ = ["ArchiveError", "write_archive"]

import contextlib
import hashlib
import os
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from instructor.comparing.class_tables import FIGURES, NoTablesError
from instructor.comparing.kept_figures import kept_figures
from instructor.keeping.databases import BOOK_FILE
from instructor.keeping.personal_places import Kind, found_in
from instructor.keeping.tables import read_rows, students_in
from instructor.output.tables import table_text
from instructor.release.course_folder import BATCH_FILE, CONFIG_FILE, CourseFolder

ALSO = (BATCH_FILE, CONFIG_FILE)  # without them nothing can be graded again
MANIFEST = "SHA256SUMS"  # as `sha256sum --check` reads it
CONTENTS = "CONTENTS.txt"
TABLES = ("scores", "history", "changes", "counted")  # those without words of students
OF_POINTS = ("points", "max_points", "outcome", "old_points", "new_points", "old_outcome",
           "new_outcome", "unit", "exercise", "title", "misconception", "needs_person", "round",
           "at", "lost", "late_s")  # fmt: skip


class ArchiveError(ValueError):
    """The archive cannot be written; the text says why and what to do."""


def write_archive(course: CourseFolder, path: Path, *, pseudonyms: bool = False) -> int:
    """Write the archive, for this account alone, and read it back; return how many files it holds.

    Raises `ArchiveError` if something is there already, or the archive would lie in the course.
    """
    if path.exists():
        raise ArchiveError(f"FILE {path} is there already. Name a new one.")
    if course.path.resolve() in path.resolve().parents:
        raise ArchiveError(f"FILE {path} would lie in the course folder. Name a place beside it.")
    made = dict(_pseudonymous(course) if pseudonyms else _in_full(course))
    if not made:
        raise ArchiveError(f"{course.path} holds nothing to keep: has the class been graded?")
    with contextlib.suppress(NoTablesError):  # graded elsewhere: then there are none here
        figures = kept_figures("COURSE", course.path)
        made |= {f"{FIGURES.name}/{name}": text.encode() for name, text in figures.items()}
    made[CONTENTS] = _said(course, sorted(made), pseudonyms).encode()
    sums = {name: hashlib.sha256(octets).hexdigest() for name, octets in made.items()}
    made[MANIFEST] = "".join(f"{sums[name]}  {name}\n" for name in sorted(sums)).encode()
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with (
        os.fdopen(handle, "wb") as stream,
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive,
    ):
        for name in sorted(made):
            archive.writestr(name, made[name])
    _read_back(path, sums)
    return len(made)


def _read_back(path: Path, sums: Mapping[str, str]) -> None:
    with zipfile.ZipFile(path) as archive:
        for name, wanted in sums.items():
            if hashlib.sha256(archive.read(name)).hexdigest() != wanted:
                raise ArchiveError(f"{path} was not written as it should: {name} differs. Delete "
                                   "it, look at the disk, and try again.")  # fmt: skip


def _in_full(course: CourseFolder) -> Iterator[tuple[str, bytes]]:
    kept = [(place, path) for place, path in found_in(course.path) if place.kept]
    for place, path in kept:
        name = path.relative_to(course.path).as_posix()
        if path.is_symlink():
            continue  # it would take in what lies elsewhere
        yield name, _copy_of(path) if place.kind is Kind.DATABASE else path.read_bytes()
    for name in ALSO if kept else ():
        if (course.path / name).is_file():
            yield name, (course.path / name).read_bytes()


def _copy_of(path: Path) -> bytes:
    """Return a database file as it stands between two changes (SQLite's online backup)."""
    with tempfile.TemporaryDirectory() as space:
        copy = Path(space) / path.name
        with (
            contextlib.closing(sqlite3.connect(path)) as source,
            contextlib.closing(sqlite3.connect(copy)) as target,
        ):
            source.backup(target)
        return copy.read_bytes()


def _pseudonymous(course: CourseFolder) -> Iterator[tuple[str, bytes]]:
    """Yield tables of points in which each id is a number that is drawn anew for each archive."""
    paths = {name: course.path / "results" / f"{name}.csv" for name in TABLES}
    read = {name: read_rows(path) for name, path in paths.items() if path.is_file()}
    tables = {name: table for name, table in read.items() if table is not None}
    numbers = _numbers(set().union(*map(students_in, tables.values())))
    for name, table in tables.items():
        places = [place for place, one in enumerate(table.head) if one in OF_POINTS]
        (whose, *_) = table.whose
        rows = (
            [numbers.get(row[whose].removeprefix("'"), ""), *(row[place] for place in places)]
            for row in table.rows
        )
        text = table_text(["number", *(table.head[place] for place in places)], rows)
        yield f"{name}.csv", text.encode()


def _numbers(students: Iterable[str]) -> Mapping[str, str]:
    """Draw a number for each student: nobody can work out again who has which."""
    drawn = sorted(students, key=lambda _: os.urandom(16))
    return {student: f"student {place}" for place, student in enumerate(drawn, 1)}


def _said(course: CourseFolder, names: list[str], pseudonyms: bool) -> str:
    how = (
        "Ids are replaced by numbers drawn for this archive alone; who has which was not kept. A\n"
        "person may be known yet, by a row that is like no other: treat it with care."
        if pseudonyms
        else "Student records, under ids, with the class's secret seed. Keep it as the rules of\n"
        "your institution and the law say, for as long as they say, and then delete it."
    )
    if not pseudonyms and not (course.path / BOOK_FILE).exists():
        how += "\nThe gradebook is on a database server: a copy of it is for who looks after that."
    return (
        f"Records of one class: {len(course.batch.units)} units, release {course.batch.number}.\n"
        f"{how}\n\n`sha256sum --check {MANIFEST}` tells whether all of it is whole.\n\n"
        + "".join(f"{name}\n" for name in names)
    )
