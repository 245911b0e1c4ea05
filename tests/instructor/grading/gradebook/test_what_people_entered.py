"""Points by hand, extra credit, due dates, extensions: a regrade leaves them as nbgrader would.

The gradebook is read and written through nbgrader's own interface, and its own plug-in for
late hand-ins is asked for a second opinion.
"""

import contextlib
import csv
import datetime
import os

import nbformat
import pytest
from nbgrader.api import Gradebook
from nbgrader.preprocessors import AssignLatePenalties

from classes.gradebook_dump import book_of, dump
from classes.graded_class import (
    RIGHT,
    WRONG,
    copy_of,
    only_first,
    public_only,
    with_class,
    with_mistake,
)
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, hand_in
from instructor.class_run import resumable
from instructor.release.course_folder import named_course, settings
from pages.page_reader import PageReader

pytestmark = pytest.mark.usefixtures("walls_tried_once")

# nbgrader keeps UTC without a zone
DUE = datetime.datetime(2026, 5, 4, 12, 0)
TWO_HOURS_LATE = "2026-05-04 14:00:00 UTC"
HOURLY = """
from nbgrader.plugins import LateSubmissionPlugin

class Hourly(LateSubmissionPlugin):
    def late_submission_penalty(self, student_id, score, total_seconds_late):
        return 0.25 * total_seconds_late / 3600
"""


@pytest.fixture(scope="module")
def handed_in(bare_course, tmp_path_factory):
    return with_class(
        copy_of(bare_course, tmp_path_factory.mktemp("handed-in")),
        {"alder": in_words(), "bracken": only_first(WRONG)},
    )


@pytest.fixture(scope="module")
def graded_once(handed_in, walls_tried_once, tmp_path_factory):
    course = copy_of(handed_in, tmp_path_factory.mktemp("graded"))
    grade(course)
    return course


@pytest.fixture
def course(handed_in, tmp_path):
    return copy_of(handed_in, tmp_path)


@pytest.fixture
def graded(graded_once, tmp_path):
    """Give the course after a first run: what people enter, they enter then."""
    return copy_of(graded_once, tmp_path)


def in_words(text="Because the frame is padded."):
    workbook = only_first(RIGHT)
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "explain-1":
            cell.source = text
    return workbook


def grade(course, *more):
    assert main(["grade", str(course), "--trusted", *more]) == 0


@contextlib.contextmanager
def opened(course):
    with Gradebook(book_of(course)) as book:
        yield book
        book.db.commit()


def grade_of(book, cell, student="alder"):
    return book.find_grade(cell, UNIT, UNIT, student)


def mark_by_hand(course, cell, points, extra=None):
    """Do what the gradebook's page for marking by hand does."""
    with opened(course) as book:
        one = grade_of(book, cell)
        one.manual_score, one.extra_credit, one.needs_manual_grade = points, extra, False


def seen(course, cell):
    with opened(course) as book:
        one = grade_of(book, cell)
        return one.auto_score, one.manual_score, one.extra_credit, one.needs_manual_grade


def score(course, student="alder"):
    with opened(course) as book:
        one = book.find_submission(UNIT, student)
        return one.score, one.late_submission_penalty or 0


def hand_in_late(course, when=TWO_HOURS_LATE, due=DUE):
    (course / "submitted" / "alder" / UNIT / "timestamp.txt").write_text(when)
    with opened(course) as book:
        book.update_or_create_assignment(UNIT, duedate=due)


def rule(course, text):
    with (course / "nbgrader_config.py").open("a") as config:
        config.write(text + "\n")


def test_what_was_marked_by_hand_stays_through_a_regrade(graded, monkeypatch):
    mark_by_hand(graded, "explain-1", 1.5, extra=0.5)
    mark_by_hand(graded, "mark-1-2", 4.0)  # excused: a person gives the points
    with opened(graded) as book:
        book.find_comment("explain-1", UNIT, UNIT, "alder").manual_comment = "Well seen."
    before = dump(book_of(graded))
    corrected = with_mistake(public_only(), "1.3")
    monkeypatch.setattr(resumable, "class_cases", lambda unit, seed, record: corrected)
    hand_in(graded / "submitted", "bracken", only_first(RIGHT))
    grade(graded)
    assert [row for row in dump(book_of(graded)) if row[1] == "alder"] == [
        row for row in before if row[1] == "alder"
    ]
    assert seen(graded, "explain-1") == (None, 1.5, 0.5, False)
    assert seen(graded, "mark-1-2") == (0.0, 4.0, None, False)


def test_every_view_gives_the_points_of_the_gradebook(graded, capsys):
    mark_by_hand(graded, "explain-1", 1.5)
    mark_by_hand(graded, "mark-1-2", 4.0)
    with opened(graded) as book:
        book.find_comment("explain-1", UNIT, UNIT, "alder").manual_comment = "Well <b>seen</b>."
    capsys.readouterr()
    grade(graded)
    terminal, results = capsys.readouterr().out, graded / "results"
    assert score(graded) == (7.5, 0)
    assert ["alder", "7.5"] in [line.split() for line in terminal.splitlines()]
    with (results / "scores.csv").open(newline="") as table:
        rows = [row for row in csv.DictReader(table) if row["student"] == "alder"]
    assert sum(float(row["points"]) for row in rows) == 7.5
    by_hand = [row["exercise"] for row in rows if row["note"].endswith("points given by hand")]
    assert by_hand == ["1.2", "explain-1"]
    assert {row["needs_person"] for row in rows} == {"no"}
    assert "alder,7.5,7.5,26,no" in (results / "upload.csv").read_text()
    words = PageReader((results / "feedback" / "alder.html").read_text("utf-8")).words
    assert "7.5 of 26 points. Begin with" in words
    assert "1.5 of 2 points, given by a person" in words
    assert "Comment: Well <b>seen</b>." in words
    assert "4 of 4 points, given by a person" in words
    assert "waits for a person" not in words
    report = (results / "report" / "report.html").read_text("utf-8")
    assert "alder: 7.5</title>" in report
    assert "Of 26 points there are" in report


