"""Where hand-ins and the course folder are, told from what was typed.

Each place that cannot be right is refused before anything is opened, and the argument to change is
named. Settings of a course folder are a program, so none is looked for among the hand-ins: what
lies there is the students'. A seal may be looked for anywhere (see `seal`): it is only read.
"""

__all__ = [
    "Places",
    "find_places",
    "question_sheets_among",
    "refuse_no_gradebook",
    "refuse_shifted",
    "refuse_unknown",
]

import difflib
import os
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import NamedTuple

from course_lib.commands.terminal_words import this_command, to_type
from course_lib.exercises.progress import BUNDLE_MARK
from instructor.grading.intake.archives import is_archive
from instructor.grading.intake.hand_ins import QUESTION_SHEETS, Intake
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import (
    BATCH_FILE,
    CourseFolder,
    CourseFolderError,
    named_course,
    sealed_course,
)
from instructor.release.gradebook_tools import missing_driver

COLLECTED = "submitted"  # where the gradebook's tools put what they collect
OTHER_PARTS = ("source", "release", "autograded", "feedback", "results")  # of a course folder
BUNDLES = f"hop-by-hop*/{BUNDLE_MARK}"
HAND_INS = "HAND-INS"  # stands for a place that only the reader knows


class Places(NamedTuple):
    """What `find_places` found: where hand-ins are, and the course they are graded by."""

    hand_ins: Path
    course: CourseFolder


def find_places(folder: Path, named: Path | None, out: Path | None = None) -> Places:
    """Return where everything is; raise `WrongPlaceError` or `CourseFolderError` in words."""
    _refuse_no_hand_ins(folder)
    course = _named(named, folder) if named else _sealed_near(folder)
    if folder.resolve() == course.path.resolve():
        hand_ins = _collected(folder)
    else:
        _refuse_course_folder(folder, course)
        hand_ins = folder
    if out is not None and (out.resolve() == hand_ins.resolve() or _lies_in(out, hand_ins)):
        raise WrongPlaceError(
            f"--out {out} lies among the hand-ins in {hand_ins}: what is written there would be "
            "graded the next time. Name a folder beside them."
        )
    return Places(hand_ins, course)


def refuse_no_gradebook(url: str) -> None:
    """Refuse what is no address of a gradebook; whether one is there shows when it is opened."""
    from sqlalchemy.exc import ArgumentError

    try:
        missing = missing_driver(url)
    except ArgumentError as problem:  # the base of "no such kind of database", too
        raise WrongPlaceError(
            "--gradebook: that is no address of a gradebook. One looks like\n"
            "    postgresql://staff@db.example.com/book\nor, for a file,\n"
            "    sqlite:////home/rowan/gradebook.db"
        ) from problem
    if missing:
        raise WrongPlaceError(missing)


def refuse_shifted(folder: Path, intake: Intake, units: Collection[str]) -> None:
    """Refuse a folder without hand-ins, and one level too deep, where units look like students."""
    students = {one.student for one in intake.hand_ins}
    students |= {one.student for one in intake.not_graded}
    if not students and question_sheets_among(intake):
        raise WrongPlaceError(
            f"FOLDER {folder} holds question sheets, and no workbook of a unit. They are read with"
            f"\n{to_type(this_command(), 'read-sheets', folder, '--course', 'COURSE')}"
        )
    if not students:
        raise WrongPlaceError(
            f"FOLDER {folder} holds nothing that anybody handed in. How it is laid out says\n"
            + to_type(this_command(), "grade", "--explain", "hand-ins")
        )
    if intake.hand_ins and students - {""} <= set(units):
        raise WrongPlaceError(
            f"FOLDER {folder} is one level too deep: the folders in it are named after units, not "
            f"after students. Name the one around it: {folder.absolute().parent}"
        )


def question_sheets_among(intake: Intake) -> int:
    """Count the sheets of what a class is asked beside its workbooks."""
    return sum(one.unit in QUESTION_SHEETS for one in intake.beside)


def refuse_unknown(
    named: Sequence[str], intake: Intake, roster: Collection[str] = (), option: str = "--again"
) -> None:
    """Refuse ids after an option of whom nothing is here: mistyped, they would do nothing."""
    there = {one.student for one in intake.hand_ins}
    known = {*roster, *(one.student for one in intake.not_graded)}
    said = []
    for student in dict.fromkeys(named):
        if student in there:
            continue
        if student in known:
            said.append(f"{option} {student}: this student has no workbook that can be graded.")
        else:
            like = difflib.get_close_matches(student, sorted(there | known), n=1)
            meant = f" Did you mean {like[0]}?" if like else ""
            said.append(
                f"{option} {student}: there is no such student: no file and no roster has this id."
                f"{meant}"
            )
    if said:
        raise WrongPlaceError("\n".join(said))


