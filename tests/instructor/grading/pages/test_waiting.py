"""One number for what waits for a person: what counts, and that every page gives the same."""

import re
from dataclasses import replace

import pytest
from rich.console import Console

from course_lib.exercises.verdict import Outcome
from instructor.class_run.class_results import Graded
from instructor.class_run.grade_class import shown_grade
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import TextAnswer
from instructor.grading.pages.feedback_pages import write_feedback_page
from instructor.grading.pages.summary_page import Summary, write_summary
from instructor.grading.pages.waiting import waiting
from instructor.reporting.report_pages import Beside, write_report

pytestmark = pytest.mark.usefixtures("own_wording")


def total(made, student, *cells):
    return Total(student, made.UNIT, 1, 2, 0, 0, cells)


def a_class(made, *, undecided=False, refused=False, text=False):
    """Make a class of one whose hand-in has what is asked for."""
    outcome = Outcome.COULD_NOT_TELL if undecided else Outcome.RIGHT
    one = made.hand_in("alder", made.answer(made.WORD, outcome, note="two cells"))
    if text:
        one = replace(one, texts=(TextAnswer("explain-1", 3.0),))
    return made.batch([one], [made.refused("x.ipynb", "empty", "birch")] if refused else [])


CASES = [
    ({}, (), 0),
    ({"refused": True}, (), 1),
    ({"undecided": True}, ("mark-1-1",), 1),
    ({"undecided": True}, (), 0),
    ({"text": True}, ("explain-1",), 1),
    ({"text": True}, (), 0),
    ({}, ("mark-1-1",), 1),
    ({"undecided": True, "refused": True, "text": True}, ("explain-1", "mark-1-1"), 3),
]
IDS = ["nothing", "a file", "an answer", "an answer that a person marked", "a text",
       "a text that a person marked", "a marked cell that has changed", "one of each"]  # fmt: skip


@pytest.mark.parametrize(("holds", "cells", "things"), CASES, ids=IDS)
def test_the_gradebook_says_what_waits_still(made, holds, cells, things):
    result = a_class(made, **holds)
    assert waiting(result, [total(made, "alder", *cells)]).things == things


def test_without_a_gradebook_what_nobody_could_tell_waits(made):
    assert waiting(a_class(made, undecided=True), ()).things == 1


def number(words, pattern):
    found = {int(one) for one in re.findall(pattern, words)}
    assert len(found) <= 1, "two numbers for one thing"
    return found.pop() if found else 0


@pytest.mark.parametrize(("holds", "cells", "things"), CASES, ids=IDS)
def test_report_summary_and_terminal_give_the_same_number(
    made, pages, tmp_path, holds, cells, things
):
    result, totals = a_class(made, **holds), (total(made, "alder", *cells),)
    summary = Summary(result, totals, (), ())
    write_summary(tmp_path / "summary.html", summary)
    report = write_report(tmp_path / "report", result, Beside(totals))
    console = Console(record=True, width=200)
    shown_grade(console, Graded(result, summary, *[tmp_path] * 5))
    pattern = r"(\d+) things? waits? for a person"
    texts = {
        "report": pages.PageReader(report.read_text("utf-8")).words,
        "summary": pages.PageReader((tmp_path / "summary.html").read_text("utf-8")).words,
        "terminal": console.export_text(),
    }
    reversed_order = r"things? waits? for a person (\d+)"  # a term, then its number
    assert number(texts["terminal"], pattern) == things
    assert number(texts["summary"], rf"{pattern}: ") == things
    for name in ("report", "summary"):
        assert number(texts[name], reversed_order) == things


@pytest.mark.parametrize(
    ("cells", "is_named"), [(("explain-1", "mark-1-1"), True), ((), False)],
    ids=["it waits", "a person has marked it"],
)  # fmt: skip
def test_a_student_is_told_of_what_waits_and_of_nothing_else(
    made, pages, tmp_path, cells, is_named
):
    result = a_class(made, undecided=True, text=True)
    path = write_feedback_page(tmp_path, "alder", result.marked, [], [total(made, "alder", *cells)])
    words = pages.PageReader(path.read_text(encoding="utf-8")).words
    assert ("What still waits for a person" in words) is is_named
    assert ("still to be decided" in words) is is_named
    assert ("your answer in words" in words) is is_named
