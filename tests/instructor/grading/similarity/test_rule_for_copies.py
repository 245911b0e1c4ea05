"""What a copy of the library earns is the grader's choice, and can be changed at any time."""

import csv

import pytest
from nbgrader.api import Gradebook

from classes.gradebook_dump import book_of, contents, dump
from classes.graded_class import copy_of, with_class
from course_lib.cli import main
from hand_ins.copied_code import original, reworded
from hand_ins.hand_in_files import UNIT, points_of, solved
from instructor.grading.examiner import Examiner
from instructor.grading.similarity.copies_rule import rule_of
from instructor.release.course_folder import CONFIG_FILE, CourseFolderError, named_course

pytestmark = pytest.mark.usefixtures("walls_tried_once")

COPIED = "course_lib.ip.options.split_options"
TAKEN = (
    reworded(original(COPIED))
    + """

def list_options(options):
    wanted = []
    for kind, octets in [(found.kind, found.octets) for found in split_options(options)]:
        if kind > 1:
            wanted.append((kind, octets[2:]))
    return wanted
"""
)
WHY = "copies of the library are treated by another rule"
FULL = points_of("1.5")


@pytest.fixture
def course(bare_course, tmp_path):
    class_ = {"alder": solved(), "bracken": solved(answer_1_5=TAKEN)}
    return with_class(copy_of(bare_course, tmp_path), class_)


@pytest.fixture
def grade(course, monkeypatch, tmp_path):
    """Return a function that grades, and tells how many answers were run."""
    judge, ran = Examiner._judge, tmp_path / "ran"

    def seen(self, item, *asked):
        with ran.open("a") as stream:  # a file, since workers are processes of their own
            stream.write("x")
        return judge(self, item, *asked)

    def grade(*more):
        ran.write_text("")
        assert main(["grade", str(course), "--trusted", *more]) == 0
        return len(ran.read_text())

    monkeypatch.setattr(Examiner, "_judge", seen)
    return grade


def table(course, name):
    with (course / "results" / name).open(newline="") as stream:
        return list(csv.DictReader(stream))


def points(course, student="bracken"):
    (row,) = [one for one in table(course, "scores.csv")
              if (one["student"], one["exercise"]) == (student, "1.5")]  # fmt: skip
    return float(row["points"])


def page(course, student="bracken"):
    return (course / "results" / "feedback" / f"{student}.html").read_text()


def test_by_itself_a_copy_is_listed_keeps_its_points_and_the_student_s_page_is_silent(
    course, grade
):
    grade()
    (look,) = table(course, "library.csv")
    assert (look["student"], look["exercise"], look["name"]) == ("bracken", "1.5", COPIED)
    assert float(look["share"]) > 0.9
    assert points(course) == FULL
    assert "split_options" in (course / "results" / "summary.html").read_text()
    assert COPIED not in page(course)


def test_a_change_of_the_rule_changes_the_points_of_copies_alone_and_runs_nothing(course, grade):
    assert grade() == 12
    assert grade("--library-copies", "no-points") == 0
    (change,) = table(course, "changes.csv")
    assert (change["student"], change["exercise"], change["why"]) == ("bracken", "1.5", WHY)
    assert (float(change["old_points"]), float(change["new_points"])) == (FULL, 0)
    assert (points(course), points(course, "alder")) == (0, FULL)
    assert grade("--library-copies", "no-points") == 0
    assert table(course, "changes.csv") == []


def test_the_student_reads_why(course, grade):
    grade("--library-copies", "no-points")
    assert f"The answer is a copy of {COPIED} in place of own work" in page(course)
    assert "points can be given by hand" in page(course)
    assert COPIED not in page(course, "alder")


def test_back_again_all_is_as_if_nothing_had_been(course, grade):
    grade()
    before = dump(book_of(course)), contents(course / "autograded"), page(course)
    grade("--library-copies", "no-points")
    assert grade() == 0
    assert (dump(book_of(course)), contents(course / "autograded"), page(course)) == before
    (change,) = table(course, "changes.csv")
    assert (change["new_points"], change["why"]) == (f"{FULL:g}", WHY)


def test_whichever_rule_comes_first_the_outcome_is_the_same(course, grade):
    kept = [course / name for name in ("grading-record.db", "gradebook.db")]
    before = [path.read_bytes() for path in kept]
    grade()
    grade("--library-copies", "no-points")
    later = (course / "results" / "scores.csv").read_bytes(), dump(book_of(course))
    for path, octets in zip(kept, before, strict=True):
        path.write_bytes(octets)
    assert grade("--library-copies", "no-points") == 12
    assert ((course / "results" / "scores.csv").read_bytes(), dump(book_of(course))) == later


def test_points_that_a_person_gave_stay(course, grade):
    grade("--library-copies", "no-points")
    with Gradebook(book_of(course)) as book:
        one = book.find_grade("mark-1-5", UNIT, UNIT, "bracken")
        one.manual_score, one.needs_manual_grade = 3.0, False
        book.db.commit()
    grade("--library-copies", "no-points")
    with Gradebook(book_of(course)) as book:
        assert book.find_grade("mark-1-5", UNIT, UNIT, "bracken").score == 3.0


def test_the_rule_can_stand_in_the_course_folder_and_the_command_line_wins(course, grade):
    with (course / CONFIG_FILE).open("a") as stream:
        stream.write('\nc.HopByHop.library_copies = "no-points"\n')
    grade()
    assert points(course) == 0
    grade("--library-copies", "look")
    assert points(course) == FULL


def test_a_rule_that_is_unknown_is_refused_with_those_there_are(course, capsys):
    (course / CONFIG_FILE).write_text('c = get_config()\nc.HopByHop.library_copies = "none"\n')
    with pytest.raises(CourseFolderError, match="'look' or 'no-points'"):
        rule_of(named_course(course))
    assert main(["grade", str(course), "--trusted"]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert "c.HopByHop.library_copies = 'none'" in said
