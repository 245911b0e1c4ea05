"""What may be a hand-in, in an archive: of a whole class, or of one student.

Upload pages give graders one archive of everything; students hand in an archive of their
folder. Both are read in memory, and nothing is ever unpacked to the disk. What looks like a
workbook becomes a file to read or a line that says why not, each with the archive's name and
the member's. Names are only read, so the worst that a name can do is to look odd.

Names that no honest archive has (with `..`, from the root, with a drive letter) are refused.
A backslash separates folders, as some programs for Windows write it. An archive in an archive
is not opened. Times of members are the student's own clock: they say which of several files
is the newest, and never whether something came late.
"""

__all__ = ["LEFT_BY_PROGRAM", "STAMP_FILE", "STAMP_LENGTH", "File", "aside_as", "class_files",
           "is_archive", "refused_by_system", "shown", "student_files"]  # fmt: skip

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath, PurePosixPath
from typing import NamedTuple

from course_lib.runner.answer_process import Launcher
from instructor.grading.intake.archive_members import (
    CLASS_LIMITS,
    STUDENT_LIMITS,
    Member,
    Reader,
    opened,
)
from instructor.grading.intake.what_it_is import (
    ASK,
    EMPTY,
    HEAD,
    is_called_workbook,
    may_be_workbook,
)
from instructor.grading.intake.whose import (
    folder_too_many,
    is_left_by_program,
    is_of_several,
)
from instructor.grading.sandbox.inside.archive_reader import NOT_A_FILE, ArchiveError
from instructor.output.text import visible

STAMP_FILE, STAMP_LENGTH = "timestamp.txt", 200  # octets
SUFFIXES = (".zip", ".tar", ".tar.gz", ".tgz")
NOT_OPENED = (*SUFFIXES, ".rar", ".7z", ".gz", ".bz2", ".xz", ".zst")  # in an archive
NO_TELLING = ("", ".json", ".txt", ".htm", ".html")  # a workbook may be called so by mistake
WORKBOOKS_LIMIT = 100  # in the archive of one student
LINES_LIMIT = 20  # about members of one student's archive that cannot be graded
SHOWN_NAME = 160  # characters
DRIVE = re.compile(r"[A-Za-z]:")
NO_HONEST_NAME = "its name leads out of the archive, as in no honest one"
CANNOT_TELL = (
    "nobody can tell whether its one folder is a student's or holds the class:"
    " name the students with --roster"
)
LEFT_BY_PROGRAM = "left by a program: not needed"
NO_ID = (
    "no student's id in the archive's name; if it holds what a whole class handed in,"
    " grade it by itself"
)
NESTED = "an archive in an archive is not opened: unpack the outer one and grade the folder"


@dataclass(frozen=True, slots=True)
class File:
    """A file that may be a hand-in, in a folder or in an archive: what it holds, or a problem.

    `path` is its name for the record (in an archive `ARCHIVE/MEMBER`), `where` for people if
    that is not enough, and `place` says whose it is: below the class's folder, empty if
    nobody's. `inside` is the place in one student's archive. `changed` is the larger the newer.
    `stamp` is the time stamp beside it. Without `matters`, a problem is only said if the
    student has handed in nothing else. What is `aside` need not be a hand-in: `problem` says why.
    """

    path: Path
    place: PurePath
    octets: bytes = b""
    problem: str = ""
    changed: tuple[int, int] = (0, 0)
    stamp: bytes | None = None
    inside: PurePath | None = None
    where: str = ""
    matters: bool = True
    aside: bool = False


class _Entry(NamedTuple):
    """A member with its place in the archive, empty if that is nowhere in it."""

    member: Member
    place: PurePosixPath
    problem: str


def refused_by_system(problem: OSError) -> str:
    """Say why the system refused a file, and what to do."""
    why = problem.strerror or type(problem).__name__
    return f"cannot be read ({why}): mend that, or have it handed in again"


def is_archive(name: str) -> bool:
    """Tell whether a file is called like an archive of a kind that is read."""
    return name.lower().endswith(SUFFIXES)


