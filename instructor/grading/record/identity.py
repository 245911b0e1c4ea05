"""What identifies one grading: if all of this is the same, the result is the same.

An answer need not be run again if nothing that decides its points has changed since:
the student's workbook, the shape of the exercise, its cases (with what is right, so a
corrected model answer shows here), the driver that puts them, the grader itself, and
the seed. Each part has a digest of its own, so that it can be said which one changed.
"""

__all__ = ["Identity", "case_digests", "identities", "unit_identities", "what_changed"]

import hashlib
import json
import sys
from collections.abc import Mapping
from typing import NamedTuple

from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import unit_exercises
from course_lib.runner.drivers import DRIVERS
from instructor.grading.examiner import Cases
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.record.kept_cases import KeptCases
from instructor.release.workbook_files import grade_name, plain_master
from instructor.source_files import source_digest
from instructor.units.build_cases import case_to_data
from instructor.units.items import source_of

# What decides points, but for exercises and cases, which have digests of their own.
DECIDING = (
    "course_lib/exercises/*.py", "course_lib/exercises/cells/*.py", "course_lib/runner/*.py",
    "instructor/grading/*.py",
    "instructor/grading/intake/notebook_reader.py", "instructor/grading/sandbox/**/*.py",
    "instructor/units/ours_in_place.py",
)  # fmt: skip
NOT_DECIDING = (
    "course_lib/exercises/__init__.py", "course_lib/exercises/cells/cells_run.py",
    "course_lib/exercises/display.py", "course_lib/exercises/marking.py",
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


def unit_identities(unit: str, cases: Cases, seed: str) -> Mapping[str, Identity]:
    """Return what identifies the grading of each exercise, by its id, whoever handed it in."""
    sources = {grade_name(cell): cell.source for cell in plain_master(unit).cells}
    digests = cases.digests if isinstance(cases, KeptCases) else case_digests(cases)
    return {
        one.id: Identity(
            hand_in="",
            shape=_digest([repr(one), sources.get(one.cell_name, "")]),
            cases=digests[one.id],
            driver=_digest(source_of(DRIVERS[one.driver])),
            grader=_digest([sys.version_info[:2], source_digest(DECIDING, but=NOT_DECIDING)]),
            seed=_digest(seed),
        )
        for one in unit_exercises(unit[:2])
    }


def case_digests(cases: Cases) -> Mapping[str, str]:
    """Return a digest of the cases of each exercise."""
    return {name: _digest([case_to_data(one) for one in cases[name]]) for name in cases}


def identities(hand_in: HandIn, of_unit: Mapping[str, Identity]) -> Mapping[str, Identity]:
    """Return what identifies the grading of each exercise of one hand-in."""
    whole = _digest([
        hand_in.student, hand_in.unit, hand_in.notebook.release,
        [[cell.kind, cell.name, cell.source] for cell in hand_in.notebook.cells],
    ])  # fmt: skip
    return {
        name: one._replace(hand_in=whole, cases=_with_own(one.cases, name, hand_in.own_code))
        for name, one in of_unit.items()
    }


def what_changed(old: Identity, new: Identity) -> str:
    """Say in words which parts differ; '' if none does."""
    parts = [name for name in Identity._fields if getattr(old, name) != getattr(new, name)]
    if "seed" in parts and "cases" in parts:
        parts.remove("cases")  # another seed always gives other cases
    if "hand_in" in parts and "copies" in parts:
        parts.remove("copies")  # another version need not be a copy
    return "; ".join(WORDS[name] for name in parts)


def _with_own(cases: str, exercise_id: str, code: str) -> str:
    """Return the digest of an exercise's cases, with those of the student's own numbers in it."""
    own = own_cases(exercise_id, code)
    return _digest([cases, *map(case_to_data, own)]) if own else cases


def _digest(value: object) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
