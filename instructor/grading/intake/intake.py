"""Find what was handed in, by whom, and for which unit.

Two shapes of folder are read: the gradebook's own (`STUDENT/UNIT/UNIT.ipynb`), and
a flat folder of files as they come out of a mailbox or an upload page; how names are read,
see `whose`. The unit is read from inside the workbook, so a renamed file is no trouble. An
archive of either shape is read like the folder, and in a folder an archive is what one
student handed in, see `archives`. A table beside the files may say when they came, see
`handed_in`.

A student may hand in a unit more than once. The last one counts, or, if the class was
told so, all of them are marked and the best one counts.

Nothing is opened here but the files themselves, and no link is followed.
"""

__all__ = ["Attempts", "HandIn", "Intake", "NotGraded", "find_hand_ins"]

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path, PurePath

from course_lib.runner.answer_process import Launcher
from instructor.grading.intake.archive_members import archive_launcher
from instructor.grading.intake.archives import (
    STAMP_FILE,
    File,
    class_files,
    is_archive,
    shown,
)
from instructor.grading.intake.folder_files import folder_files
from instructor.grading.intake.hand_ins import (
    QUESTION_SHEETS,
    Attempts,
    HandIn,
    Intake,
    NotGraded,
)
from instructor.grading.intake.handed_in import (
    REPORT_FILE,
    Report,
    read_report,
    rows_without_hand_in,
)
from instructor.grading.intake.notebook_reader import (
    Notebook,
    UnreadableNotebookError,
    read_notebook,
)
from instructor.grading.intake.which_counts import each_once, under_id, which_count
from instructor.grading.intake.whose import unit_in, who

ID_LENGTH = 128  # characters that the gradebook has for an id
ID_OCTETS = 255  # of a folder's name, on every usual disk
LINES_LIMIT = 20  # about files that matter only where there is no workbook
READ_BY: Mapping[str, str] = dict.fromkeys(QUESTION_SHEETS, "read-sheets")


def find_hand_ins(
    place: Path, units: Sequence[str], roster: Iterable[str] = (), *, attempts: Attempts = "last",
    launcher: Launcher | None = None, whose: Callable[[str], str] = str,
    read_by: Mapping[str, str] = READ_BY,
) -> Intake:  # fmt: skip
    """Read every hand-in in a folder or an archive; whatever is none becomes a line with why.

    If a student handed in a unit more than once, only the last file is among the
    hand-ins and a note names the others; with `attempts="best"` all are, oldest first.
    `whose` gives the student of an id that stands on a hand-in or in the table of times.
    `read_by` names the command that reads what says of itself that it is something else.
    `launcher` starts what reads an archive (see `archive_members`); by default in a sandbox.
    Raises `FileNotFoundError` if there is no such folder or archive.
    """
    known = frozenset(roster)
    found: list[HandIn] = []
    refused: list[tuple[NotGraded, bool]] = []
    beside: list[NotGraded] = []
    report, report_path = Report(), place
    with archive_launcher() as in_sandbox:
        for file in _files(place, units, known, launcher or in_sandbox):
            if file.place == PurePath(REPORT_FILE):
                report = _joined(report, _renamed(_report(file, units), whose))
                report_path = file.path
                beside.append(NotGraded(file.path, "the table of times", where=file.where))
            elif file.aside:
                student = whose(who(file.place, known))
                beside.append(NotGraded(file.path, file.problem, student, where=file.where))
            elif isinstance(one := _read(file, units, known, whose, read_by), HandIn):
                found.append(one)
            elif one.unit in read_by:
                beside.append(one)
            else:
                refused.append((one, file.matters))
    lines = [one for one, matters in refused if matters]
    perhaps = [one for one, matters in refused if not matters]
    lines += (said := list(_of_those_without_workbook(perhaps, found)))
    beside += [one for one in perhaps if one not in said]
    single, doubtful = each_once(found, lines)
    counting, open_ones = which_count(single, attempts)
    timed, rows = _with_times(counting, report, report_path)
    beside += _not_counting(single, [*counting, *open_ones])
    return Intake(timed, (*lines, *doubtful, *open_ones, *rows), len(report.times), tuple(beside))


def _of_those_without_workbook(
    refused: Iterable[NotGraded], found: Iterable[HandIn]
) -> Iterator[NotGraded]:
    """Yield the lines about files in whose place no workbook was handed in, a few for each."""
    there = {(one.student, one.unit) for one in found} | {(one.student, "") for one in found}
    said: Counter[tuple[str, str]] = Counter()
    for one in refused:
        key = one.student, one.unit
        said[key] += 1
        if key not in there and (not one.student or said[key] <= LINES_LIMIT):
            yield one


def _files(
    place: Path, units: Sequence[str], roster: frozenset[str], launcher: Launcher
) -> Iterator[File]:
    """Yield what may be a hand-in, in a folder or an archive, one at a time."""
    if place.is_dir():
        yield from folder_files(place, units, roster, launcher)
    elif place.is_file() and is_archive(place.name):
        yield from class_files(place, units, roster, launcher)
    elif place.exists():
        raise FileNotFoundError(f"{place} is neither a folder nor a .zip, .tar, .tar.gz or .tgz")
    else:
        raise FileNotFoundError(f"there is no folder {place}")


