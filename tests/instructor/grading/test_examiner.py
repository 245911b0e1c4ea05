"""One hand-in is examined: outcomes stay apart, honest oddities cost nothing."""

import json

import pytest

from classes.other_limits import little_time
from course_lib.exercises.verdict import Outcome, without_run
from course_lib.runner.answer_process import RunnerError
from hand_ins.hand_in_files import UNIT, blank, doubled, points_of, solved, with_cell_after, without
from instructor.grading import examiner as examiner_module
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.marked import MarkedAnswer
from instructor.units.items import item, secret_cases, source_of, unit_items

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

FULL = points_of("1.1")
RIGHT = source_of(item("1.1").answer)
NAMES = sorted(item("1.1").misconceptions)


@pytest.fixture(scope="module")
def examiner():
    return Examiner(UNIT, "a seed", launcher=None)


def examine(examiner, workbook):
    notebook = read_notebook(json.dumps(workbook).encode())
    return examiner.examine(HandIn("alder", UNIT, None, notebook))


def first(examiner, workbook):
    """Examine the first answer alone: the others are taken as known."""
    notebook = read_notebook(json.dumps(workbook).encode())
    others = {
        one.exercise.id: MarkedAnswer(without_run(one.exercise, Outcome.NO_ANSWER), "")
        for one in unit_items(UNIT[:2])[1:]
    }
    return examiner.examine(HandIn("alder", UNIT, None, notebook), others).answers[0]


def test_model_answers_earn_every_point(examiner):
    marked = examine(examiner, solved())
    assert marked.points == marked.of
    assert marked.notes == ()


def test_a_blank_workbook_earns_nothing_and_says_no_answer(examiner):
    marked = examine(examiner, blank())
    assert marked.points == 0
    assert {one.verdict.outcome for one in marked.answers} == {Outcome.NO_ANSWER}


@pytest.mark.parametrize("name", NAMES)
def test_a_misconception_is_named_and_only_a_public_case_is_shown(examiner, name):
    public = {repr(question.arguments) for question in item("1.1").public}
    wrong = source_of(item("1.1").misconceptions[name], "read_word")
    verdict = first(examiner, solved(answer_1_1=wrong)).verdict
    assert verdict.misconception == name
    assert verdict.points < FULL
    assert verdict.first_wrong is None or repr(verdict.first_wrong.arguments) in public


@pytest.mark.parametrize(
    ("source", "outcome"),
    [
        ("def read_word(data, offset):\n    return nothing_here\n", Outcome.ERROR),
        ("def read_word(data, offset)\n    return 1\n", Outcome.ERROR),
        ("def read_words(data, offset):\n    return 1\n", Outcome.NO_ANSWER),
        ("read_word = 5\n", Outcome.ERROR),
        ("while True: pass\n", Outcome.NO_ANSWER),
        ("def read_word(data, offset):\n    return object()\n", Outcome.BAD_VALUE),
        ("def read_word(data, offset):\n    return str(data[offset])\n", Outcome.BAD_VALUE),
        ("def read_word(data, offset):\n    return 12345\n", Outcome.WRONG),
        ("import os\ndef read_word(data, offset):\n    os._exit(0)\n", Outcome.ERROR),
        ("from course_lib.headers import IPv4Header\ndef read_word(data, offset):\n"
         "    return IPv4Header.parse(data)\n", Outcome.NO_ANSWER),
        ("from course_lib.headers import IPv4Header\ndef read_word(data, offset):\n    return 1\n",
         Outcome.WRONG),
    ],
)  # fmt: skip
def test_outcomes_stay_apart(examiner, source, outcome):
    assert first(examiner, solved(answer_1_1=source)).verdict.outcome is outcome


@pytest.mark.parametrize(
    "source",
    [
        "def read_word(data, offset):\n    while True: pass\n",
        "def spin():\n    while True: pass\nread_word = spin()\n",
    ],
)
def test_what_never_ends_is_out_of_time(examiner, source):
    with little_time():
        verdict = first(examiner, solved(answer_1_1=source)).verdict
    assert verdict.outcome is Outcome.OUT_OF_TIME


@pytest.mark.parametrize(
    "workbook",
    [
        pytest.param(without(solved(), "answer-1-1"), id="cell-missing"),
        pytest.param(solved(answer_1_1="def read_word(:"), id="not-python"),
        pytest.param(solved(answer_1_1="import os; os._exit(1)"), id="exits"),
        pytest.param(doubled(solved(), "answer-1-1", "x = 1"), id="doubled"),
    ],
)
def test_one_spoiled_answer_leaves_the_others_whole(examiner, workbook):
    _, *others = examine(examiner, workbook).answers
    assert all(one.verdict.outcome is Outcome.RIGHT for one in others)


