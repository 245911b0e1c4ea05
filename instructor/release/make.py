"""Make a release: the course folder, then the students' bundle from it."""

__all__ = ["Release", "make_release", "said_of"]

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from course_lib.commands.terminal_words import this_command, to_type
from course_lib.exercises.progress import BUNDLE_MARK
from instructor.output.private import private
from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
from instructor.release.bundle import make_bundle
from instructor.release.course_folder import (
    BATCH_FILE,
    CourseBatch,
    make_course_folder,
    named_course,
)
from instructor.release.named_units import named_units
from instructor.release.personal_codes import CODES_FILE, write_codes
from instructor.release.undone import whole_or_not_at_all
from instructor.release.workbook_files import unit_names


@dataclass(frozen=True, slots=True)
class Release:
    """Where things are: the course folder (staff alone) and the students' archive.

    `left` are units that the class had before and has no more. `codes` is the table with each
    student's personal code, if ids were given.
    """

    course: Path
    bundle: Path
    batch: CourseBatch
    left: tuple[str, ...] = ()
    codes: Path | None = None


def make_release(
    folder: Path,
    units: Sequence[str] | None = None,
    seed: str = "",
    students: Sequence[str] = (),
    without: Sequence[str] = (),
) -> Release:
    """Make course folder and bundle below `folder`; refresh what is already there.

    `units` are added to those of the release before (at first: all, if none are named), `without`
    takes some out. For `students`, given by their ids, a table of personal codes is written, too.

    Raises `WrongPlaceError` if nothing can be made there, or a unit is not known.
    """
    _refuse_wrong(folder)
    units, without = named_units("--units", units or ()), named_units("--without", without)
    course = folder / "course"
    before = named_course(course).batch.units if (course / BATCH_FILE).exists() else ()
    wanted = {*before, *(units or (before or unit_names()))} - {*without}
    chosen = tuple(unit for unit in unit_names() if unit in wanted)
    if not chosen:
        raise WrongPlaceError(f"--without {' '.join(without)}: no unit would be left.")
    codes = course / CODES_FILE if students else None
    with whole_or_not_at_all(folder):
        with private(course):
            batch = make_course_folder(course, chosen, seed)
            if codes is not None:
                write_codes(codes, batch.seed, students)
        bundle = make_bundle(course, chosen, folder / "students", batch.number)
    left = tuple(unit for unit in before if unit not in chosen)
    return Release(course, bundle, batch, left, codes)


def said_of(made: Release) -> str:
    """Say where things are, and what to type when the class has handed in."""
    left = ""
    if made.left:
        left = (
            f"\nNo longer a part of this class: {', '.join(made.left)}. To have them back, type\n"
            f"{to_type(this_command(), 'release', made.course.parent, '--units', *made.left)}\n"
        )
    grade = this_command(), "grade"
    return (
        f"Release {made.batch.number}: units {', '.join(unit[:2] for unit in made.batch.units)}\n"
        f"For the students: {made.bundle}\n"
        "    workbooks, library and a page to start from; no answer\n"
        f"For the staff alone: {made.course}\n"
        "    answers, secret seed and gradebook\n"
        f"{_codes_said(made)}{left}{_update_said(made)}\n"
        "Next, give the students their archive. When they have handed in, type (HAND-INS being\n"
        "the folder or archive that holds it all)\n"
        f"{to_type(*grade, 'HAND-INS', '--course', made.course)}\n"
        "or, where the gradebook's own tools collected it,\n"
        f"{to_type(*grade, made.course)}"
    )


def _update_said(made: Release) -> str:
    if made.batch.number == 1:
        return ""
    return (
        "\nWho has worked in an earlier release keeps that folder, and types there\n"
        f"{to_type('hopbyhop', 'update', made.bundle.name)}\n"
    )


def _codes_said(made: Release) -> str:
    if made.codes is None:
        return ""
    return (
        f"Personal codes: {made.codes}\n"
        "    give each student the one code behind their id, and nobody the table\n"
    )


def _refuse_wrong(folder: Path) -> None:
    refuse_a_file("FOLDER", folder)
    if (folder / BATCH_FILE).exists():
        raise WrongPlaceError(
            f"FOLDER {folder} is a course folder already. To refresh it, name the folder around "
            f"it: {folder.absolute().parent}. For another class, name a new one."
        )
    if (folder / BUNDLE_MARK).exists():
        raise WrongPlaceError(
            f"FOLDER {folder} holds what students get. Name a folder where answers may lie, too."
        )
