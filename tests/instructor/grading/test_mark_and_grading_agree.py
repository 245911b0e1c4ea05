"""Notebooks that are odd and mean well: `mark` and grading see the same, and it is right.

Each notebook is marked as a student does it, and graded as a hand-in, from the same octets.
"""

import copy
import json

import pytest

from classes.graded_class import SEED, without_beliefs
from course_lib.exercises.feedback import feedback
from course_lib.exercises.registry import exercise
from course_lib.exercises.tried_answer import mark_cells
from course_lib.exercises.verdict import Outcome, without_run
from hand_ins.hand_in_files import blank, solved
from hand_ins.own_styles import OddStyle, styles, workbook_of
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.marked import MarkedAnswer
from instructor.release.workbook_files import grade_name
from instructor.units.items import item, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

SUMS = "02-checksums"
STYLES = styles()


@pytest.fixture(scope="module")
def examiners():
    made = {}

    def examiner(unit):
        if unit not in made:
            made[unit] = Examiner(unit, SEED, None, without_beliefs(unit))
        return made[unit]

    return examiner


@pytest.fixture
def both(examiners):
    """Return a function that marks and grades one exercise of a workbook."""

    def tried(exercise_id, workbook):
        one = exercise(exercise_id)
        notebook = read_notebook(json.dumps(workbook).encode())
        marked = mark_cells(one, notebook.code, notebook.above(one.mark_name))
        examiner = examiners(one.unit)
        others = {
            other.id: MarkedAnswer(without_run(other, Outcome.NO_ANSWER), "")
            for other in examiner._items if other.id != exercise_id
        }  # fmt: skip
        graded = examiner.examine(HandIn("alder", one.unit, None, notebook), others)
        (answer,) = (a for a in graded.answers if a.verdict.exercise.id == exercise_id)
        return marked, answer

    return tried


def right(exercise_id):
    """Return the model answer's source."""
    return source_of(item(exercise_id).answer, exercise(exercise_id).function)


@pytest.mark.parametrize("name", STYLES)
def test_an_odd_style_earns_all_points(both, name):
    one = STYLES[name]
    marked, graded = both(one.exercise, workbook_of(one))
    assert marked.verdict.outcome is Outcome.RIGHT, feedback(marked.verdict).seen
    assert graded.verdict.outcome is Outcome.RIGHT, graded.verdict.note
    assert set(marked.notes) <= set(graded.notes)


def with_names_swapped(workbook, one, other):
    """Let two answer cells have each other's name."""
    swapped = copy.deepcopy(workbook)
    names = {one: other, other: one}
    for cell in swapped.cells:
        if grade_name(cell) in names:
            cell.metadata["nbgrader"]["grade_id"] = names[grade_name(cell)]
    return swapped


def with_answers_swapped(workbook, one, other):
    """Let two answer cells have each other's source."""
    swapped = copy.deepcopy(workbook)
    cells = {grade_name(cell): cell for cell in swapped.cells}
    cells[one].source, cells[other].source = cells[other].source, cells[one].source
    return swapped


def named_twice(workbook, name, other):
    """Give one cell the name of another, as when a cell is copied and filled anew."""
    twice = copy.deepcopy(workbook)
    for cell in twice.cells:
        if grade_name(cell) == other:
            cell.metadata["nbgrader"]["grade_id"] = name
    return twice


TWO, FOLD = right("2.2"), right("2.1")
SCRATCH = "len = 3; max = [4]; list = (1, 2); str = 'x'\nsum = 0\nfor i in range(9): sum += i"
USES_SUM = """
def header_checksum(packet):
    data = list(packet[:4 * (packet[0] & 15)])
    data[10:12] = [0, 0]
    pairs = [data[place:place + 2] for place in range(0, len(data), 2)]
    total = sum(map(join, pairs))
    while len(hex(total)) > 6:
        total = (total & 0xFFFF) + (total >> 16)
    return max(0xFFFF - total, 0)
"""
JOIN = "def join(pair):\n    return pair[0] << 8 | pair[1]\n"
OTHER_JOIN = "def join(names):\n    return ', '.join(names)\n"
PRINTS = "\nfrom builtins import print as say\nflood = 'x' * 2 ** 20\n"
FLOODS = TWO.replace("def header_checksum", "def quiet") + PRINTS + (
    "def header_checksum(packet):\n"
    "    for _ in range(50): say(flood)\n    return quiet(packet)\n"
)  # fmt: skip

