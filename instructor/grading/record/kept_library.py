"""The fingerprints of the course's library, read once: with them at hand, a run begins at once."""

__all__ = ["kept_library"]

import hashlib
import json
import sys

from instructor.grading.record.record import GradingRecord
from instructor.grading.similarity.library_copies import Library, library_from, read_library
from instructor.source_files import source_digest

NAME = "library"  # no unit is called so
MADE_FROM = ("course_lib/**/*.py", "instructor/grading/similarity/*.py")


def kept_library(record: GradingRecord) -> Library:
    """Return the library's fingerprints, from the record if they are those of this library."""
    made_from = hashlib.sha256(
        f"{sys.version_info[:2]} {source_digest(MADE_FROM)}".encode()
    ).hexdigest()
    if text := record.kept_text(NAME, made_from):
        return library_from(json.loads(text))
    library = read_library()
    kept = {name: sorted(hashes) for name, hashes in library.functions.items()}
    record.keep_text(NAME, made_from, json.dumps(kept))
    return library
