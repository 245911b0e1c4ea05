"""A corrected check regrades only what it touches, and says whose points changed and why."""

import csv

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


@pytest.fixture
def course(bare_course, tmp_path):
    class_ = {"alder": solved(), "bracken": solved(answer_1_1="def read_word(d, o):\n    pass\n")}
    return with_class(copy_of(bare_course, tmp_path), class_)


@pytest.fixture
def grade(course, monkeypatch, tmp_path):
    """Return a function that grades with the cases given, and tells what was run."""

    def grade(cases, *more):
        ran = tmp_path / "ran"  # a file, since workers are processes of their own
        ran.write_text("")
        judge = Examiner._judge

        def seen(self, item, *asked):
            note(ran, item.id)
            return judge(self, item, *asked)

        with monkeypatch.context() as patch:
            patch.setattr(resumable, "class_cases", lambda unit, seed, record: cases)
            patch.setattr(Examiner, "_judge", seen)
            assert main(["grade", str(course), "--trusted", *more]) == 0
        return sorted(ran.read_text().split())

    return grade


def note(path, word):
    with path.open("a") as stream:
        stream.write(f"{word}\n")


def table(course, name):
    with (course / "results" / name).open(newline="") as stream:
        return list(csv.DictReader(stream))


def test_only_the_exercise_of_a_corrected_case_is_run_again(course, grade):
    ran = grade(with_mistake(public_only()))
    assert ran == sorted(one for one in public_only() for _ in ("alder", "bracken"))
    assert grade(public_only()) == ["1.1", "1.1"]
    assert grade(public_only()) == []


def test_it_is_told_whose_points_changed_and_why(course, grade):
    grade(with_mistake(public_only()))
    assert table(course, "changes.csv") == []
    grade(public_only())
    (change,) = table(course, "changes.csv")  # bracken's answer is wrong with either check
    assert (change["student"], change["exercise"], change["why"]) == ("alder", "1.1", CORRECTED)
    assert float(change["old_points"]) < float(change["new_points"]) == 2
    assert CORRECTED in (course / "results" / "summary.html").read_text()


def test_the_history_keeps_every_score_that_ever_counted(course, grade):
    grade(with_mistake(public_only()))
    first = table(course, "history.csv")
    grade(public_only())
    both = table(course, "history.csv")
    assert [row for row in both if row["round"] == "1"] == first
    (new,) = [row for row in both if row["round"] == "2"]
    assert (new["student"], new["points"], new["why"]) == ("alder", "2", CORRECTED)


def test_after_a_correction_all_is_as_if_the_check_had_been_right_at_once(
    course, grade, bare_course, tmp_path
):  # fmt: skip
    grade(with_mistake(public_only()))
    grade(public_only())
    corrected = dump(book_of(course)), contents(course / "autograded")
    scores = (course / "results" / "scores.csv").read_bytes()
    (course / "grading-record.db").unlink()
    (course / "gradebook.db").unlink()
    grade(public_only())
    assert (dump(book_of(course)), contents(course / "autograded")) == corrected
    assert (course / "results" / "scores.csv").read_bytes() == scores


def test_a_newer_hand_in_is_graded_anew_and_the_others_are_left_alone(course, grade):
    grade(public_only())
    hand_in(course / "submitted", "bracken", solved(answer_1_1=OTHER_WORD))
    assert grade(public_only()) == sorted(public_only())
    (change,) = table(course, "changes.csv")
    assert (change["student"], change["exercise"]) == ("bracken", "1.1")
    assert change["why"] == "another version of the hand-in counts"


def test_students_are_run_again_on_request_alone(course, grade):
    grade(public_only())
    assert grade(public_only(), "--again", "bracken") == sorted(public_only())
    assert table(course, "changes.csv") == []


def test_a_workbook_that_was_only_saved_again_is_not_run_again(course, grade):
    grade(public_only())
    again = solved()
    for cell in again.cells:
        cell["execution_count" if cell.cell_type == "code" else "id"] = "7"
    hand_in(course / "submitted", "alder", again)
    assert grade(public_only()) == []


def test_a_gradebook_that_was_lost_is_filled_again_without_running_anything(course, grade):
    grade(public_only())
    before = dump(book_of(course))
    (course / "gradebook.db").unlink()
    assert grade(public_only()) == []
    assert dump(book_of(course)) == before


def test_points_that_another_program_changed_in_the_gradebook_are_put_right(course, grade):
    from nbgrader.api import Gradebook

    grade(public_only())
    before = dump(book_of(course))
    with Gradebook(book_of(course)) as book:
        book.find_grade("mark-1-1", UNIT, UNIT, "alder").auto_score = 0.0
        book.db.commit()
    assert grade(public_only()) == []
    assert dump(book_of(course)) == before
