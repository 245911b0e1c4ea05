"""A hand-in that is new to the gradebook gets the rows that the gradebook's own code would make."""

import datetime
import json
from types import SimpleNamespace

import pytest
from nbformat import from_dict
from nbgrader import api
from nbgrader.preprocessors import SaveAutoGrades
from sqlalchemy import inspect

from classes.gradebook_dump import book_of
from classes.graded_class import CLASS, copy_of, with_class
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, blank, hand_in
from instructor.grading.gradebook import writer as gradebook
from instructor.grading.gradebook.marked_workbook import as_text
from instructor.release.gradebook_tools import open_gradebook

pytestmark = pytest.mark.usefixtures("walls_tried_once")

KINDS = (
    api.Student, api.SubmittedAssignment, api.SubmittedNotebook, api.Grade, api.Comment,
)  # fmt: skip
DUE = datetime.datetime(2026, 5, 4, 12, 0)
STAMPS = {"alder": "2026-05-04 14:00:00 UTC", "bracken": "2026-05-04 09:00:00 +0200"}
PENALTY = """
from nbgrader.plugins import LateSubmissionPlugin

class Hourly(LateSubmissionPlugin):
    def late_submission_penalty(self, student_id, score, total_seconds_late):
        return 0.25 * total_seconds_late / 3600
"""


@pytest.fixture(params=["nothing is due", "some are late"])
def course(bare_course, tmp_path, request):
    course = with_class(copy_of(bare_course, tmp_path))
    for student, stamp in STAMPS.items():
        (course / "submitted" / student / UNIT / "timestamp.txt").write_text(stamp)
    if request.param == "some are late":
        (course / "hourly.py").write_text(PENALTY)
        with (course / "nbgrader_config.py").open("a") as config:
            config.write("c.AssignLatePenalties.plugin_class = 'hourly.Hourly'\n")
        with open_gradebook(book_of(course)) as book:
            book.update_or_create_assignment(UNIT, duedate=DUE)
    return course


def rows(course):
    """Return every column of every row that a hand-in has, but for the random keys."""
    with open_gradebook(book_of(course)) as book:
        return sorted(row(one) for kind in KINDS for one in book.db.query(kind))


def row(one):
    columns = inspect(type(one)).columns
    values = [f"{column.key}={getattr(one, column.key)!r}" for column in columns
              if column.key != "id" and not column.foreign_keys]  # fmt: skip
    whose = getattr(one, "student", one)
    return type(one).__name__, whose.id, getattr(one, "name", ""), *values


def in_words():
    """Return a workbook in which nothing but an answer in words was written."""
    workbook = blank()
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "explain-1":
            cell.source = "The octets of a word stand in the order in which they came."
    return workbook


def stock_points(cells, released, workbook, marked):
    """Let nbgrader's own code read the points off the marked workbook."""
    stand_in = SimpleNamespace(
        find_grade=lambda name, *_: cells.grades[name],
        find_comment=lambda name, *_: cells.comments[name],
        db=SimpleNamespace(commit=lambda: None),
    )
    saver = SaveAutoGrades()
    saver.gradebook, saver.student_id = stand_in, marked.student
    saver.notebook_id = saver.assignment_id = marked.unit
    for cell in from_dict(json.loads(as_text(workbook))).cells:
        if "nbgrader" in cell.metadata:
            saver.preprocess_cell(cell, {}, 0)
    for one in marked.answers:
        if one.needs_person:  # the gradebook's code knows no such thing
            grade = cells.grades[one.verdict.exercise.mark_name]
            grade.auto_score, grade.needs_manual_grade = None, True


def test_all_ways_make_the_same_rows(course, tmp_path, monkeypatch):
    """New to the gradebook or not, and with points that its own code reads off the workbook."""
    hand_in(course / "submitted", "gorse", in_words())
    other = copy_of(course, tmp_path / "other")
    assert main(["grade", str(course), "--trusted"]) == 0
    monkeypatch.setattr(gradebook, "read_unit_cells", lambda book, unit: None)
    monkeypatch.setattr(gradebook, "enter_points", stock_points)
    assert main(["grade", str(other), "--trusted"]) == 0
    assert rows(course) == rows(other)
    assert {one[1] for one in rows(course)} == set(CLASS) - {"dill"}


def test_who_is_late_for_the_first_time_loses_what_the_rule_says(course):
    with open_gradebook(book_of(course)) as book:
        due = book.find_assignment(UNIT).duedate
    assert main(["grade", str(course), "--trusted"]) == 0
    with open_gradebook(book_of(course)) as book:
        lost = book.find_submission(UNIT, "alder").late_submission_penalty or 0.0
        assert lost == (0.5 if due else 0.0)
        assert not book.find_submission(UNIT, "bracken").late_submission_penalty
