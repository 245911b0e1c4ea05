"""A borrowed part earns nothing: not with `mark`, not in grading, not as progress."""

import importlib
import inspect
import json
from pathlib import Path

import pytest

import course_lib
import course_lib.my_parts.choosing as choosing
from classes.graded_class import SEED, without_beliefs
from course_lib.exercises import mark, progress
from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.registry import all_exercises, exercise, public_cases
from course_lib.exercises.verdict import Outcome
from course_lib.my_parts import my_parts
from course_lib.runner.runner import StandAlone, run_answer
from hand_ins.hand_in_files import solved
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.sandbox.sandbox import open_sandbox
from instructor.quality.gate import verdict_on
from instructor.units.items import item, source_of

UNIT = "02-checksums"
LENT = [
    pytest.param(one, id=f"{one.id}-{one.function}")
    for one in all_exercises()
    if choosing._borrowed(one) is not None
]
FETCH = "from course_lib.my_parts import my_parts\nparts = my_parts('fold')\n"
HIDDEN = (  # written so that no name of a library stands in the source
    "def fold(total):\n"
    "    name = 'course_' + 'lib.my_parts.borrowed.unit_02'\n"
    "    return __import__(name, fromlist=['fold']).fold(total)\n"
)
UNLOCKED = HIDDEN.replace(
    "    return", "    __import__('sys').modules.pop('course_' + 'lib.my_parts', None)\n    return"
)
LEANING = {
    "calls-it": (FETCH, "def fold(total):\n    return parts.fold(total)\n"),
    "is-it": (FETCH, "fold = parts.fold\n"),
    "in-one-cell": (FETCH + "fold = parts.fold\n",),
    "imports-inside": (
        f"def fold(total):\n    {FETCH.splitlines()[0]}\n    return my_parts('fold').fold(total)\n",
    ),
    "the-module-itself": ("from course_lib.my_parts.borrowed.unit_02 import fold\n",),
    "hidden": (HIDDEN,),
}


@pytest.fixture(scope="module")
def examiner():
    return Examiner(UNIT, SEED, None, without_beliefs(UNIT))


def mark_after(*cells):
    """Call `mark` for exercise 2.1 as a cell would, after these cells were run."""
    names = {"In": ["", *cells], "mark": mark}
    exec('points = mark("2.1")', names)
    return names["points"]


def module_of(one):
    return importlib.import_module(f"course_lib.my_parts.borrowed.unit_{one.unit[:2]}")


@pytest.mark.parametrize("cells", LEANING.values(), ids=LEANING.keys())
def test_mark_gives_no_points_for_it(save, cells, capsys):
    assert mark_after(*cells) == 0
    said = capsys.readouterr()
    assert "right" not in said.out.splitlines()[0]


@pytest.mark.parametrize("cells", LEANING.values(), ids=LEANING.keys())
def test_grading_gives_no_points_for_it(examiner, cells):
    *others, answer = cells
    workbook = solved(UNIT, answer_2_1=answer)
    kept = [{"cell_type": "code", "metadata": {}, "source": other} for other in others]
    octets = json.dumps({**workbook, "cells": [*kept, *workbook.cells]}).encode()
    marked = examiner.examine(HandIn("alder", UNIT, None, read_notebook(octets)))
    assert marked.answers[0].verdict.points == 0
    assert marked.answers[0].verdict.outcome in (Outcome.NO_ANSWER, Outcome.ERROR)
    assert all(one.verdict.points == one.verdict.exercise.points for one in marked.answers[1:])


@pytest.mark.parametrize("one", LENT)
def test_each_leans_on_the_library_so_that_a_copy_is_refused(one):
    function = choosing._borrowed(one)
    copy = stand_alone(function.__name__, [inspect.getsource(module_of(one))])
    assert library_uses(copy.whole, one.may_use)


@pytest.mark.parametrize("one", LENT)
def test_a_copy_without_the_library_earns_nothing(one):
    source = inspect.getsource(choosing._borrowed(one))
    assert verdict_on(item(one.id), source, public_cases(one.id)).points == 0


@pytest.fixture(scope="module", params=["warm", "cold"])
def launcher(need, request):
    need("bwrap", "apt-get install bubblewrap")
    with open_sandbox(1, kinds=[request.param]) as sandbox:
        assert sandbox.works, sandbox.detail
        yield sandbox.launcher


@pytest.mark.parametrize("source", [HIDDEN, UNLOCKED], ids=["hidden", "unlocked"])
def test_in_the_sandbox_there_is_nothing_to_borrow_however_it_is_asked_for(launcher, source):
    (result,) = run_answer(StandAlone(source), "fold", [[7]], launcher=launcher).results
    assert result.problem.kind == "ModuleNotFoundError"


def test_the_rest_of_the_library_is_no_file_in_the_sandbox_either(launcher):
    folder = Path(course_lib.__file__).resolve().parent
    source = f"def fold(total):\n    import os\n    return sorted(os.listdir({str(folder)!r}))\n"
    (result,) = run_answer(StandAlone(source), "fold", [[7]], launcher=launcher).results
    assert result.value == ["__init__.py", "runner"]


def test_calling_for_parts_notes_no_progress_and_changes_no_file(save, tmp_path):
    path = save(UNIT, source_of(item("2.1").answer))
    before = path.read_bytes()
    my_parts()
    my_parts("fold", "header_checksum", even_if_wrong=True)
    assert not (tmp_path / progress.FILE_NAME).exists()
    assert path.read_bytes() == before


def test_points_and_attempts_stay_what_they_were(save, tmp_path, capsys):
    save(UNIT, source_of(item("2.1").answer))
    answer = source_of(item("2.1").answer)
    assert mark_after(answer) == exercise("2.1").points
    noted = progress.load(tmp_path / progress.FILE_NAME)
    my_parts()
    assert progress.load(tmp_path / progress.FILE_NAME) == noted
    assert mark_after(FETCH, answer) == exercise("2.1").points
