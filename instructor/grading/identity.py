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
from collections.abc import Iterator, Mapping
from fnmatch import fnmatch
from pathlib import Path
from typing import NamedTuple

import course_lib.exercises
from course_lib.exercises.drivers import DRIVERS
from course_lib.exercises.registry import Case, Exercise
from instructor.build_cases import case_to_data
from instructor.grading.examiner import Cases
from instructor.grading.intake import HandIn
from instructor.items import source_of, unit_items
from instructor.release.workbook_files import grade_name, read_workbook

# No change in these can alter points; exercises have digests of their own.
NOT_DECIDING = ("__init__", "display", "feedback", "marking", "unit_*")
DECIDING_HERE = (
    "cold_start", "examiner", "isolation*", "notebook_reader", "sandbox*", "system_calls*",
    "warm_*",
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
    texts = [path.read_text(encoding="utf-8") for path in _deciding_files()]
    return _digest([sys.version_info[:2], texts])


def _deciding_files() -> Iterator[Path]:
    for path in sorted(Path(course_lib.exercises.__file__).parent.glob("*.py")):
        if not any(fnmatch(path.stem, pattern) for pattern in NOT_DECIDING):
            yield path
    for path in sorted(Path(__file__).parent.glob("*.py")):
        if any(fnmatch(path.stem, pattern) for pattern in DECIDING_HERE):
            yield path


def _digest(value: object) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
