"""Which version of this course a process runs: a digest of all the code that decides a score.

Two machines may grade one class together only if they would give the same points. So a
worker says which code, workbooks and Python it has, and is used only if they are the same.
"""

__all__ = ["course_version"]

import functools
import hashlib
import sys
from collections.abc import Iterator
from pathlib import Path

import course_lib
from instructor.release.workbook_files import ROOT

PARTS = ("instructor/*.py", "instructor/grading/*.py", "instructor/release/*.py",
         "workbooks/*/*.ipynb")  # fmt: skip
DRAWN = frozenset({"figures", "widgets"})  # pictures decide nothing


@functools.cache
def course_version() -> str:
    """Return a short name for the course as this process has it, and its Python.

    It is worked out once, so that it tells what was loaded and not what lies there later.
    """
    whole = hashlib.sha256()
    for name, path in sorted(_files()):
        whole.update(name.encode() + b"\0" + path.read_bytes() + b"\0")
    major, minor = sys.version_info[:2]
    return f"{whole.hexdigest()[:12]} on Python {major}.{minor}"


def _files() -> Iterator[tuple[str, Path]]:
    library = Path(course_lib.__file__).resolve().parent
    for pattern in ("*.py", "*.json"):
        for path in library.rglob(pattern):
            if not DRAWN & set(path.parts):
                yield str(Path("course_lib") / path.relative_to(library)), path
    for pattern in PARTS:
        for path in ROOT.glob(pattern):
            yield str(path.relative_to(ROOT)), path