def _refuse_no_hand_ins(folder: Path) -> None:
    """Refuse what is no place of hand-ins at all, whichever course it is graded by."""
    if not folder.exists():
        raise WrongPlaceError(
            f"FOLDER {folder}: there is no such folder or archive. Name the one with what the "
            "class handed in."
        )
    if not folder.is_dir() and not is_archive(folder.name):
        raise WrongPlaceError(
            f"FOLDER {folder} is neither a folder nor a .zip, .tar, .tar.gz or .tgz. Name the "
            "folder or archive with what the whole class handed in."
        )
    if _is_for_students(folder):
        raise WrongPlaceError(
            f"FOLDER {folder} holds what students get, not what they handed in. Name the folder "
            "or archive with their hand-ins."
        )
    course = folder / "course"
    is_release = (course / BATCH_FILE).is_file() and (folder / "students").is_dir()
    if is_release or sealed_course(course) is not None:
        raise WrongPlaceError(
            f"FOLDER {folder} is where `release` wrote. What the gradebook's tools collected is "
            f"graded with\n{_grade(course)}\nand hand-ins from elsewhere with\n"
            f"{_grade(HAND_INS, '--course', course)}"
        )


def _is_for_students(folder: Path) -> bool:
    """Tell whether this is a bundle, holds one, or is the archive of one that `release` made.

    One that a student handed in lies below a student's name, and is none of ours.
    """
    if not folder.is_dir():
        made = folder.absolute().parent / folder.stem / BUNDLE_MARK
        return folder.suffix == ".zip" and made.is_file()
    return any(place.is_file() for place in (folder / BUNDLE_MARK, *folder.glob(BUNDLES)))


def _named(named: Path, folder: Path) -> CourseFolder:
    if _lies_in(named, folder):
        raise CourseFolderError(
            f"--course {named} lies among the hand-ins in {folder}, and grading runs its settings. "
            "Keep the two apart: no student may write into a course folder."
        )
    if (named / BATCH_FILE).is_file():
        return named_course(named)
    if not named.exists():
        why = "there is no such folder"
    elif not named.is_dir():
        why = "that is a file, not a folder"
    elif sealed_course(folder) is not None:
        raise WrongPlaceError(
            f"--course {named} and FOLDER {folder} stand the wrong way round: FOLDER is the course "
            f"folder. Type\n{_grade(named, '--course', folder)}"
        )
    elif (named / "course" / BATCH_FILE).is_file():
        raise WrongPlaceError(
            f"--course {named} holds the course folder, but is not it. Type\n"
            f"{_grade(folder, '--course', named / 'course')}"
        )
    else:
        why = f"that is not a course folder: it has no {BATCH_FILE}"
    raise WrongPlaceError(
        f"--course {named}: {why}. Name the folder `course` below the one that you gave to "
        "`release`."
    )


def _sealed_near(folder: Path) -> CourseFolder:
    """Return the course folder of this account that the hand-ins are in, or beside."""
    around = folder.absolute().parent
    places = (folder, around, around / "course")
    for place in places:
        if (found := sealed_course(place)) is not None:
            return found
    for place in places:
        if os.path.lexists(place / BATCH_FILE):
            raise CourseFolderError(
                f"{place} looks like a course folder, but `release` did not make it with this "
                "account, and grading runs its settings. If it is yours and no student can write "
                f"into it, say so:\n{_grade(folder, '--course', place)}"
            )
    raise WrongPlaceError(
        f"--course is missing: no course folder is beside or around {folder}. Name the one that "
        f"`release` made:\n{_grade(folder, '--course', 'COURSE')}"
    )


def _collected(course: Path) -> Path:
    place = course / COLLECTED
    if not place.is_dir():
        raise WrongPlaceError(
            f"FOLDER {course} is the course folder, and nothing was collected in it: it has no "
            f"folder `{COLLECTED}`. Name the folder or archive with the hand-ins:\n"
            f"{_grade(HAND_INS, '--course', course)}"
        )
    return place


def _refuse_course_folder(folder: Path, course: CourseFolder) -> None:
    """Refuse another course folder, or a part of this one that holds our files.

    A seal alone is only a file, which may lie among hand-ins: then grading goes on.
    """
    if (folder / "source").is_dir() and sealed_course(folder) is not None:
        raise WrongPlaceError(
            f"FOLDER {folder} is a course folder, and not the one that --course names. Its own "
            f"hand-ins are graded with\n{_grade(folder)}"
        )
    if folder.resolve() in {(course.path / part).resolve() for part in OTHER_PARTS}:
        raise WrongPlaceError(
            f"FOLDER {folder} is a part of the course folder, and no hand-ins are in it. What was "
            f"collected is graded with\n{_grade(course.path)}"
        )


def _lies_in(place: Path, folder: Path) -> bool:
    return folder.resolve() in place.resolve().parents


def _grade(*words: str | Path) -> str:
    return to_type(this_command(), "grade", *words)