UNLUCKY = [
    pytest.param("2.2", workbook_of(OddStyle("2.2", USES_SUM, (JOIN, SCRATCH))), id="names-above"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", USES_SUM, (JOIN,), (SCRATCH,))),
                 id="names-between"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", USES_SUM, (JOIN,), (), (SCRATCH,))),
                 id="names-below"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", USES_SUM, (OTHER_JOIN, JOIN), (),
                                             (OTHER_JOIN,))), id="two-helpers-of-one-name"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", "# see the next cell", (), (TWO,))),
                 id="a-comment-and-then-the-answer"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", USES_SUM.replace("while len", "while more"), (),
                                             (JOIN, "def more(text): return text > 6",
                                              USES_SUM))), id="split-and-written-again"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", "class Part:\n    field = 10, 12", (), (
        JOIN, USES_SUM.replace("10:12", "slice(*Part.field)")))), id="split-over-cells"),
    pytest.param("2.1", with_names_swapped(solved(SUMS), "answer-2-1", "answer-2-2"),
                 id="names-of-cells-swapped"),
    pytest.param("2.2", with_names_swapped(solved(SUMS), "answer-2-1", "answer-2-2"),
                 id="names-of-cells-swapped-other"),
    pytest.param("2.1", with_answers_swapped(solved(SUMS), "answer-2-1", "answer-2-4"),
                 id="answers-swapped"),
    pytest.param("2.4", with_answers_swapped(solved(SUMS), "answer-2-1", "answer-2-4"),
                 id="answers-swapped-other"),
    pytest.param("2.1", named_twice(solved(SUMS), "answer-2-1", "answer-2-6"), id="name-twice"),
    pytest.param("2.6", named_twice(solved(SUMS), "answer-2-1", "answer-2-6"), id="name-lost"),
    pytest.param("2.2", workbook_of(OddStyle("2.2", FLOODS)), id="a-gigabyte-of-prints"),
]  # fmt: skip


@pytest.mark.parametrize(("exercise_id", "workbook"), UNLUCKY)
def test_bad_luck_costs_no_point(both, exercise_id, workbook):
    marked, graded = both(exercise_id, workbook)
    assert marked.verdict.outcome is Outcome.RIGHT, feedback(marked.verdict).seen
    assert graded.verdict.outcome is Outcome.RIGHT, graded.verdict.note


NOTHING = [
    pytest.param(blank(SUMS), "still stands as it was handed out", id="as-handed-out"),
    pytest.param(workbook_of(OddStyle("2.2", "x = 1")), "No cell defines header_checksum",
                 id="worked-on-and-nothing-defined"),
    pytest.param(workbook_of(OddStyle("2.2", TWO.replace("header_checksum", "header_sum"))),
                 "No cell defines header_checksum", id="another-name"),
    pytest.param(workbook_of(OddStyle("2.2", "from course_lib.checksum import checksum\n"
                                      "def header_checksum(p): return checksum(p)")),
                 "The answer uses course_lib.checksum.checksum", id="borrowed"),
]  # fmt: skip


@pytest.mark.parametrize(("workbook", "said"), NOTHING)
def test_where_there_is_no_answer_both_say_so_in_the_same_words(both, workbook, said):
    marked, graded = both("2.2", workbook)
    assert marked.verdict.outcome is graded.verdict.outcome is Outcome.NO_ANSWER
    assert said in feedback(marked.verdict).seen
    assert said in feedback(graded.verdict).seen


def test_a_cell_that_was_emptied_is_no_answer_and_not_taken_for_untouched(both):
    marked, graded = both("2.2", workbook_of(OddStyle("2.2", "")))
    assert marked.verdict.outcome is graded.verdict.outcome is Outcome.NO_ANSWER
    assert feedback(marked.verdict).seen.startswith("No cell defines header_checksum")
    assert feedback(graded.verdict).seen == "The cell answer-2-2 is empty."
