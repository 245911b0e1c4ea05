"""Find what was handed in, by whom, and for which unit.

Two shapes of folder are read: the gradebook's own (`STUDENT/UNIT/UNIT.ipynb`), and
a flat folder of files as they come out of a mailbox or an upload page. In a flat
folder the file's name begins with the student's id and an underscore, or contains
an id of the roster. The unit is read from inside the workbook, so a renamed file
is no trouble.

A student may hand in a unit more than once. The last one counts, or, if the class was
told so, all of them are marked and the best one counts.

Nothing is opened here but the files themselves, and no link is followed.
"""

__all__ = ["Attempts", "HandIn", "Intake", "NotGraded", "find_hand_ins"]

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from instructor.grading.notebook_reader import (
    Notebook,
    UnreadableNotebookError,
    read_notebook,
)

NAME_IN_FILE = re.compile(r"^([A-Za-z0-9.@-]+?)_")  # the id in `alder_01-frames.ipynb`
PROGRAMS_OWN = frozenset({".ipynb_checkpoints", "__MACOSX", ".DS_Store"})
SIZE_LIMIT = 50 << 20  # octets
ID_LENGTH = 128  # characters that the gradebook has for an id
STAMP_FILE, STAMP_LENGTH = "timestamp.txt", 200  # octets
Attempts = Literal["last", "best"]


@dataclass(frozen=True, slots=True)
class HandIn:
    """One readable workbook of one student; `notes` say what was unusual about the file.

    `handed_in` is the time stamp that the gradebook's tools put beside what they collect,
    as it stands there; '' if there is none.
    """

    student: str
    unit: str
    path: Path
    notebook: Notebook
    notes: tuple[str, ...] = ()
    handed_in: str = ""


@dataclass(frozen=True, slots=True)
class NotGraded:
    """A file that nobody could grade, and why; `student` and `unit` where known."""

    path: Path
    why: str
    student: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Intake:
    """All hand-ins, and all files that are none."""

    hand_ins: tuple[HandIn, ...]
    not_graded: tuple[NotGraded, ...] = ()


def find_hand_ins(
    folder: Path, units: Sequence[str], roster: Iterable[str] = (), *, attempts: Attempts = "last"
) -> Intake:
    """Read every hand-in below `folder`; each file becomes a hand-in or a line that says why not.

    If a student handed in a unit more than once, only the last file is among the
    hand-ins and a note names the others; with `attempts="best"` all are, oldest first.
    Raises `FileNotFoundError` if the folder does not exist.
    """
    if not folder.is_dir():
        raise FileNotFoundError(f"there is no folder {folder}")
    known = frozenset(roster)
    found: list[HandIn] = []
    refused: list[NotGraded] = []
    for path in sorted(folder.rglob("*")):
        if _is_plain_folder(path) or _is_no_hand_in(path.relative_to(folder)):
            continue
        one = _read(path, folder, units, known)
        if isinstance(one, HandIn):
            found.append(one)
        elif one is not None:
            refused.append(one)
    return Intake(_counting(found, attempts), tuple(refused))


def _is_plain_folder(path: Path) -> bool:
    """Tell whether this is a folder to look into; one that is called like a workbook is not."""
    return path.is_dir() and not path.is_symlink() and path.suffix != ".ipynb"


def _is_no_hand_in(path: Path) -> bool:
    """Tell whether a program left this beside the work: copies of an editor, of an archive."""
    return path.name.startswith("._") or not PROGRAMS_OWN.isdisjoint(path.parts)


def _read(
    path: Path, folder: Path, units: Sequence[str], roster: frozenset[str]
) -> HandIn | NotGraded | None:
    place = path.relative_to(folder)
    student, unit = _who_and_what(place, units, roster)
    looks_like_one = path.suffix == ".ipynb" or (len(place.parts) == 1 and path.suffix != ".txt")
    if not looks_like_one:
        return None  # a time stamp or a data file beside the workbook
    if path.is_symlink():
        return NotGraded(path, "a link, not a file", student, unit)
    if not path.is_file():
        return NotGraded(path, "not a file: a folder, a pipe or a device", student, unit)
    if path.stat().st_size > SIZE_LIMIT:
        size = path.stat().st_size >> 20
        return NotGraded(path, f"too large: {size} MiB, at most {SIZE_LIMIT >> 20}", student, unit)
    try:
        notebook = read_notebook(path.read_bytes())
    except UnreadableNotebookError as problem:
        return NotGraded(path, str(problem), student, unit)
    return _assign(path, student, unit, notebook, units)


