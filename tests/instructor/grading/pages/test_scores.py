"""The table of scores: stable columns, a row for everybody, nothing a spreadsheet would run."""

import csv
from pathlib import Path

from course_lib.exercises.registry import exercise
from course_lib.exercises.verdict import Outcome, without_run
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.pages.scores import COLUMNS, write_scores

ITEM = exercise("1.1")


def rows(tmp_path, *marked, refused=()):
    path = tmp_path / "scores.csv"
    write_scores(path, BatchResult(tuple(marked), tuple(refused)))
    with path.open(newline="") as stream:
        return list(csv.DictReader(stream))


def marked(student, verdict, *notes):
    return MarkedHandIn(student, ITEM.unit, (MarkedAnswer(verdict, ""),), notes)


def test_columns_never_change():
    assert COLUMNS == (
        "student", "unit", "exercise", "title", "outcome", "misconception",
        "points", "max_points", "needs_person", "note",
    )  # fmt: skip


def test_points_that_nobody_could_tell_are_empty_and_not_zero(tmp_path):
    verdict = without_run(ITEM, Outcome.COULD_NOT_TELL, "why", points=None)
    (row,) = rows(tmp_path, marked("alder", verdict))
    assert (row["points"], row["needs_person"]) == ("", "yes")


def test_a_file_that_could_not_be_graded_has_its_row(tmp_path):
    (row,) = rows(tmp_path, refused=[NotGraded(Path("x.ipynb"), "the file is empty", "dill")])
    assert (row["student"], row["outcome"], row["points"]) == ("dill", "damaged", "")
    assert "empty" in row["note"]


def test_formulas_are_made_harmless(tmp_path):
    verdict = without_run(ITEM, Outcome.NO_ANSWER)
    (row,) = rows(tmp_path, marked("=1+1", verdict, '=HYPERLINK("x")'))
    assert row["student"] == "'=1+1"
    assert row["note"].startswith("'=")
