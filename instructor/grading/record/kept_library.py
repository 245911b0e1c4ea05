"""Fingerprints of the course's own code, read once: with them at hand, a run begins at once."""

__all__ = ["kept_ground", "kept_library"]

import hashlib
import sys

from instructor.grading.record.record import GradingRecord
from instructor.grading.similarity.library_copies import read_library
from instructor.grading.similarity.library_prints import (
    Library,
    hashes_from_text,
    hashes_to_text,
)
from instructor.grading.similarity.pairs import common_ground
from instructor.release.workbook_files import release_name
from instructor.source_files import source_digest

NAME, GROUND = "library", "ground"  # no unit is called so
MADE_FROM = ("course_lib/**/*.py", "instructor/grading/similarity/*.py")
GROUND_FROM = ("instructor/units/**/*.py", "instructor/grading/similarity/*.py")


def kept_library(record: GradingRecord) -> Library:
    """Return the library's fingerprints, from the record if they are those of this library."""
    made_from = _made_from(MADE_FROM)
    if text := record.kept_text(NAME, made_from):
        return Library.from_text(text)
    library = read_library()
    record.keep_text(NAME, made_from, library.to_text())
    return library


def kept_ground(unit: str, record: GradingRecord) -> frozenset[int]:
    """Return the hashes that say nothing in a unit, from the record if they are this unit's."""
    made_from = _made_from(GROUND_FROM, release_name(unit))
    if text := record.kept_text(f"{GROUND} {unit}", made_from):
        return frozenset(hashes_from_text(text))
    ground = common_ground(unit)
    record.keep_text(f"{GROUND} {unit}", made_from, hashes_to_text(sorted(ground)))
    return ground


def _made_from(patterns: tuple[str, ...], more: str = "") -> str:
    made_from = f"{sys.version_info[:2]} {source_digest(patterns)} {more}"
    return hashlib.sha256(made_from.encode()).hexdigest()