def _assign(
    path: Path, student: str, unit: str, notebook: Notebook, units: Sequence[str]
) -> HandIn | NotGraded:
    notes: list[str] = []
    inside = notebook.unit
    if not student:
        return NotGraded(path, "no student's id in the file's name", "", inside)
    if len(student) > ID_LENGTH or not _can_be_written(student):
        return NotGraded(path, "the student's id cannot be entered into a gradebook", "", inside)
    if inside and unit and inside != unit:
        notes.append(f"the file's name says {unit}, the workbook inside is {inside}")
    unit = inside or unit
    if unit not in units:
        what = f"unit {unit!r} is not part of this class" if unit else "no workbook of this course"
        return NotGraded(path, what, student)
    if path.name not in (f"{unit}.ipynb", f"{student}_{unit}.ipynb"):
        notes.append(f"the file was renamed to {path.name}")
    stamp, problem = _time_stamp(path)
    return HandIn(student, unit, path, notebook, (*notes, *problem), stamp)


def _can_be_written(student: str) -> bool:
    """Tell whether an id is text at all: a folder's name may be any octets."""
    try:
        return bool(student.encode("utf-8"))
    except UnicodeEncodeError:
        return False


def _time_stamp(path: Path) -> tuple[str, tuple[str, ...]]:
    """Return the time stamp beside a workbook of the gradebook's layout; a note if it is bad."""
    from nbgrader.utils import parse_utc

    file = path.parent / STAMP_FILE
    if path.stem != path.parent.name or file.is_symlink() or not file.is_file():
        return "", ()
    text = file.read_bytes()[:STAMP_LENGTH].decode("utf-8", "replace").strip()
    try:
        return (text, ()) if text and parse_utc(text) else ("", ())
    except (ValueError, OverflowError):
        return "", (f"the time stamp in {STAMP_FILE} cannot be read; taken as in time",)


def _who_and_what(place: Path, units: Sequence[str], roster: frozenset[str]) -> tuple[str, str]:
    """Read student and unit from where a file lies and what it is called."""
    unit = next((unit for unit in units if unit in str(place)), "")
    if len(place.parts) > 1:
        return place.parts[0], unit
    words = re.split(r"[_\s()]+|\.ipynb$", place.name)
    listed = [word for word in words if word in roster]
    if len(set(listed)) == 1:
        return listed[0], unit
    match = NAME_IN_FILE.match(place.name)
    if match and not roster:
        return match.group(1), unit
    return "", unit


def _counting(found: Sequence[HandIn], attempts: Attempts) -> tuple[HandIn, ...]:
    """Keep the last file of each student and unit, or all of them, with notes on the others."""
    groups: dict[tuple[str, str], list[HandIn]] = {}
    for one in sorted(found, key=lambda one: (one.path.stat().st_mtime_ns, str(one.path))):
        groups.setdefault((one.unit, one.student), []).append(one)
    with_notes = _each_with_note if attempts == "best" else _last_with_note
    return tuple(one for key in sorted(groups) for one in with_notes(groups[key]))


def _last_with_note(files: Sequence[HandIn]) -> list[HandIn]:
    *older, newest = files
    if not older:
        return [newest]
    names = ", ".join(one.path.name for one in older)
    return [replace(newest, notes=(*newest.notes, f"the newest file counts; older: {names}"))]


def _each_with_note(files: Sequence[HandIn]) -> list[HandIn]:
    if len(files) == 1:
        return list(files)
    note = f"the best of {len(files)} files counts: this one is "
    return [replace(one, notes=(*one.notes, note + one.path.name)) for one in files]