def class_files(
    archive: Path, units: Sequence[str], roster: Collection[str], launcher: Launcher,
    *, named: bool = True,
) -> Iterator[File]:  # fmt: skip
    """Yield what may be a hand-in in the archive of a class, laid out as a folder would be.

    Of one that nobody `named` as a class's, it must be plain that it holds what several handed in.
    """
    try:
        with opened(archive, CLASS_LIMITS, launcher) as reader:
            members = reader.members()
            entries = _entries(members)
            yield from _strange(archive, PurePath(), entries)
            yield from _aside(archive, {one.member.number for one in entries}, members)
            if not any(_may_be_one(one) for one in entries):
                raise ArchiveError("nothing in it that may be a hand-in")
            entries = _without_top(entries, units, roster)
            work = [one.place for one in entries if _is_workbook(one) or _is_nested(one)]
            if not named and not is_of_several(work, roster):
                raise ArchiveError(NO_ID)
            beside = [one for one in entries if one.place.name == STAMP_FILE]
            stamps = {one.place: octets[:STAMP_LENGTH]
                      for one, octets, problem in _read(reader, beside) if not problem}  # fmt: skip
            wanted = [one for one in entries if _may_be_one(one) or _is_perhaps(one)]
            left = {one.member.number for one in entries}
            for one, octets, problem in _read(reader, wanted):
                if not _is_one(one, octets, problem):
                    continue
                left.remove(one.member.number)
                parent = one.place.parent
                stamp = stamps.get(parent / STAMP_FILE) if one.place.stem == parent.name else None
                file = _file(archive, one, one.place, octets, problem, stamp)
                yield replace(file, matters=_may_be_one(one))
            yield from _in_the_place_of_workbooks(archive, entries, left)
            for one in entries:
                if one.member.number in left and one.place.parts and not one.member.is_folder:
                    yield _left_aside(archive, one.member, one.place)
    except ArchiveError as problem:
        yield File(archive, PurePath(), problem=str(problem))
    except OSError as problem:
        yield File(archive, PurePath(), problem=refused_by_system(problem))


def student_files(
    archive: Path, place: PurePath, stamp: bytes | None, launcher: Launcher
) -> Iterator[File]:
    """Yield the workbooks in one student's archive, which lies at `place` in the class's folder.

    `stamp` is the time stamp beside the archive. Those within are the student's own.
    """
    changed = archive.stat().st_mtime_ns
    try:
        with opened(archive, STUDENT_LIMITS, launcher) as reader:
            members = reader.members()
            entries = _entries(members)
            yield from (strange := list(_strange(archive, place, entries)))
            wanted = _few_enough([one for one in entries if _is_workbook(one) or _is_nested(one)])
            perhaps = [one for one in entries if _is_perhaps(one)][:WORKBOOKS_LIMIT]
            read = {one.member.number for one in (*wanted, *perhaps)}
            yield from _aside(archive, read, members, place)
            nothing = not strange
            for one, octets, problem in _read(reader, [*wanted, *perhaps]):
                if _is_one(one, octets, problem):
                    nothing = False
                    file = _file(archive, one, place, octets, problem, stamp)
                    at = changed, one.member.changed
                    matters = not _is_perhaps(one)
                    yield replace(file, inside=one.place, changed=at, matters=matters)
                else:
                    yield _left_aside(archive, one.member, place)
            if nothing:
                others = sum(not one.member.is_folder for one in entries)
                why = f"no workbook in it, but {others} other members: {ASK}"
                yield File(archive, place, problem=why, matters=len(place.parts) == 1)
    except ArchiveError as problem:
        yield File(archive, place, problem=str(problem))


def _aside(
    archive: Path, read: Collection[int], members: Sequence[Member], place: PurePath | None = None
) -> Iterator[File]:
    """Name the members that nobody reads, each with what it is."""
    for one in members:
        if one.number not in read and not one.is_folder:
            yield _left_aside(archive, one, place or _entry(one).place)


def _left_aside(archive: Path, member: Member, place: PurePath) -> File:
    entry = _entry(member)
    what = LEFT_BY_PROGRAM if is_left_by_program(entry.place) else aside_as(entry.place.name)
    where = f"{shown(archive.name)}: {shown(member.name)}"
    path = archive.joinpath(*entry.place.parts)
    return File(path, place, problem=member.problem or what, where=where, aside=True)


def aside_as(name: str) -> str:
    """Say what a file beside a workbook is, by its name."""
    return "when it was handed in" if name == STAMP_FILE else "beside the work: not needed"


def _entries(members: Sequence[Member]) -> list[_Entry]:
    """Find the place of each member that no program left there."""
    return [one for one in map(_entry, members) if not is_left_by_program(one.place)]


def _entry(member: Member) -> _Entry:
    name = member.name.replace("\\", "/")
    parts = [part for part in name.split("/") if part not in ("", ".")]
    if not parts or name.startswith("/") or ".." in parts or "\0" in name or DRIVE.match(name):
        return _Entry(member, PurePosixPath(), member.problem or NO_HONEST_NAME)
    problem = NOT_A_FILE if member.is_folder else member.problem
    nested = parts[-1].lower().endswith(NOT_OPENED) and not member.is_folder
    return _Entry(member, PurePosixPath(*parts), NESTED if nested else problem)


def _strange(archive: Path, place: PurePath, entries: Sequence[_Entry]) -> Iterator[File]:
    """Say in one line which members were passed over that no honest archive has."""
    names = [
        shown(one.member.name) for one in entries
        if (not one.place.parts and not one.member.is_folder)
        or (one.problem == NOT_A_FILE and not one.member.is_folder and not _may_be_one(one))
    ]  # fmt: skip
    if names:
        more = f" and {len(names) - 3:,} more" if len(names) > 3 else ""
        why = f"passed over, as no honest archive has them: {', '.join(names[:3])}{more}"
        yield File(archive, place, problem=why)


