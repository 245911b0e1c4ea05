"""What identifies one grading: if all of this is the same, the result is the same.

An answer need not be run again if nothing that decides its points has changed since:
the student's workbook, the shape of the exercise, its cases (with what is right, so a
corrected model answer shows here), the driver that puts them, the grader itself, and
the seed. Each part has a digest of its own, so that it can be said which one changed.
"""

__all__ = ["Identity", "identities", "what_changed"]

import functools
import hashlib
import json
import sys
from collections.abc import Mapping
from typing import NamedTuple

from course_lib.exercises.registry import Case, Exercise
from course_lib.runner.drivers import DRIVERS
from instructor.grading.examiner import Cases
from instructor.grading.intake.hand_ins import HandIn
from instructor.release.workbook_files import grade_name, read_workbook
from instructor.source_files import source_files
from instructor.units.build_cases import case_to_data
from instructor.units.items import source_of, unit_items

# What decides points, but for exercises and cases, which have digests of their own.
DECIDING = (
    "course_lib/exercises/*.py", "course_lib/runner/*.py", "instructor/grading/*.py",
    "instructor/grading/intake/notebook_reader.py", "instructor/grading/sandbox/**/*.py",
)  # fmt: skip
NOT_DECIDING = (
    "course_lib/exercises/__init__.py", "course_lib/exercises/display.py",
    "course_lib/exercises/feedback.py", "course_lib/exercises/marking.py",
    "course_lib/exercises/progress.py", "course_lib/runner/__init__.py",
    "course_lib/runner/time_limit.py", "instructor/grading/**/__init__.py",
    "instructor/grading/sandbox/inside/archive_reader.py",
)  # fmt: skip


class Identity(NamedTuple):
    """Digests of everything that one result rests on."""

    hand_in: str
    shape: str
    cases: str
    driver: str
    grader: str
    seed: str
    copies: str = ""  # the rule by which a copy of the library earns less than its values do


WORDS = {
    "hand_in": "another version of the hand-in counts",
    "shape": "the exercise itself was changed",
    "cases": "the cases of this exercise were corrected",
    "driver": "the way in which cases are put was corrected",
    "grader": "the grader was corrected",
    "seed": "other secret cases: the class has another seed",
    "copies": "copies of the library are treated by another rule",
}


def identities(hand_in: HandIn, cases: Cases, seed: str) -> Mapping[str, Identity]:
    """Return what identifies the grading of each exercise of a hand-in, by its id."""
    whole = _digest([
        hand_in.student, hand_in.unit, hand_in.notebook.release,
        [[cell.kind, cell.name, cell.source] for cell in hand_in.notebook.cells],
    ])  # fmt: skip
    rest = {one.exercise.id: _of_exercise(one.exercise) for one in unit_items(hand_in.unit[:2])}
    return {
        name: Identity(whole, shape, _of_cases(cases[name]), driver, _grader(), _digest(seed))
        for name, (shape, driver) in rest.items()
    }


def what_changed(old: Identity, new: Identity) -> str:
    """Say in words which parts differ; '' if none does."""
    parts = [name for name in Identity._fields if getattr(old, name) != getattr(new, name)]
    if "seed" in parts and "cases" in parts:
        parts.remove("cases")  # another seed always gives other cases
    if "hand_in" in parts and "copies" in parts:
        parts.remove("copies")  # another version need not be a copy
    return "; ".join(WORDS[name] for name in parts)


@functools.cache
def _of_exercise(one: Exercise) -> tuple[str, str]:
    """Return the digests of an exercise's shape, its cell as handed out too, and of its driver."""
    shape = _digest([repr(one), _handed_out(one.unit).get(one.cell_name, "")])
    return shape, _digest(source_of(DRIVERS[one.driver]))


@functools.cache
def _handed_out(unit: str) -> Mapping[str, str]:
    return {grade_name(cell): cell.source for cell in read_workbook(unit).cells}


@functools.lru_cache(maxsize=256)
def _of_cases_kept(cases: "_Same") -> str:
    return _digest([case_to_data(case) for case in cases.cases])


def _of_cases(cases: tuple[Case, ...]) -> str:
    return _of_cases_kept(_Same(cases))


class _Same:
    """Cases compared by being the same object: they cannot be hashed, and never change."""

    def __init__(self, cases: tuple[Case, ...]) -> None:
        self.cases = cases

    def __hash__(self) -> int:
        return id(self.cases)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.cases is other.cases


@functools.cache
def _grader() -> str:
    files = source_files(DECIDING, but=NOT_DECIDING)
    return _digest([sys.version_info[:2], [path.read_text(encoding="utf-8") for _, path in files]])


def _digest(value: object) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
