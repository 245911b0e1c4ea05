"""`import course_lib` is quick because nothing heavy is loaded before it is used."""

import subprocess
import sys

import pytest

HEAVY = "numpy|matplotlib|scapy|IPython|ipywidgets|numba|pandas|jupyterlab|nbformat"


@pytest.mark.parametrize(
    "module", ["course_lib", "course_lib.headers", "course_lib.checksum", "course_lib.exercises",
               "course_lib.exercises.child", "course_lib.cli", "course_lib.my_parts"],
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
