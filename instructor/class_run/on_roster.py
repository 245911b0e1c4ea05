"""Who of those who handed in is in the class: an id on no roster is asked about, not graded.

Whose it may be is proposed; a person confirms that with `hopbyhop roster`. Nothing here names a
student by anything but an id.
"""

__all__ = ["ids_of_class", "not_handed_in", "of_the_class", "read_ids"]

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from course_lib.commands.terminal_words import this_command
from instructor.grading.intake.archives import shown
from instructor.grading.intake.hand_ins import Intake, NotGraded
from instructor.grading.intake.whose import seen_in
from instructor.output.wrong_places import WrongPlaceError
from instructor.roster.class_list import read_class_list
from instructor.roster.kept_list import KeptList, read_kept_list
from instructor.roster.odd_ids import proposals
from instructor.roster.typed_table import TypedTableError

NO_ID = "no student's id in the file's name"  # as intake says it


def ids_of_class(course: Path, named: Path | None = None) -> KeptList:
    """Return the roster of a course folder; that of a file, if one is `named`.

    Raises `WrongPlaceError` that says what to change.
    """
    try:
        kept = read_kept_list(course)
        return kept if named is None else KeptList(read_class_list(named).names, kept.same)
    except TypedTableError as problem:
        start = "" if named is None else "--roster "
        raise WrongPlaceError(f"{start}{problem}") from problem


def read_ids(path: Path | None) -> list[str]:
    """Return the ids on a roster; without one, none. Raises `WrongPlaceError`."""
    try:
        return [] if path is None else list(read_class_list(path).ids)
    except TypedTableError as problem:
        raise WrongPlaceError(f"--roster {problem}") from problem


def of_the_class(intake: Intake, kept: KeptList, course: Path) -> Intake:
    """Return what those on the roster handed in; of every other id, one line asks whose it is."""
    if not kept.names:
        return intake
    ours = [one for one in intake.hand_ins if one.student in kept.names]
    files: dict[str, list[Path]] = {}
    for one in intake.hand_ins:
        if one.student not in kept.names:
            files.setdefault(one.student, []).append(one.path)
    refused = []
    for line in intake.not_graded:
        if line.student and line.student not in kept.names:
            files.setdefault(line.student, []).append(line.path)
        elif not line.student and line.why == NO_ID:
            refused.append(replace(line, why=_asked(seen_in(line.path.name), kept, course, 1)))
        else:
            refused.append(line)
    strangers = (
        NotGraded(paths[0], _asked(seen, kept, course, len(paths)), where=shown(seen))
        for seen, paths in sorted(files.items())
    )
    return replace(intake, hand_ins=tuple(ours), not_graded=(*refused, *strangers))


def not_handed_in(
    roster: Iterable[str], there: Collection[tuple[str, str]], units: Iterable[str]
) -> Mapping[str, tuple[str, ...]]:
    """Return who has handed in nothing, by unit; `there` are unit and student of what came."""
    listed = tuple(roster)
    missing = {unit: tuple(one for one in listed if (unit, one) not in there) for unit in units}
    return {unit: students for unit, students in missing.items() if students}


def _asked(seen: str, kept: KeptList, course: Path, files: int) -> str:
    of = f" ({files} files)" if files > 1 else ""
    found = proposals(seen, kept.names)
    start = f"{this_command()} roster {course} --same {shown(seen)!r}"
    if not found:
        return (
            f"nobody on the roster has this id{of}, and none is like it: say whose it is with"
            f" `{start} ID`, or add the student to the roster"
        )
    perhaps = " or ".join(f"{one.student} ({one.why})" for one in found)
    return (
        f"nobody on the roster has this id{of}; it may be {perhaps}: if so, say"
        f" `{start} {found[0].student}`"
    )
