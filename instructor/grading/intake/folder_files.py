"""What may be a hand-in, in a folder: every file of a student becomes a file to read or a line.

Whether a file is a workbook is told by its octets. Data files beside a workbook are no matter;
where a student has no workbook for a unit, one line names what is there in its place. No link is
followed, nothing but plain files is opened, and what the system refuses is a line too: a name
that is too long, a file that may not be read. Nobody else's hand-in waits for it.
"""

__all__ = ["folder_files", "is_folder"]

import os
import stat
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path, PurePath

from course_lib.runner.answer_process import Launcher
from instructor.grading.intake.archives import (
    LEFT_BY_PROGRAM,
    STAMP_FILE,
    STAMP_LENGTH,
    File,
    aside_as,
    class_files,
    is_archive,
    refused_by_system,
    shown,
    student_files,
)
from instructor.grading.intake.handed_in import REPORT_FILE
from instructor.grading.intake.what_it_is import (
    ASK,
    EMPTY,
    HEAD,
    is_called_workbook,
    is_packed,
    known_kind,
    may_be_workbook,
    what_it_is,
)
from instructor.grading.intake.whose import (
    PROGRAMS_OWN,
    folder_too_many,
    is_left_by_program,
    who,
)
from instructor.grading.sandbox.inside.archive_reader import (
    A_LINK,
    NOT_A_FILE,
    SIZE_LIMIT,
    too_large,
)

NAMES_SHOWN = 3  # of files that are no workbooks
DEEPEST = 40  # folders in each other; a student's own have three or four
SIGNS_OF_COPIES = "._~$#"  # at the beginning of a name
UNREADABLE_STAMP = b"?"  # no time: the note on the hand-in says so
PLAIN_FILE = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


def folder_files(
    folder: Path, units: Sequence[str], roster: frozenset[str], launcher: Launcher
) -> Iterator[File]:
    """Yield what may be a hand-in below a class's folder, one at a time.

    A folder in it that is no student's but holds several students' is read in the same way, and so
    is an archive: downloads of an upload page, side by side.
    Raises `OSError` only if the folder itself cannot be listed.
    """
    for path in sorted(folder.iterdir()):
        place = PurePath(path.name)
        if path.name in PROGRAMS_OWN:
            yield File(path, PurePath(), problem=LEFT_BY_PROGRAM, aside=True)
        elif _is_of_several(path, units, roster):
            yield from folder_files(path, units, roster, launcher)
        elif not is_left_by_program(place):
            yield from _OfOne(folder, units, roster, launcher).files(path, place)
        elif who(whose := PurePath(path.name.lstrip(SIGNS_OF_COPIES)), roster):
            why = f"only a copy that a program left: {ASK}"
            yield File(path, whose, problem=why, matters=False)
        else:
            yield File(path, PurePath(), problem=LEFT_BY_PROGRAM, aside=True)


def _is_of_several(path: Path, units: Sequence[str], roster: frozenset[str]) -> bool:
    """Tell whether a folder at the top is no student's, but holds what several handed in."""
    try:
        if not is_folder(path) or path.name in roster:
            return False
        inside = (
            PurePath(place, name).relative_to(path.parent)
            for place, folders, names in os.walk(path)
            for name in names
            if is_called_workbook(name) or is_archive(name)
        )
        found = [one for one in inside if not is_left_by_program(one)]
    except OSError:
        return False  # whoever looks into it says so
    if not folder_too_many(found, units, roster):
        return False
    return any(who(one.relative_to(path.name), roster) for one in found)


def is_folder(path: Path) -> bool:
    """Tell whether this is a folder to look into; one that is called like a workbook is not."""
    return stat.S_ISDIR(os.lstat(path).st_mode) and path.suffix != ".ipynb"


