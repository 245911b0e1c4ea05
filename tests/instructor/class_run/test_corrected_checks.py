"""A corrected check regrades only what it touches, and says whose points changed and why."""

import csv
import functools

import pytest

from classes.gradebook_dump import book_of, contents, dump
from classes.graded_class import copy_of, public_only, with_class, with_mistake
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, hand_in, solved
from instructor.class_run import resumable
from instructor.grading.examiner import Examiner

pytestmark = pytest.mark.usefixtures("walls_tried_once")

OTHER_WORD = "def read_word(data, offset):\n    return int.from_bytes(data[offset:offset + 2])\n"
CORRECTED = "the cases of this exercise were corrected"
GRADED_WITH_A_MISTAKE = pytest.mark.parametrize("course", [True], indirect=True, ids=["mistaken"])


HAND_INS = {"alder": solved(), "bracken": solved(answer_1_1="def read_word(d, o):\n    pass\n")}


def run(course, ran, cases, *more):
    """Grade with the cases given, and tell what was run."""
    ran.write_text("")  # a file, since workers are processes of their own
    judge = Examiner._judge

    def seen(self, item, *asked):
        note(ran, item.id)
        return judge(self, item, *asked)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(resumable, "class_cases", lambda unit, seed, record: cases)
        patch.setattr(Examiner, "_judge", seen)
        assert main(["grade", str(course), "--trusted", *more]) == 0
    return sorted(ran.read_text().split())


@pytest.fixture(scope="module")
def graded(walls_tried_once, bare_course, tmp_path_factory):
    """Return a function that grades a class once with some cases; its course is to be copied."""

    @functools.cache
    def once(is_mistaken):
        folder = tmp_path_factory.mktemp("graded")
        course = with_class(copy_of(bare_course, folder), HAND_INS)
        ran = run(course, folder / "ran", first_cases(is_mistaken))
        assert ran == sorted(one for one in public_only() for _ in HAND_INS)
        return course

    return once


def first_cases(is_mistaken):
    return with_mistake(public_only()) if is_mistaken else public_only()


@pytest.fixture
def course(graded, request, tmp_path):
    """Give a class that was graded already: with a mistake in a case, where the test says so."""
    return copy_of(graded(getattr(request, "param", False)), tmp_path)


@pytest.fixture
def grade(course, tmp_path):
    """Return a function that grades it again, and tells what was run."""
    return functools.partial(run, course, tmp_path / "ran")


def note(path, word):
    with path.open("a") as stream:
        stream.write(f"{word}\n")


def table(course, name):
    with (course / "results" / name).open(newline="") as stream:
        return list(csv.DictReader(stream))


@GRADED_WITH_A_MISTAKE
def test_only_the_exercise_of_a_corrected_case_is_run_again(grade):
    assert grade(public_only()) == ["1.1", "1.1"]
    assert grade(public_only()) == []


@GRADED_WITH_A_MISTAKE
def test_it_is_told_whose_points_changed_and_why(course, grade):
    assert table(course, "changes.csv") == []
    grade(public_only())
    (change,) = table(course, "changes.csv")  # bracken's answer is wrong with either check
    assert (change["student"], change["exercise"], change["why"]) == ("alder", "1.1", CORRECTED)
    assert float(change["old_points"]) < float(change["new_points"]) == 2
    assert CORRECTED in (course / "results" / "summary.html").read_text()


@GRADED_WITH_A_MISTAKE
def test_the_history_keeps_every_score_that_ever_counted(course, grade):
    first = table(course, "history.csv")
    grade(public_only())
    both = table(course, "history.csv")
    assert [row for row in both if row["round"] == "1"] == first
    (new,) = [row for row in both if row["round"] == "2"]
    assert (new["student"], new["points"], new["why"]) == ("alder", "2", CORRECTED)


@GRADED_WITH_A_MISTAKE
def test_after_a_correction_all_is_as_if_the_check_had_been_right_at_once(course, grade, graded):
    grade(public_only())
    at_once = graded(False)
    assert dump(book_of(course)) == dump(book_of(at_once))
    assert contents(course / "autograded") == contents(at_once / "autograded")
    scores = (course / "results" / "scores.csv").read_bytes()
    assert scores == (at_once / "results" / "scores.csv").read_bytes()


def test_a_newer_hand_in_is_graded_anew_and_the_others_are_left_alone(course, grade):
    hand_in(course / "submitted", "bracken", solved(answer_1_1=OTHER_WORD))
    assert grade(public_only()) == sorted(public_only())
    (change,) = table(course, "changes.csv")
    assert (change["student"], change["exercise"]) == ("bracken", "1.1")
    assert change["why"] == "another version of the hand-in counts"


def test_students_are_run_again_on_request_alone(course, grade):
    assert grade(public_only(), "--again", "bracken") == sorted(public_only())
    assert table(course, "changes.csv") == []


def test_a_workbook_that_was_only_saved_again_is_not_run_again(course, grade):
    again = solved()
    for cell in again.cells:
        cell["execution_count" if cell.cell_type == "code" else "id"] = "7"
    hand_in(course / "submitted", "alder", again)
    assert grade(public_only()) == []


def test_a_gradebook_that_was_lost_is_filled_again_without_running_anything(course, grade):
    before = dump(book_of(course))
    (course / "gradebook.db").unlink()
    assert grade(public_only()) == []
    assert dump(book_of(course)) == before


def test_points_that_another_program_changed_in_the_gradebook_are_put_right(course, grade):
    from nbgrader.api import Gradebook

    before = dump(book_of(course))
    with Gradebook(book_of(course)) as book:
        book.find_grade("mark-1-1", UNIT, UNIT, "alder").auto_score = 0.0
        book.db.commit()
    assert grade(public_only()) == []
    assert dump(book_of(course)) == before
