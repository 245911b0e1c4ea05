"""A right answer that leans on a wrong one is not marked down for that, and keeps secrets."""

import json

import pytest

from course_lib.exercises.feedback import feedback
from course_lib.exercises.verdict import Outcome, without_run
from course_lib.runner.answer_process import start_here
from hand_ins.hand_in_files import blank
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.marked import MarkedAnswer
from instructor.release.workbook_files import with_answers
from instructor.units.items import all_items
from instructor.units.ours_in_place import with_ours

SUMS = "02-checksums"
WRONG_FOLD = "def fold(total):\n    return total & 0xFFFF\n"
LEANS = """
def header_checksum(packet):
    data = packet[:10] + bytes(2) + packet[12:4 * (packet[0] & 15)]
    return 0xFFFF - fold(sum(data[::2]) * 256 + sum(data[1::2]))
"""
TELLS = """
def header_checksum(packet):
    if packet[0] & 15 == 5:
        data = packet[:10] + bytes(2) + packet[12:20]
        return 0xFFFF - fold(sum(data[::2]) * 256 + sum(data[1::2]))
    return repr(fold.__code__.co_consts), repr(fold.__code__.co_names)
"""
SAID = "marked with our 2.1 in place of yours"


@pytest.fixture(scope="module")
def with_launcher():
    return Examiner(SUMS, "a seed", start_here)


def examined(examiner, workbook, known=(), wanted=("2.1", "2.2")):
    """Examine some exercises of a workbook; return their marks by id."""
    notebook = read_notebook(json.dumps(workbook).encode())
    left_out = {
        one.id: MarkedAnswer(without_run(one, Outcome.NO_ANSWER), "")
        for one in examiner._items if one.id not in wanted
    }  # fmt: skip
    marked = examiner.examine(HandIn("alder", SUMS, None, notebook), {**left_out, **dict(known)})
    return {one.verdict.exercise.id: one for one in marked.answers if
            one.verdict.exercise.id in wanted}  # fmt: skip


def leaning(answer=LEANS, fold=WRONG_FOLD):
    return with_answers(blank(SUMS), {"answer-2-1": fold, "answer-2-2": answer})


@pytest.mark.parametrize("fold", [WRONG_FOLD, "def fold(total):\n    raise NotImplementedError\n"])
def test_a_right_answer_on_a_wrong_one_earns_all_its_points_and_the_student_is_told(
    with_launcher, fold
):
    marks = examined(with_launcher, leaning(fold=fold))
    assert marks["2.1"].verdict.points < marks["2.1"].verdict.exercise.points
    assert marks["2.2"].verdict.outcome is Outcome.RIGHT
    assert SAID in " ".join(marks["2.2"].notes)


def test_without_a_sandbox_ours_is_never_handed_out():
    marks = examined(Examiner(SUMS, "a seed", None), leaning())
    assert marks["2.2"].verdict.outcome is not Outcome.RIGHT
    assert SAID not in " ".join(marks["2.2"].notes)


OWN_SLIP = LEANS.replace("0xFFFF - fold", "fold")
OWN_FOLD = f"{WRONG_FOLD}\n{LEANS}"


@pytest.mark.parametrize("answer", [OWN_SLIP, OWN_FOLD, "def header_checksum(packet): return 7"])
def test_what_is_wrong_by_itself_stays_so(with_launcher, answer):
    marks = examined(with_launcher, leaning(answer))
    assert marks["2.2"].verdict.outcome is not Outcome.RIGHT
    assert SAID not in " ".join(marks["2.2"].notes)


def test_nothing_that_an_answer_says_beside_ours_is_shown(with_launcher):
    mark = examined(with_launcher, leaning(TELLS))["2.2"]
    alone = examined(Examiner(SUMS, "a seed", None), leaning(TELLS))["2.2"]
    assert mark.verdict.points > alone.verdict.points  # so it did run beside ours
    assert mark.verdict.seen == alone.verdict.seen
    words = feedback(mark.verdict)
    assert (words.seen, words.note) == (feedback(alone.verdict).seen, feedback(alone.verdict).note)


def test_what_is_known_is_asked_again_where_it_leans_on_what_is_not(with_launcher):
    before = examined(with_launcher, leaning())
    kept = {"2.2": before["2.2"]}
    marks = examined(with_launcher, leaning(), kept)
    assert marks["2.2"] is not kept["2.2"]
    plain = examined(with_launcher, leaning(OWN_FOLD), kept)
    assert plain["2.2"] is kept["2.2"]


@pytest.mark.parametrize("one", all_items(), ids=lambda one: one.exercise.id)
def test_ours_can_be_put_into_anybody_s_cells(one):
    (source, *_) = with_ours(["x = 1"], [one.exercise])
    space = {}
    exec(source, space)
    assert [name for name in space if name != "__builtins__"] == [
        f"_ours_{one.exercise.function}", one.exercise.function,
    ]  # fmt: skip