def test_points_by_hand_count_on_where_a_corrected_check_changes_points_by_machine(
    graded, monkeypatch
):
    mark_by_hand(graded, "mark-1-1", 1.0)
    corrected = with_mistake(public_only(), "1.1")
    monkeypatch.setattr(resumable, "class_cases", lambda unit, seed, record: corrected)
    grade(graded)
    auto_score, by_hand, _, look_again = seen(graded, "mark-1-1")
    assert auto_score < 2
    assert (by_hand, look_again) == (1.0, True)


def test_a_new_answer_in_words_is_put_up_for_another_look(graded):
    mark_by_hand(graded, "explain-1", 1.5)
    hand_in(graded / "submitted", "alder", in_words("I think that it is the length."))
    grade(graded)
    assert seen(graded, "explain-1") == (None, 1.5, None, True)


def test_a_rubric_in_a_task_cell_is_left_alone(course):
    with opened(course) as book:
        book.add_task_cell("report-1", UNIT, UNIT, max_score=10, cell_type="markdown")
    grade(course)
    mark_by_hand(course, "report-1", 7.0)
    hand_in(course / "submitted", "alder", only_first(WRONG))
    grade(course)
    assert seen(course, "report-1") == (None, 7.0, None, False)


def test_without_a_rule_being_late_costs_nothing(course):
    hand_in_late(course)
    grade(course)
    assert score(course) == (2.0, 0)
    assert "2</td>" in (course / "results" / "summary.html").read_text()  # two hours late


@pytest.mark.parametrize(
    ("settings_text", "penalty"),
    [
        pytest.param("c.LateSubmissionPlugin.penalty_method = 'zero'", 2.0, id="nothing-counts"),
        pytest.param("c.AssignLatePenalties.plugin_class = 'late_rule.Hourly'", 0.5, id="own-rule"),
    ],
)
def test_the_rule_for_late_hand_ins_is_the_gradebooks_own(course, settings_text, penalty):
    (course / "late_rule.py").write_text(HOURLY)
    rule(course, settings_text)
    hand_in_late(course)
    grade(course)
    assert score(course) == (2.0, penalty)
    with (course / "results" / "upload.csv").open() as table:
        assert f"alder,{2 - penalty:g}," in table.read()


def test_the_stock_plug_in_comes_to_the_same_penalty(course):
    rule(course, "c.LateSubmissionPlugin.penalty_method = 'zero'")
    hand_in_late(course)
    grade(course)
    ours = dump(book_of(course))
    about = {"notebook": UNIT, "assignment": UNIT, "student": "alder", "db_url": book_of(course)}
    stock = AssignLatePenalties(config=settings(named_course(course)))
    stock.preprocess(nbformat.v4.new_notebook(), {"nbgrader": about})
    assert dump(book_of(course)) == ours


def test_an_extension_given_later_takes_the_penalty_off_and_runs_nothing(course, monkeypatch):
    rule(course, "c.LateSubmissionPlugin.penalty_method = 'zero'")
    hand_in_late(course)
    grade(course)
    with opened(course) as book:
        book.grant_extension(UNIT, "alder", hours=3)
    monkeypatch.setattr(resumable.ResumableRun, "cases", lambda *_: public_only())
    grade(course)
    assert score(course) == (2.0, 0)


def test_points_given_by_hand_later_count_in_the_penalty(course):
    rule(course, "c.LateSubmissionPlugin.penalty_method = 'zero'")
    hand_in_late(course)
    grade(course)
    mark_by_hand(course, "explain-1", 1.5)
    grade(course)
    assert score(course) == (3.5, 3.5)


@pytest.mark.parametrize("stamp", ["soon", "2026-99-99 00:00:00 UTC", ""])
def test_a_time_stamp_that_nobody_can_read_stops_nobody(course, stamp):
    hand_in_late(course, when=stamp)
    grade(course)
    assert score(course) == (2.0, 0)


def test_without_a_due_date_an_extension_harms_nobody(course):
    hand_in_late(course, due=None)
    grade(course)
    with opened(course) as book:
        book.grant_extension(UNIT, "alder", days=1)
    grade(course)
    assert score(course) == (2.0, 0)


@pytest.mark.parametrize(("attempts", "points"), [("last", 0.0), ("best", 2.0)])
def test_of_several_attempts_the_last_or_the_best_counts(course, attempts, points):
    folder = course / "submitted" / "alder" / UNIT
    first = folder / f"{UNIT}.ipynb"
    other = hand_in(course / "submitted", "alder", in_words()).rename(folder / "again.ipynb")
    hand_in(course / "submitted", "alder", only_first("def read_word(d, o):\n    return 0\n"))
    newest = first.stat().st_mtime + 10
    for place, path in enumerate([other, first]):
        os.utime(path, (newest + place, newest + place))
    grade(course, "--attempts", attempts)
    assert score(course)[0] == points
    assert (course / "results" / "scores.csv").read_text().count("alder,") == 7
