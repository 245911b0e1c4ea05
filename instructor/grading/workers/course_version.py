"""Which version of this course a process runs: a digest of all the code that decides a score.

Two machines may grade one class together only if they would give the same points. So a
worker says which code, workbooks and Python it has, and is used only if they are the same.
"""

__all__ = ["course_version"]

import sys

from instructor.source_files import source_digest

DECIDING = ("course_lib/**/*.py", "course_lib/**/*.json", "instructor/**/*.py",
            "workbooks/*/*.ipynb")  # fmt: skip
DRAWN = ("course_lib/figures/**/*.py", "course_lib/widgets/*.py")  # pictures decide nothing


def course_version() -> str:
    """Return a short name for the course as this process has it, and its Python."""
    major, minor = sys.version_info[:2]
    return f"{source_digest(DECIDING, but=DRAWN)[:12]} on Python {major}.{minor}"
