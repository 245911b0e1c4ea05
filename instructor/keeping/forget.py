"""Take students out of a course folder: looked up first, deleted after, and searched for at last.

What lies elsewhere is nobody's but the staff's to find: what was handed in, where it was graded
from another folder; archives; the hub's exchange; mail; backups. The command names them.
"""

__all__ = ["Forgotten", "Trace", "everybody", "forget", "still_named", "traces", "words_for"]

import re
import shutil
import zipfile
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import NamedTuple

from instructor.grading.pages.feedback_pages import page_name
from instructor.keeping.databases import (
    BOOK_FILE,
    forget_in_book,
    forget_in_file,
    students_in_book,
    students_in_file,
)
from instructor.keeping.personal_places import Kind, PersonalPlace, found_in
from instructor.keeping.tables import read_rows, students_in, without_rows
from instructor.release.course_folder import CourseFolder, gradebook_url
from instructor.release.personal_codes import code_of
from instructor.roster.kept_list import read_kept_list

LONG = 6  # letters of a name that can be searched for
BETWEEN = r"[_.\s()-]"  # what may follow an id in the name of a file


class Trace(NamedTuple):
    """A file or folder in which somebody is found, and the place on the list that it belongs to."""

    place: PersonalPlace
    path: Path


class Forgotten(NamedTuple):
    """What was done: files and folders that went, rows that went, and what went as a whole."""

    own: tuple[Path, ...]
    rows: tuple[tuple[Path, int], ...]
    shared: tuple[Path, ...]


def everybody(course: CourseFolder) -> set[str]:
    """Return the ids of all students that a course folder knows of."""
    ids = students_in_book(gradebook_url(course))
    for place, path in found_in(course.path):
        parts = path.relative_to(course.path).parts
        if place.kind is Kind.ROWS and (table := read_rows(path)) is not None:
            ids |= students_in(table)
        elif place.kind is Kind.DATABASE and path.name != BOOK_FILE:
            ids |= students_in_file(path)
        elif place.kind is Kind.OWN and len(parts) > 2 and parts[0] != "results":
            ids.add(parts[1])
    return ids - {""}


def traces(course: Path, students: Collection[str], known: Collection[str]) -> list[Trace]:
    """Return where these students are, each file or folder once; `known` are all of the class.

    If they are the whole class, whatever is handed in is somebody's: also an archive of several
    people's, or what nobody could tell whose it is.
    """
    found: dict[Path, PersonalPlace] = {}
    everybody_s = set(known) <= set(students)
    for place, path in found_in(course):
        if place.kind is Kind.OWN:
            depth = len(place.patterns[0].split("/"))
            own = course.joinpath(*path.relative_to(course).parts[:depth])
            if everybody_s or _whose(own.name, known) & set(students):
                found[own] = place
        elif place.kind is Kind.SHARED or _holds(place, path, students):
            found[path] = place
    return [Trace(place, path) for path, place in found.items()]


def forget(course: CourseFolder, students: Collection[str], found: Collection[Trace]) -> Forgotten:
    """Delete what was found of these students; nobody else loses more than pages made anew."""
    own: list[Path] = []
    shared: list[Path] = []
    rows: list[tuple[Path, int]] = []
    for place, path in found:
        if place.kind is Kind.ROWS:
            rows.append((path, without_rows(path, students)))
        elif place.kind is Kind.DATABASE and path.name != BOOK_FILE:
            rows.append((path, forget_in_file(path, students)))
        elif place.kind is not Kind.DATABASE:
            (own if place.kind is Kind.OWN else shared).append(path)
            _delete(path)
    gone = forget_in_book(gradebook_url(course), students)
    rows.append((course.path / BOOK_FILE, gone))
    return Forgotten(tuple(own), tuple(rows), tuple(shared))


def words_for(course: CourseFolder, students: Collection[str]) -> set[str]:
    """Return all words by which these students are known: ids, personal codes, names.

    A name of a few letters is a word that may stand anywhere, and is not among them. Ask before
    anything is deleted: afterwards nobody knows the names.
    """
    names = read_kept_list(course.path).names
    long_names = {names.get(one, "") for one in students}
    codes = {code_of(course.batch.seed, one) for one in students}
    return {*students, *codes, *(name for name in long_names if len(name) >= LONG)}


def still_named(course: Path, words: Collection[str]) -> Iterator[Path]:
    """Yield every file in which one of these words stands yet, in archives and databases too."""
    # Letters and digits around it make another word of it, as in `elder` and `elderberry`.
    pattern = re.compile(
        rb"(?<![0-9A-Za-z])(?:" + b"|".join(re.escape(one.encode()) for one in words)
        + rb")(?![0-9A-Za-z])"
    )  # fmt: skip
    for path in sorted(course.rglob("*")):
        if path.is_file() and not path.is_symlink():
            name = path.relative_to(course).as_posix().encode("utf-8", "surrogateescape")
            if pattern.search(name) or any(pattern.search(part) for part in _contents(path)):
                yield path


def _contents(path: Path) -> Iterator[bytes]:
    yield path.read_bytes()
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            for member in archive.infolist():
                yield member.filename.encode("utf-8", "surrogateescape")
                yield archive.read(member)


def _holds(place: PersonalPlace, path: Path, students: Collection[str]) -> bool:
    if place.kind is Kind.DATABASE:
        return path.name == BOOK_FILE or bool(students_in_file(path) & set(students))
    text = path.read_bytes()
    return any(one.encode("utf-8", "surrogatepass") in text for one in students)


def _whose(name: str, known: Collection[str]) -> set[str]:
    """Return whose a file or folder is: its name is the id, the page's name, or begins with it."""
    begins = [one for one in known if re.match(rf"{re.escape(one)}(?:{BETWEEN}|$)", name)]
    longest = max(begins, key=len, default="")
    return {one for one in known if page_name(one) == name} | ({longest} - {""})


def _delete(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