def _read(
    file: File, units: Sequence[str], roster: frozenset[str], whose: Callable[[str], str],
    read_by: Mapping[str, str],
) -> HandIn | NotGraded:  # fmt: skip
    seen = who(file.place, roster)
    student = whose(seen)
    unit = unit_in([*([file.inside] if file.inside else []), file.place], units)
    if file.problem:
        return NotGraded(file.path, file.problem, student, unit, file.where)
    try:
        notebook = read_notebook(file.octets)
    except UnreadableNotebookError as problem:
        return NotGraded(file.path, str(problem), student, unit, file.where)
    if notebook.unit in read_by:
        why = f"`hopbyhop {read_by[notebook.unit]}` reads it"
        return NotGraded(file.path, why, student, notebook.unit, file.where)
    one = _assign(file, student, unit, notebook, units)
    if student == seen or isinstance(one, NotGraded):
        return one
    return replace(one, notes=(*one.notes, under_id(seen)))


def _assign(
    file: File, student: str, unit: str, notebook: Notebook, units: Sequence[str]
) -> HandIn | NotGraded:
    notes: list[str] = []
    inside, path = notebook.unit, file.path
    if not student:
        return NotGraded(path, "no student's id in the file's name", "", inside, file.where)
    if not _can_be_entered(student):
        why = (
            f"the student's id {shown(student)!r} cannot be entered into a gradebook: give the"
            f" folder or file one of at most {ID_LENGTH} characters"
        )
        return NotGraded(path, why, "", inside, file.where)
    if inside and unit and inside != unit:
        notes.append(f"the file's name says {unit}, the workbook inside is {inside}")
    unit = inside or unit
    if unit not in units:
        what = f"unit {unit!r} is not part of this class" if unit else "no workbook of this course"
        what += ": the right one is needed"
        return NotGraded(path, what, student, where=file.where)
    if path.name not in (f"{unit}.ipynb", f"{student}_{unit}.ipynb"):
        notes.append(f"the file was renamed to {shown(path.name) if file.where else path.name}")
    stamp, problem = _time_stamp(file, unit)
    return HandIn(student, unit, path, notebook, (*notes, *problem), stamp, file.changed,
                  file.where, time_from=STAMP_FILE if stamp else "")  # fmt: skip


def _can_be_entered(student: str) -> bool:
    """Tell whether an id is short enough, and text at all: a folder's name may be any octets."""
    try:
        return len(student) <= ID_LENGTH and len(student.encode("utf-8")) <= ID_OCTETS
    except UnicodeEncodeError:
        return False


def _renamed(report: Report, whose: Callable[[str], str]) -> Report:
    """Return the table of times under the ids of those whose hand-ins they are.

    Of two times for one hand-in, under two ids, the later one counts.
    """
    renamed = Report()
    for (student, unit), time in sorted(report.times.items(), key=lambda row: row[1]):
        key = whose(student), unit
        renamed = _joined(renamed, Report({key: time}, {key: report.rows[student, unit]}))
    return renamed._replace(problems=report.problems)


def _report(file: File, units: Sequence[str]) -> Report:
    return Report(problems=[file.problem]) if file.problem else read_report(file.octets, units)


def _joined(one: Report, other: Report) -> Report:
    """Return both tables as one; of two times for one hand-in the later one counts."""
    later = {key: max(time, one.times.get(key, time)) for key, time in other.times.items()}
    return Report(
        {**one.times, **later}, {**one.rows, **other.rows}, [*one.problems, *other.problems]
    )


def _not_counting(
    found: Iterable[HandIn], told: Sequence[HandIn | NotGraded]
) -> Iterator[NotGraded]:
    """Name each workbook that another one of its student stands for."""
    paths = {one.path for one in told}
    for one in found:
        if one.path not in paths:
            counts = next(
                other.shown for other in told
                if (other.student, other.unit) == (one.student, one.unit)
            )  # fmt: skip
            yield NotGraded(one.path, f"{counts} counts", one.student, one.unit, one.where)


def _time_stamp(file: File, unit: str) -> tuple[str, tuple[str, ...]]:
    """Return the time stamp beside a workbook of the gradebook's layout; a note if it is bad."""
    if file.stamp is None or (file.inside and file.place.parent.name != unit):
        return "", ()
    from nbgrader.utils import parse_utc  # as in `arrivals`

    text = file.stamp.decode("utf-8", "replace").strip()
    try:
        return (text, ()) if text and parse_utc(text) else ("", ())
    except (ValueError, OverflowError):
        return "", (f"the time stamp in {STAMP_FILE} cannot be read, so it gives no time",)


def _with_times(
    hand_ins: Sequence[HandIn], report: Report, path: Path
) -> tuple[tuple[HandIn, ...], list[NotGraded]]:
    """Put the table's times into the hand-ins; return a line for each row that fits none."""
    there = {(one.student, one.unit) for one in hand_ins}
    lines = [*report.problems, *rows_without_hand_in(report, there)]
    timed = (
        replace(one, handed_in=report.times[key], time_from=REPORT_FILE)
        if (key := (one.student, one.unit)) in report.times
        else one
        for one in hand_ins
    )
    return tuple(timed), [NotGraded(path, line) for line in lines]
