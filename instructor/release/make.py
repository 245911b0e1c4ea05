"""Make a release: the course folder, then the students' bundle from it."""

__all__ = ["Release", "make_release"]

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from instructor.release.bundle import make_bundle
from instructor.release.course_folder import CourseBatch, make_course_folder
from instructor.release.workbook_files import unit_names


@dataclass(frozen=True, slots=True)
class Release:
    """Where things are: the course folder (staff alone) and the students' archive."""

    course: Path
    bundle: Path
    batch: CourseBatch


def make_release(folder: Path, units: Sequence[str] | None = None, seed: str = "") -> Release:
    """Make course folder and bundle below `folder`; refresh what is already there."""
    chosen = tuple(units or unit_names())
    course = folder / "course"
    batch = make_course_folder(course, chosen, seed)
    bundle = make_bundle(course, chosen, folder / "students")
    return Release(course, bundle, batch)