def _without_top(
    entries: Sequence[_Entry], units: Sequence[str], roster: Collection[str]
) -> list[_Entry]:
    """Take away a folder around everything; leave out what lies nowhere."""
    placed = [one for one in entries if one.place.parts]
    too_many = folder_too_many([one.place for one in placed if _is_workbook(one)], units, roster)
    if too_many is None:
        raise ArchiveError(CANNOT_TELL)
    if not too_many:
        return placed
    return [one._replace(place=PurePosixPath(*one.place.parts[1:] or one.place.parts))
            for one in placed]  # fmt: skip


def _is_workbook(entry: _Entry) -> bool:
    """Tell whether it is called like a workbook; a folder only if it is called just so."""
    name = entry.place.name
    return name.endswith(".ipynb") if entry.member.is_folder else is_called_workbook(name)


def _is_nested(entry: _Entry) -> bool:
    return entry.problem == NESTED


def _may_be_one(entry: _Entry) -> bool:
    """Tell whether somebody may have handed this in; in a flat folder any file may be."""
    is_file = not entry.member.is_folder
    alone = len(entry.place.parts) == 1 and entry.place.suffix != ".txt" and is_file
    return _is_workbook(entry) or _is_nested(entry) or alone


def _is_perhaps(entry: _Entry) -> bool:
    """Tell whether only its octets can say that this is a workbook."""
    name, is_file = entry.place, not entry.member.is_folder
    may_be = is_file and not _is_workbook(entry) and name.name != STAMP_FILE
    return may_be and name.suffix.lower() in NO_TELLING


def _is_one(entry: _Entry, octets: bytes, problem: str) -> bool:
    """Tell, by what was read, whether a member is a hand-in or has a line of its own."""
    if not _is_perhaps(entry) or _may_be_one(entry):
        return True
    return not problem and may_be_workbook(octets[:HEAD])


def _in_the_place_of_workbooks(
    archive: Path, entries: Sequence[_Entry], left: Collection[int]
) -> Iterator[File]:
    """Say where there is no workbook what is there in its place; folders may be empty.

    `left` are the numbers of those that are no hand-ins.
    """
    files = [one for one in entries if not one.member.is_folder]
    lines: dict[PurePosixPath, list[str]] = {}
    for one in files:
        if one.member.number in left and one.place.name != STAMP_FILE:
            where = PurePosixPath(*one.place.parts[: max(1, min(2, len(one.place.parts) - 1))])
            lines.setdefault(where, []).append(shown(one.place.name))
    tops = {one.place.parts[0] for one in files}
    for one in entries:
        if one.place.parts[0] not in tops:
            lines.setdefault(PurePosixPath(one.place.parts[0]), [])
    for where, names in lines.items():
        more = f" and {len(names) - 3:,} more" if len(names) > 3 else ""
        why = f"no workbook is in it, but {', '.join(names[:3])}{more}: {ASK}"
        if names == [where.name]:
            why = f"not a workbook: {ASK}"
        elif not names:
            why = EMPTY
        place = where if names == [where.name] else where / "folder"
        name = f"{shown(archive.name)}: {shown(str(where))}"
        yield File(archive / where, place, problem=why, where=name, matters=False)


def _few_enough(wanted: Sequence[_Entry]) -> Sequence[_Entry]:
    """Refuse to choose among too many workbooks of one student; leave out too many lines."""
    sound = [one for one in wanted if not one.problem]
    if len(sound) > WORKBOOKS_LIMIT:
        raise ArchiveError(f"{len(sound):,} workbooks in one archive: hand in those of this course")
    return [*sound, *[one for one in wanted if one.problem][:LINES_LIMIT]]


def _read(reader: Reader, entries: Iterable[_Entry]) -> Iterator[tuple[_Entry, bytes, str]]:
    """Yield each entry, what it holds and its problem; only one is to be in memory at a time."""
    sound: dict[int, _Entry] = {}
    for entry in entries:
        if entry.problem:
            yield entry, b"", entry.problem
        else:
            sound[entry.member.number] = entry
    for content in reader.read(sound):
        yield sound[content.number], content.octets, content.problem


def _file(
    archive: Path, entry: _Entry, place: PurePath, octets: bytes, problem: str, stamp: bytes | None
) -> File:
    where = f"{shown(archive.name)}: {shown(entry.member.name)}"
    path = archive.joinpath(*entry.place.parts)
    changed = (0, entry.member.changed)
    return File(path, place, octets, problem, changed, stamp, where=where)


def shown(name: str) -> str:
    """Write a name from an archive in one line, every blank but the plain one spelled out.

    A long one is shortened in the middle.

    >>> shown("a\\nb")
    'a[U+000A]b'
    """
    signs = (sign if sign.isprintable() else f"[U+{ord(sign):04X}]" for sign in visible(name))
    text = "".join(signs) or "(no name)"
    half = SHOWN_NAME // 2
    return text if len(text) <= SHOWN_NAME else f"{text[:half]}…{text[-half:]}"
