"""The fuzzers notice what they are there for: a planted fault is found, and can be replayed.

Here nothing is instrumented, and Atheris is not needed: the checks, the seeds and the changes are
those of `tests/fuzzing`.
"""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random
from types import ModuleType

import pytest

from course_lib.exercises.cells import statements
from course_lib.my_parts import saved_workbooks
from course_lib.runner import runner
from fuzzed import fuzzed_notebooks, fuzzed_replies
from fuzzed.mutations import mutated
from instructor.grading.intake import notebook_reader
from instructor.output import pages as safe_pages

FUZZING = Path(__file__).parents[2] / "fuzzing"
TARGETS = {"fuzz_replies": fuzzed_replies, "fuzz_notebooks": fuzzed_notebooks}
TRIES = 8_000  # a planted fault is found long before
NESTED = 1_000  # calls in calls that Python allows by itself


@pytest.fixture
def guided(monkeypatch) -> ModuleType:
    """Give the module that all fuzzers run with."""
    monkeypatch.syspath_prepend(str(FUZZING))
    import coverage_guided

    return coverage_guided


@pytest.fixture(autouse=True)
def nested_as_usual() -> Iterator[None]:
    """Let Python nest as deep as it does by itself, and know no text that it has met before.

    Modules that other tests load raise that limit for the whole process. Code that is nested too
    deep to be read would then be none, and the fault planted there is hardly ever met.
    """
    before = sys.getrecursionlimit()
    statements._kept_statements.cache_clear()
    sys.setrecursionlimit(NESTED)
    yield
    sys.setrecursionlimit(before)


def first_complaint(target, mark, folder, guided):
    """Return the file of the first complaint about changed seeds, those that hold a mark."""
    complaints = guided.Complaints(target.check, folder)
    seeds = [seed for seed in target.seeds() if mark in seed]
    random = Random(1)
    for _ in range(TRIES):
        octets = mutated(random.choice(seeds), random, seeds, target.PIECES)
        if path := complaints.look(octets):
            return Path(path)
    return None


@pytest.mark.parametrize("target", TARGETS.values(), ids=TARGETS)
def test_there_is_no_complaint_about_what_is_honest(target, guided, tmp_path):
    complaints = guided.Complaints(target.check, tmp_path)
    assert [complaints.look(seed) for seed in target.seeds()] == [""] * len(target.seeds())


PLANTED = (
    (fuzzed_replies, b"", runner, "decode", lambda data: data),
    (fuzzed_replies, b"", runner, "_words", lambda data, most=0: data),
    (fuzzed_replies, b"SyntaxError", runner, "writable", lambda text: text),
    (fuzzed_replies, b"SyntaxError", safe_pages, "visible", lambda text: text),
    (fuzzed_notebooks, b"\x00{", notebook_reader, "writable", lambda text: text),
    (fuzzed_notebooks, b"\x01", statements, "UNREADABLE", SyntaxError),
    (fuzzed_notebooks, b"\x02{", saved_workbooks, "writable", lambda text: text.encode()),
)


@pytest.mark.parametrize(
    ("target", "mark", "module", "name", "broken"), PLANTED,
    ids=["no-decoding", "words-that-are-none", "half-replies", "unseen-signs", "half-cells",
         "unreadable-code", "saved-octets"],
)  # fmt: skip
def test_a_planted_fault_is_found_and_can_be_replayed(
    target, mark, module, name, broken, guided, tmp_path, monkeypatch, capsys
):  # fmt: skip
    with monkeypatch.context() as patch:
        patch.setattr(module, name, broken)
        path = first_complaint(target, mark, tmp_path, guided)
        assert path is not None
        assert guided.Complaints(target.check, tmp_path).look(path.read_bytes())
    assert "COMPLAINT" in capsys.readouterr().out
    target.check(path.read_bytes())  # mended, there is nothing to complain about


@pytest.mark.parametrize("script", TARGETS)
def test_a_kept_text_is_replayed_from_the_command_line(script, tmp_path):
    path = tmp_path / "kept"
    path.write_bytes(TARGETS[script].seeds()[0])
    command = [sys.executable, str(FUZZING / f"{script}.py"), str(path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=600, check=False)
    assert (done.returncode, done.stdout) == (0, f"{path}: no complaint\n")


def test_figures_are_read_off_what_the_fuzzer_prints(guided):
    figures = guided.Figures()
    figures.take("#2\tINITED cov: 10 ft: 20 corp: 1/1b exec/s: 0 rss: 40Mb")
    figures.take("#30\tNEW    cov: 12 ft: 25 corp: 2/2b lim: 4 exec/s: 0 rss: 40Mb")
    figures.began_again()
    figures.take("#5\tDONE   cov: 11 ft: 30 corp: 2/2b lim: 4 exec/s: 0 rss: 40Mb")
    assert (figures.executions, figures.first, figures.last) == (35, (10, 20), (12, 25))