class _OfOne:
    """One file or folder at the top, which is one student's: what is in it."""

    def __init__(
        self, folder: Path, units: Sequence[str], roster: frozenset[str], launcher: Launcher
    ) -> None:
        self._folder = folder
        self._units = units
        self._roster = roster
        self._launcher = launcher
        self._others: defaultdict[PurePath, list[tuple[str, str]]] = defaultdict(list)
        self._copies: list[str] = []

    def files(self, path: Path, place: PurePath) -> Iterator[File]:
        """Yield every file; last, a line for what is no workbook, or that there is nothing."""
        nothing = True
        for file in self._below(path, place):
            nothing = nothing and file.aside
            yield file
        for where, others in self._others.items():
            yield File(self._folder / where, where, problem=_in_words(where, others), matters=False)
        if nothing and not self._others:
            why = EMPTY
            if self._copies:
                names = ", ".join(self._copies[:NAMES_SHOWN])
                why = f"only copies that a program left ({names}): {ASK}"
            yield File(path, place / "folder", problem=why, matters=False)

    def _below(self, path: Path, place: PurePath) -> Iterator[File]:
        """Yield every file in a folder, or the file; the system's refusal is one too."""
        whose = place
        try:
            if not is_folder(path):
                yield from self._file(path, place)
                return
            whose = place / "folder"
            if len(place.parts) > DEEPEST:
                why = f"more than {DEEPEST} folders in each other: not looked into"
                yield File(path, whose, problem=why)
                return
            inside = sorted(path.iterdir())
        except OSError as problem:
            yield File(path, whose, problem=refused_by_system(problem))
            return
        for one in inside:
            if not is_left_by_program(place / one.name):
                yield from self._below(one, place / one.name)
                continue
            yield File(one, place, problem=LEFT_BY_PROGRAM, aside=True)
            if one.name != ".DS_Store":
                self._copies.append(shown(one.name))

    def _file(self, path: Path, place: PurePath) -> Iterator[File]:
        """Yield a file, or what is in it if it is an archive; remember one that is no hand-in."""
        kind = os.lstat(path).st_mode
        if path.name == STAMP_FILE and len(place.parts) > 1:
            yield File(path, place, problem=aside_as(path.name), aside=True)
            return
        if stat.S_ISLNK(kind):  # to a folder, it is called as its student is
            whose = place if path.suffix else place / "folder"
            yield File(path, whose, problem=f"{A_LINK}: what it leads to is needed")
        elif not stat.S_ISREG(kind):
            yield File(path, place, problem=NOT_A_FILE)
        elif is_archive(path.name):
            if who(place, self._roster):
                yield from student_files(path, place, _stamp_beside(path), self._launcher)
            else:
                yield from class_files(path, self._units, self._roster, self._launcher, named=False)
        elif place == PurePath(REPORT_FILE):
            yield _whole(path, place, None)
        else:
            yield from self._told_by_octets(path, place)

    def _told_by_octets(self, path: Path, place: PurePath) -> Iterator[File]:
        head = _octets(path, HEAD)
        called = is_called_workbook(path.name)
        if may_be_workbook(head) or (called and not known_kind(head)):
            stamp = _stamp_beside(path) if path.stem == path.parent.name else None
            file = _whole(path, place, stamp)
            yield replace(file, matters=called or len(place.parts) == 1)
        elif called or is_packed(head):
            yield File(path, place, problem=known_kind(head))
        else:
            where = PurePath(*place.parts[: max(1, min(2, len(place.parts) - 1))])
            self._others[where].append((shown(path.name), what_it_is(head, path.name)))
            yield File(path, place, problem=aside_as(path.name), aside=True)


def _in_words(where: PurePath, others: Sequence[tuple[str, str]]) -> str:
    """Say what lies in the place of a workbook."""
    if [name for name, _ in others] == [shown(where.name)]:
        return others[0][1]
    more = f"; and {len(others) - NAMES_SHOWN:,} more" if len(others) > NAMES_SHOWN else ""
    named = "; ".join(f"{name} is {what}" for name, what in others[:NAMES_SHOWN])
    return f"no workbook is in it: {named}{more}"


def _whole(path: Path, place: PurePath, stamp: bytes | None) -> File:
    """Return a file with all its octets, or with the problem that it is too large."""
    status = os.lstat(path)
    if status.st_size > SIZE_LIMIT:
        return File(path, place, problem=too_large(status.st_size))
    octets = _octets(path, SIZE_LIMIT + 1)
    return File(path, place, octets, "", (status.st_mtime_ns, 0), stamp)


def _octets(path: Path, most: int) -> bytes:
    """Read the head of a plain file; one that became a link or a pipe meanwhile is not."""
    with os.fdopen(os.open(path, PLAIN_FILE), "rb") as stream:
        return stream.read(most)


def _stamp_beside(path: Path) -> bytes | None:
    """Return the time stamp that the gradebook's tools put beside a workbook."""
    file = path.parent / STAMP_FILE
    try:
        if not stat.S_ISREG(os.lstat(file).st_mode):
            return None
        return _octets(file, STAMP_LENGTH)
    except FileNotFoundError:
        return None
    except OSError:
        return UNREADABLE_STAMP
