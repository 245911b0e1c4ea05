"""A graded answer is right each time that it is asked, and leaves what it was given alone."""

import json

import pytest

from classes.graded_class import public_only
from course_lib.exercises.feedback import feedback
from course_lib.exercises.registry import exercise, public_cases
from course_lib.exercises.tried_answer import mark_cells
from course_lib.exercises.verdict import Outcome
from hand_ins.hand_in_files import blank
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.units.items import cases_for, item, secret_questions, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

UNIT = "10-buffers-and-tcp"
ITEM = exercise("10.5")
MODEL = item("10.5").answer
RIGHT = source_of(MODEL).replace(MODEL.__name__, "right")


@pytest.fixture(scope="module")
def examine():
    one = item("10.5")
    secret = cases_for(one, secret_questions(one, "a seed"), [])
    cases = {**public_only(UNIT), "10.5": (*public_cases("10.5"), *secret)}
    examiner = Examiner(UNIT, "a seed", None, cases)

    def examine(source):
        workbook = blank(UNIT)
        for cell in workbook.cells:
            if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-10-5":
                cell.source = RIGHT + source
        notebook = read_notebook(json.dumps(workbook).encode())
        answers = examiner.examine(HandIn("alder", UNIT, None, notebook)).answers
        return next(one.verdict for one in answers if one.verdict.exercise == ITEM)

    return examine


def answer(*lines):
    return f"import os\ndef {ITEM.function}(counts, rate, percent):\n" + "".join(
        f"    {line}\n" for line in lines
    )


def test_a_right_answer_that_is_asked_everything_twice_keeps_its_points(examine):
    verdict = examine(answer("return right(counts, rate, percent)"))
    assert (verdict.outcome, verdict.points) == (Outcome.RIGHT, ITEM.points)


EMPTIES = answer("result = right(counts, rate, percent)", "counts.clear()", "return result")


def test_a_right_answer_that_empties_its_list_is_wrong_in_mark_and_in_grading(examine):
    for verdict in (examine(EMPTIES), mark_cells(ITEM, [RIGHT, EMPTIES]).verdict):
        assert (verdict.outcome, verdict.points) == (Outcome.WRONG, 0)
        words = feedback(verdict)
        assert "changed `counts`, which belongs to the caller" in words.seen
        assert "work on a copy" in words.next


def test_an_answer_that_is_right_by_chance_is_told_so_and_in_mark_which_call(examine):
    """One call in three is wrong, by a counter: so always the same ones in the same order."""
    by_count = "calls = []\n" + answer(
        "calls.append(1)", "return right(counts, rate, percent) + (len(calls) % 3 == 0)"
    )
    graded, marked = examine(by_count), mark_cells(ITEM, [RIGHT, by_count]).verdict
    for verdict in (graded, marked):
        assert verdict.outcome is Outcome.TWO_RUNS_DIFFER
        assert verdict.points < ITEM.points
        assert "two runs differ" in feedback(verdict).heading
    assert marked.note.startswith(f"{ITEM.function}(")
    assert graded.note == "One call or more"


SECRET_ONLY = """
SEEN = {known}
calls = []
def {name}(counts, rate, percent):
    if repr((counts, rate, percent)) in SEEN:
        return right(counts, rate, percent)
    calls.append(1)
    return right(counts, rate, percent) + (len(calls) % 4 == 0)
"""


def test_where_only_secret_calls_differ_none_of_them_is_shown(examine):
    known = {repr(case.arguments) for case in public_cases("10.5")}
    verdict = examine(SECRET_ONLY.format(known=known, name=ITEM.function))
    assert verdict.outcome is Outcome.TWO_RUNS_DIFFER
    assert (verdict.first_wrong, verdict.seen, verdict.note) == (None, None, "One call or more")
    assert feedback(verdict).seen.startswith("One call or more gave one result")
