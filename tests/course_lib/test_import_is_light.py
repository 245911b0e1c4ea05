"""`import course_lib` is quick because nothing heavy is loaded before it is used."""

import subprocess
import sys
from pathlib import Path

import pytest

import course_lib

LIBRARY = Path(course_lib.__file__).parent
CHAPTERS = sorted(
    ".".join(face.parent.relative_to(LIBRARY.parent).parts) for face in LIBRARY.rglob("__init__.py")
)
HEAVY = "numpy|matplotlib|scapy|IPython|ipywidgets|numba|pandas|jupyterlab|nbformat"


@pytest.mark.parametrize(
    "module", [*CHAPTERS, "course_lib.checksum", "course_lib.runner.child", "course_lib.cli",
               "course_lib.headers.ipv4"],
)  # fmt: skip
def test_nothing_heavy_is_loaded(module):
    program = (
        f"import sys, {module}\n"
        f"print([name for name in {HEAVY.split('|')!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
