"""Find what was handed in, by whom, and for which unit.

Two shapes of folder are read: the gradebook's own (`STUDENT/UNIT/UNIT.ipynb`), and
a flat folder of files as they come out of a mailbox or an upload page. In a flat
folder the file's name begins with the student's id and an underscore, or contains
an id of the roster. The unit is read from inside the workbook, so a renamed file
is no trouble.

Nothing is opened here but the files themselves, and no link is followed.
"""

__all__ = ["HandIn", "Intake", "NotGraded", "find_hand_ins"]

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from instructor.grading.notebook_reader import (
    Notebook,
    UnreadableNotebookError,
    read_notebook,
)

NAME_IN_FILE = re.compile(r"^([A-Za-z0-9.@-]+?)_")  # the id in `alder_01-frames.ipynb`
SIZE_LIMIT = 50 << 20  # octets


@dataclass(frozen=True, slots=True)
class HandIn:
    """One readable workbook of one student; `notes` say what was unusual about the file."""

    student: str
    unit: str
    path: Path
    notebook: Notebook
    notes: tuple[str, ...] = ()


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


def find_hand_ins(folder: Path, units: Sequence[str], roster: Iterable[str] = ()) -> Intake:
    """Read every hand-in below `folder`; each file becomes a hand-in or a line that says why not.

    If a student handed in a unit more than once, the newest file counts and a note
    names the others. Raises `FileNotFoundError` if the folder does not exist.
    """
    if not folder.is_dir():
        raise FileNotFoundError(f"there is no folder {folder}")
    known = frozenset(roster)
    found: list[HandIn] = []
    refused: list[NotGraded] = []
    for path in sorted(folder.rglob("*")):
        if not (path.is_file() or path.is_symlink()) or _is_hidden(path.relative_to(folder)):
            continue
        one = _read(path, folder, units, known)
        if isinstance(one, HandIn):
            found.append(one)
        elif one is not None:
            refused.append(one)
    return Intake(_newest(found), tuple(refused))


def _is_hidden(path: Path) -> bool:
    return any(part.startswith((".", "__MACOSX")) for part in path.parts)


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
    if inside and unit and inside != unit:
        notes.append(f"the file's name says {unit}, the workbook inside is {inside}")
    unit = inside or unit
    if unit not in units:
        what = f"unit {unit!r} is not part of this class" if unit else "no workbook of this course"
        return NotGraded(path, what, student)
    if path.name not in (f"{unit}.ipynb", f"{student}_{unit}.ipynb"):
        notes.append(f"the file was renamed to {path.name}")
    return HandIn(student, unit, path, notebook, tuple(notes))


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


def _newest(found: Sequence[HandIn]) -> tuple[HandIn, ...]:
    """Keep the newest file of each student and unit, with a note that names the others."""
    groups: dict[tuple[str, str], list[HandIn]] = {}
    for one in sorted(found, key=lambda one: (one.path.stat().st_mtime_ns, str(one.path))):
        groups.setdefault((one.unit, one.student), []).append(one)
    return tuple(_with_note(groups[key]) for key in sorted(groups))


def _with_note(files: Sequence[HandIn]) -> HandIn:
    *older, newest = files
    if not older:
        return newest
    names = ", ".join(one.path.name for one in older)
    return replace(newest, notes=(*newest.notes, f"the newest file counts; older: {names}"))
