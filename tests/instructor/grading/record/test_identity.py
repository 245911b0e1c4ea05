"""What identifies one grading: any part that decides points changes it, and nothing else does."""

import ast
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import course_lib
from classes.graded_class import SEED, public_only, with_mistake
from course_lib.exercises.registry import Case, Expected, exercise
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.plain_data import decode, encode
from course_lib.runner.runner import Problem, Result
from hand_ins.hand_in_files import UNIT
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.marked import MarkedAnswer
from instructor.grading.record.answer_data import answer_from_text, answer_to_text
from instructor.grading.record.identity import (
    DECIDING,
    NOT_DECIDING,
    identities,
    unit_identities,
    what_changed,
)
from instructor.source_files import source_files

ONE = HandIn("alder", UNIT, Path("x.ipynb"), Notebook((Cell("code", "a", "x = 1"),), UNIT, "r"))
OTHER = replace(ONE, notebook=replace(ONE.notebook, cells=(Cell("code", "a", "x = 2"),)))
CASES = public_only()
ITEM = exercise("1.1")
# Where an answer is started, run and judged: inside the sandbox, either kind, and outside.
RUN = (
    "grading.sandbox.inside.cold_start", "grading.sandbox.inside.warm_server",
    "grading.sandbox.sandboxed_run", "grading.examiner",
)  # fmt: skip
# Of what the examiner imports; its results, the hand-in and own cases, have digests of their own.
NO_PART_IN_A_RUN = {
    "instructor.grading.intake.hand_ins",
    *(
        f"course_lib.exercises.personal.{name}"
        for name in ("buffers", "code", "draws", "lines", "own_cases", "plans")
    ),
}


def rests_on(hand_in, cases, seed):
    return identities(hand_in, unit_identities(UNIT, cases, seed))


def test_own_numbers_are_cases_of_the_exercise_that_has_them_and_of_no_other():
    unit = exercise("3.6").unit
    of_unit = unit_identities(unit, public_only(unit), SEED)
    mine, other = (
        identities(replace(ONE, unit=unit, own_code=code), of_unit)
        for code in ("KQ7W-DX3M-2AD", "")
    )
    assert {name for name in mine if mine[name] != other[name]} == {"3.6"}
    assert what_changed(mine["3.6"], other["3.6"]) == "the cases of this exercise were corrected"
    assert mine["3.6"].cases != of_unit["3.6"].cases != other["3.6"].cases


@pytest.mark.parametrize(
    ("hand_in", "cases", "seed", "words"),
    [
        (ONE, CASES, SEED, ""),
        (replace(ONE, path=Path("y.ipynb"), notes=("renamed",)), CASES, SEED, ""),
        (OTHER, CASES, SEED, "another version of the hand-in counts"),
        (ONE, with_mistake(CASES), SEED, "the cases of this exercise were corrected"),
        (ONE, with_mistake(CASES, "1.2"), SEED, ""),
        (ONE, with_mistake(CASES), "x", "other secret cases: the class has another seed"),
    ],
)
def test_it_is_said_which_part_changed(hand_in, cases, seed, words):
    before = rests_on(ONE, CASES, SEED)["1.1"]
    assert what_changed(before, rests_on(hand_in, cases, seed)["1.1"]) == words


def test_no_two_students_share_a_result():
    assert rests_on(ONE, CASES, SEED) != rests_on(replace(ONE, student="dill"), CASES, SEED)


def deciding():
    """The names of the modules that decide."""
    files = source_files(DECIDING, but=NOT_DECIDING)
    return {name.removesuffix(".py").replace("/", ".") for name, _ in files}


def test_every_module_of_the_judge_is_part_of_what_decides():
    judge = Path(course_lib.__file__).parent / "exercises" / "verdict.py"
    imported = {
        node.module
        for node in ast.walk(ast.parse(judge.read_text()))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("course_lib")
    }
    assert imported
    assert imported <= deciding()


def test_every_module_that_is_there_when_an_answer_runs_is_part_of_what_decides():
    """What a new process imports is asked of Python itself, not read off the sources."""
    imports = "; ".join(f"import instructor.{name}" for name in RUN)
    modules = "n for n, module in sys.modules.items() if not hasattr(module, '__path__')"
    asked = f"import sys; {imports}; print(*({modules}))"
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, timeout=600
    )
    packages = ("course_lib.exercises.", "course_lib.runner.", "instructor.grading.")
    there = {name for name in done.stdout.split() if name.startswith(packages)}
    assert {"course_lib.runner.child", "course_lib.exercises.verdict"} <= there
    assert there - NO_PART_IN_A_RUN <= deciding()


plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.text()
    | st.binary()
    | st.floats(allow_nan=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
).map(lambda value: decode(encode(value)))  # as it comes from an answer's process


@given(plain, plain, st.text(), st.text(), st.sampled_from(Outcome))
def test_what_is_put_on_record_comes_back_as_it_was(value, argument, note, source, outcome):
    case = Case(
        "words", (argument,), Expected(value), "made up", {"a": Expected(raises="KeyError")}
    )
    problem = Problem(("KeyError", "Exception"), note, 3)
    verdict = Verdict(
        ITEM, outcome, 1.0, (("words", 1.0, 1.0), ("refusals", 0.0, 1.0)), "a", case,
        Result("value", value, problem, note), problem, note, 2, 3, 4,
    )  # fmt: skip
    answer = MarkedAnswer(verdict, source, (note,))
    assert answer_from_text(ITEM, answer_to_text(answer)) == answer
