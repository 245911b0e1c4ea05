"""No secret input reaches a student, whatever an answer says while secret cases run.

The inputs of this class's own seed are the canaries. They are looked for in every file that
grading writes but one: the record (`grading-record.db`), which holds the cases themselves and
never leaves the instructor.
"""

import contextlib
import json
import os
import tempfile
from pathlib import Path

import pytest

from classes.cases_once import here_if_it_ends
from classes.graded_class import only_first, public_only
from course_lib.cli import main
from course_lib.exercises.registry import public_cases
from course_lib.exercises.verdict import Outcome
from hand_ins.hand_in_files import UNIT, hand_in
from hand_ins.telling_answers import RIGHT, forms, telling_answers
from instructor.class_run.grade_class import RECORD_FILE
from instructor.grading import examiner as examiner_module
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.record.class_cases import keep_cases
from instructor.grading.record.record import open_record
from instructor.grading.sandbox import sandboxed_run
from instructor.grading.sandbox.sandbox import Sandbox
from instructor.release.make import make_release
from instructor.units.items import cases_for, item, secret_questions

SEED = "canaries"
NOTE = f"hop-by-hop-told-{os.getpid()}"  # in a folder that all tests share
ANSWERS = telling_answers(NOTE)


@pytest.fixture(scope="module")
def cases():
    """Return all cases of unit 01, of which only exercise 1.1 has secret ones."""
    one = item("1.1")
    secret = cases_for(one, secret_questions(one, SEED), work_out=here_if_it_ends(one))
    return {**public_only(), "1.1": (*public_cases("1.1"), *secret)}


@pytest.fixture(scope="module")
def canaries(cases):
    public = " ".join(one for case in public_cases("1.1") for one in forms(case.arguments[0]))
    inputs = {case.arguments[0] for case in cases["1.1"][len(public_cases("1.1")) :]}
    found = {one: forms(one) for one in inputs if len(one) > 5}
    return {text for texts in found.values() for text in texts if text not in public}


@contextlib.contextmanager
def no_sandbox(*given):
    yield Sandbox("none", None, "there is none here")


@pytest.fixture(scope="module")
def course(tmp_path_factory, cases):
    """Grade a class of answers that tell, without a sandbox: there files stay, and are found."""
    course = make_release(tmp_path_factory.mktemp("class"), [UNIT], seed=SEED).course
    with open_record(course / RECORD_FILE) as record:
        keep_cases(UNIT, SEED, record, cases)
    for name, source in ANSWERS.items():
        hand_in(course / "submitted", name, only_first(source))
    note = Path(tempfile.gettempdir()) / NOTE
    note.unlink(missing_ok=True)
    try:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(sandboxed_run, "open_sandbox", no_sandbox)
            assert main(["grade", str(course), "--trusted"]) == 0
    finally:
        was_there = note.exists()
        note.unlink(missing_ok=True)
    assert was_there  # or nothing has been tried
    return course


def written(course):
    """Return every file that grading has written, but for the record."""
    return [
        path for path in sorted(course.rglob("*"))
        if path.is_file() and "submitted" not in path.parts and not path.match(f"{RECORD_FILE}*")
    ]  # fmt: skip


def test_canaries_would_be_found(canaries):
    inputs = [bytes.fromhex("4500003c1c46400040"), b"ahoy, Plover"]
    assert len(canaries) > 40
    assert all(any(form in repr(one) + one.hex() for form in forms(one)) for one in inputs)


def test_no_file_that_grading_writes_has_a_secret_input(course, canaries):
    paths = written(course)
    names = {path.name for path in paths}
    assert {"scores.csv", "gradebook.db", "report.html", "leaves-a-file.html"} <= names
    assert len({path for path in paths if path.parent.name == "feedback"}) >= len(ANSWERS)
    for path in paths:
        text = path.read_bytes().decode("utf-8", "replace")
        assert [one for one in canaries if one in text] == [], path


@pytest.fixture
def no_note():
    """Let no file that an answer has left here be there, before or after."""
    note = Path(tempfile.gettempdir()) / NOTE
    note.unlink(missing_ok=True)
    yield
    note.unlink(missing_ok=True)


@pytest.fixture(scope="module")
def examine(cases):
    examiner = Examiner(UNIT, SEED, None, cases)

    def examine(source):
        notebook = read_notebook(json.dumps(only_first(source)).encode())
        return examiner.examine(HandIn("alder", UNIT, None, notebook)).answers[0]

    return examine


@pytest.mark.parametrize("name", sorted(ANSWERS))
def test_a_verdict_says_nothing_that_was_said_to_secret_cases(examine, canaries, no_note, name):
    answer = examine(ANSWERS[name])
    said = repr(answer.verdict) + repr(answer.notes)
    assert [one for one in canaries if one in said] == []
    assert answer.verdict.points < 2


def test_what_was_said_to_public_cases_is_shown_as_it_was(examine):
    source = "def read_word(data, offset):\n    raise KeyError('which word?')\n"
    verdict = examine(source).verdict
    assert verdict.outcome in (Outcome.WRONG, Outcome.ERROR)
    assert verdict.problem.message == "'which word?'"


def test_the_process_that_is_shown_comes_first_and_knows_no_secret_case(examine, monkeypatch):
    """None, that is, that shows anything: the last one is asked all, and only compared."""
    asked = []
    run_on = examiner_module.run_on

    def watched(one, answer, cases, launcher=None):
        if one.id == "1.1":
            asked.append([case in public_cases("1.1") for case in cases])
        return run_on(one, answer, cases, launcher)

    monkeypatch.setattr(examiner_module, "run_on", watched)
    examine(RIGHT.replace("right", "read_word"))
    assert [set(places) for places in asked] == [{True}, {False}, {True, False}]
