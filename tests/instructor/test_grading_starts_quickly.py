"""What takes seconds is not done before the first result: neither loaded nor worked out twice."""

import subprocess
import sys

from instructor.grading.record import kept_library
from instructor.grading.record.record import open_record
from instructor.grading.similarity.library_prints import library_from

SLOW = (
    "rfc3987_syntax", "lark", "jupyter_server", "matplotlib", "numba", "distributed", "nbconvert",
    "jsonschema", "setuptools",
)  # fmt: skip


def test_nothing_slow_is_loaded_to_grade():
    """The names are those of packages that took most of the time before the first result."""
    program = (
        "import sys, instructor.class_run.grade_class\n"
        "from instructor.release.gradebook_tools import load_gradebook_code\n"
        "load_gradebook_code()\n"
        "from nbgrader.api import Gradebook\n"
        f"print([name for name in {SLOW} if name in sys.modules])\n"
        "import jsonschema, setuptools, nbconvert\n"  # who wants it later gets it
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert (ran.stdout.strip(), ran.returncode) == ("[]", 0), ran.stderr


def test_the_library_is_read_once_for_a_class(tmp_path, monkeypatch):
    read = []

    def stand_in():
        read.append(1)
        return library_from(
            {"course_lib.checksum.fold": {5, 2**64 - 1}, "course_lib.prefixes.mask": {5}}
        )

    monkeypatch.setattr(kept_library, "read_library", stand_in)
    for _ in range(2):
        with open_record(tmp_path / "record.db") as record:
            library = kept_library.kept_library(record)
    assert library.hashes_of("course_lib.checksum.fold") == {5, 2**64 - 1}
    assert library.names_of({5, 6}) == {"course_lib.checksum.fold", "course_lib.prefixes.mask"}
    assert library.names_of({2**64 - 1}) == {"course_lib.checksum.fold"}
    assert library.names_of(set()) == library.names_of({6}) == set()
    assert len(read) == 1
    monkeypatch.setattr(kept_library, "MADE_FROM", ("course_lib/cli.py",))  # other code
    with open_record(tmp_path / "record.db") as record:
        kept_library.kept_library(record)
    assert len(read) == 2