ODD = {
    "prints": RIGHT + "\nprint('it works')\n",
    "warns": "import warnings\nwarnings.warn('look')\n" + RIGHT,
    "writes-to-standard-error": "import sys\nprint('hm', file=sys.stderr)\n" + RIGHT,
    "notebook-command": "%matplotlib inline\n" + RIGHT,
    "tries-it-out": RIGHT + "\nread_word(b'abcd', 0)\n",
    "runs-as-main": RIGHT + "\nif __name__ == '__main__':\n    print(read_word(b'ab', 0))\n",
    "numpy-integers": RIGHT.replace("read_word", "_plain")
    + "\nimport numpy as np\ndef read_word(data, offset):\n"
    + "    return np.uint16(_plain(data, offset))\n",
    "helper-in-the-cell": RIGHT + "\ndef helper(x):\n    return x\n",
    "type-hints-and-notes": "from __future__ import annotations\n# my notes\n" + RIGHT,
}


@pytest.mark.parametrize("name", sorted(ODD))
def test_honest_oddities_in_the_cell_cost_nothing(examiner, name):
    assert first(examiner, solved(answer_1_1=ODD[name])).verdict.points == FULL


@pytest.mark.parametrize(
    "workbook",
    [
        pytest.param(with_cell_after(solved(), "mark-1-1", "print('my own cell')"), id="own-cell"),
        pytest.param(with_cell_after(solved(), "mark-1-1", "1/0"), id="own-cell-that-fails"),
        pytest.param(with_cell_after(solved(), "mark-1-1", "while True: pass"), id="own-loop"),
        pytest.param(
            with_cell_after(
                solved(answer_1_1="def read_word(*both):\n    return my_helper(*both)\n"),
                "mark-1-1",
                RIGHT.replace("read_word", "my_helper"),
            ),
            id="helper-in-another-cell",
        ),
        pytest.param(without(solved(), "mark-1-1"), id="check-cell-deleted"),
        pytest.param(with_cell_after(without(solved(), "answer-1-1"), "mark-1-1", RIGHT),
                     id="answer-pasted-elsewhere"),
    ],
)  # fmt: skip
def test_honest_oddities_around_the_cell_cost_nothing(examiner, workbook):
    assert first(examiner, workbook).verdict.points == FULL


@pytest.mark.parametrize("other", item("1.1").others)
def test_another_algorithm_costs_nothing(examiner, other):
    source = source_of(other, "read_word")
    assert first(examiner, solved(answer_1_1=source)).verdict.points == FULL


def test_an_answer_in_words_is_for_a_person(examiner):
    workbook = solved()
    assert examine(examiner, workbook).texts == ()
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "explain-1":
            cell.source = "Because the frame is padded."
    (text,) = examine(examiner, workbook).texts
    assert (text.name, text.points) == ("explain-1", 2)


def test_two_versions_are_for_a_person_and_never_a_zero(examiner):
    one = first(examiner, doubled(solved(), "answer-1-1", "def read_word(d, o):\n    return 1\n"))
    assert one.verdict.outcome is Outcome.COULD_NOT_TELL
    assert one.verdict.points is None
    assert one.needs_person


def test_an_old_release_and_edited_checks_are_noted_and_cost_nothing(examiner):
    workbook = solved()
    workbook.metadata["hop_by_hop"]["release"] = "0123456789ab"
    for cell in workbook.cells:
        if cell.source == 'mark("1.1")':
            cell.source = "999.0"
    marked = examine(examiner, workbook)
    assert marked.points == marked.of
    assert "0123456789ab" in marked.notes[0]
    assert "1.1" in marked.notes[1]


def test_a_fault_of_ours_that_stays_is_never_a_zero(examiner, monkeypatch):
    def fails(*given, **named):
        raise RunnerError("no process to be had")

    monkeypatch.setattr(examiner_module, "run_on", fails)
    verdict = first(examiner, solved()).verdict
    assert (verdict.outcome, verdict.points) == (Outcome.COULD_NOT_TELL, None)
    assert "no process" in verdict.note


def test_the_same_seed_gives_the_same_secret_cases_and_another_seed_others():
    one, same, other = (secret_cases(item("1.1"), seed) for seed in ("a", "a", "b"))
    assert one == same
    assert one != other
