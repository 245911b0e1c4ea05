"""The cases of a class, worked out once: with them at hand, a run begins at once.

Working out what is right and what each misconception would give takes seconds for
each unit. The record keeps the result, together with a digest of all the code and the
seed that it was made from; if any of it changes, the cases are worked out again.
"""

__all__ = ["class_cases", "keep_cases"]

import hashlib
import sys

from instructor.grading.examiner import Cases, all_cases
from instructor.grading.record.identity import case_digests
from instructor.grading.record.kept_cases import KeptCases, kept_cases
from instructor.grading.record.record import GradingRecord
from instructor.source_files import source_digest

MADE_FROM = ("course_lib/**/*.py", "course_lib/exercises/cases/*.json", "instructor/units/**/*.py")
DRAWN = ("course_lib/figures/**/*.py", "course_lib/widgets/*.py")  # pictures decide nothing


def class_cases(unit: str, seed: str, record: GradingRecord) -> Cases:
    """Return all cases of a unit for the class with this seed, from the record if it can."""
    text = record.kept_text(unit, _made_from(unit, seed))
    if not text:
        keep_cases(unit, seed, record, all_cases(unit, seed))
        text = record.kept_text(unit, _made_from(unit, seed))
    return KeptCases(text)


def keep_cases(unit: str, seed: str, record: GradingRecord, cases: Cases) -> None:
    """Put the cases of a unit on record, as made from this seed by the code as it is now."""
    text = kept_cases(cases, case_digests(cases))
    record.keep_text(unit, _made_from(unit, seed), text)


def _made_from(unit: str, seed: str) -> str:
    code = source_digest(MADE_FROM, but=DRAWN)
    return hashlib.sha256(f"{sys.version_info[:2]} {code} {unit} {seed}".encode()).hexdigest()
