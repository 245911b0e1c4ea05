"""`hopbyhop archive` and `hopbyhop forget`: what is asked, and what is said before and after."""

__all__ = ["register"]

import argparse
import difflib
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import folded, say
from instructor.release.course_command import add_course, told

if TYPE_CHECKING:
    from instructor.keeping.forget import Trace
    from instructor.release.course_folder import CourseFolder

RULES = """\
How long student records must be kept, and when they must be deleted, say the
rules of your institution and the law: they come first."""
ARCHIVE = f"""\
Put what must be kept of a class into one archive, with a list and digests of
all that is in it. It holds student records.

    hopbyhop archive class-2027/course class-2027.zip

{RULES}"""
FORGET = f"""\
Delete all that a course folder holds of a student, or of everybody. You see
what that is, and are asked, before anything is deleted. It cannot be undone.
Of everybody, figures of the class stay: nobody is in them, and `compare` reads
them when the next class has been graded.

    hopbyhop forget class-2027/course s102
    hopbyhop forget class-2027/course --all --keep class-2027.zip   a term ends

{RULES}"""
ELSEWHERE = """\
Not looked at, and yours to delete: hand-ins in other folders, mail and upload
pages, archives of the class, results written elsewhere (--out), the hub's
exchange and homes, copies and backups of any of these. Who is graded again
from there is back. A database server keeps a log of changes for a while, and
may have backups: ask whoever looks after it."""


def register(commands: Commands) -> None:
    """Add both commands to the command line."""
    usual, rare = begin_command(
        commands, "archive", "put what must be kept of a class into one file", _archive,
        usage="hopbyhop archive COURSE FILE [--pseudonyms]", description=ARCHIVE,
    )  # fmt: skip
    add_course(usual, "course folder, graded")
    usual.add_argument("file", type=Path, metavar="FILE", help="the archive to write (.zip)")
    rare.add_argument(
        "--pseudonyms", action="store_true",
        help="tables of points alone, with numbers in place of ids",
    )  # fmt: skip
    usual, rare = begin_command(
        commands, "forget", "delete all that is held of a student, or of a class", _forget,
        usage="hopbyhop forget COURSE (ID ... | --all) [--keep FILE] [--yes]", description=FORGET,
    )  # fmt: skip
    add_course(usual)
    usual.add_argument("students", nargs="*", default=[], metavar="ID", help="ids of students")
    usual.add_argument("--all", action="store_true", dest="whole", help="everybody of the class")
    rare.add_argument(
        "--keep", type=Path, metavar="FILE",
        help="first put what must be kept into an archive, as `hopbyhop archive` does",
    )  # fmt: skip
    rare.add_argument("--yes", action="store_true", help="do not ask: what is shown is deleted")


def _archive(chosen: argparse.Namespace) -> int:
    from instructor.keeping.archive import ArchiveError

    return told(lambda: _write_archive(chosen), ArchiveError)


def _write_archive(chosen: argparse.Namespace) -> int:
    from instructor.keeping.archive import write_archive
    from instructor.release.course_folder import named_course

    course = named_course(chosen.course)
    try:
        files = write_archive(course, chosen.file, pseudonyms=chosen.pseudonyms)
    except OSError as problem:
        say(f"FILE {chosen.file} cannot be written: {problem.strerror}.", sys.stderr)
        return 1
    say(f"Written and read back: {chosen.file}, {files} files. Nothing was deleted.\n{RULES}")
    return 0


def _forget(chosen: argparse.Namespace) -> int:
    if bool(chosen.students) == chosen.whole:
        say("Name students by their ids, or say --all.", sys.stderr)
        return 2
    return told(lambda: _forget_asked(chosen))


def _forget_asked(chosen: argparse.Namespace) -> int:
    from instructor.keeping.archive import ArchiveError
    from instructor.keeping.forget import everybody, forget, still_named, traces, words_for
    from instructor.release.course_folder import named_course

    course = named_course(chosen.course)
    known = everybody(course)
    students = sorted(known) if chosen.whole else list(dict.fromkeys(chosen.students))
    for student in students:
        if student not in known:
            like = difflib.get_close_matches(student, known, 1)
            meant = f" Did you mean {like[0]}?" if like else ""
            say(f"ID {student}: there is no such student in {course.path}.{meant}", sys.stderr)
            return 1
    if not students:
        say(f"{course.path} holds nobody.")
        return 0
    found = traces(course.path, students, known)
    say(_to_go(course, students, found))
    if not (chosen.yes or _is_confirmed(students, chosen.whole)):
        say("Nothing was deleted.", sys.stderr)
        return 1
    try:
        _keep(course, chosen.keep)
        if chosen.whole:
            _keep_figures(course)
    except (ArchiveError, OSError) as problem:
        say(f"{problem} Nothing was deleted.", sys.stderr)
        return 1
    words = words_for(course, students)
    done = forget(course, students, found)
    say(f"Deleted: {len(done.own)} files and folders of their own, "
        f"{sum(rows for _, rows in done.rows)} rows in {len(done.rows)} tables and databases, "
        f"{len(done.shared)} pages and files that grading makes anew.")  # fmt: skip
    left = list(still_named(course.path, words))
    for path in left:
        say(f"STILL NAMED in {path}: look at it yourself. It may be somebody else's words.")
    nameless = sorted(everybody(course)) if chosen.whole else []
    if nameless:
        say(f"STILL KNOWN in {course.path}: {', '.join(nameless)}.")
    if not left and not nameless:
        searched = sum(path.is_file() for path in course.path.rglob("*"))
        say(f"A search for {len(words)} ids, names and codes through all {searched} files that are "
            "left in the course folder finds their ids no more, nor the others.")  # fmt: skip
    say(ELSEWHERE)
    return 1 if left or nameless else 0


def _keep(course: "CourseFolder", file: Path | None) -> None:
    """Write what must be kept, and read it back, before anything is deleted."""
    from instructor.keeping.archive import write_archive

    if file is not None:
        files = write_archive(course, file)
        say(f"Written and read back: {file}, {files} files, student records all of them.")


def _keep_figures(course: "CourseFolder") -> None:
    """Leave there what a later class can be compared with: nobody is in it."""
    from instructor.comparing.class_tables import FIGURES, NoTablesError
    from instructor.comparing.kept_figures import kept_figures, write_figures

    try:
        texts = kept_figures("COURSE", course.path)
    except NoTablesError:
        say("No figures of the class are in its course folder, so none are kept.")
        return
    write_figures(course.path / FIGURES, texts)
    say(f"Figures of the class, without persons and without groups of fewer than five, stay in "
        f"{course.path / FIGURES}.")  # fmt: skip


def _to_go(course: "CourseFolder", students: list[str], found: list["Trace"]) -> str:
    counts = Counter((one.place.what, one.place.kind.value) for one in found)
    who = ", ".join(students[:12]) + (f" and {len(students) - 12} more" if students[12:] else "")
    rows = "\n".join(
        folded(f"    {what} ({number}): {how}", hang="      ")
        for (what, how), number in counts.items()
    )
    return f"In {course.path}, of {who}:\n{rows}\n{RULES}"


def _is_confirmed(students: list[str], whole: bool) -> bool:
    if not sys.stdin.isatty():
        say("Nobody is there to be asked: say --yes if all of this shall go.", sys.stderr)
        return False
    word = "all" if whole else " ".join(students)
    return input(f"This cannot be undone. To delete it, type {word}: ").strip() == word
