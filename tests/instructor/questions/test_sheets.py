"""Sheets as students get them, and what comes back: meant answers count, names do not come out."""

import csv
import re

import pytest

from classes.filled_sheets import HELD, choices, hand_in_sheets, put
from classes.simulated_class import students
from course_lib.cli import main
from instructor.demo.invented_class import NAMES
from instructor.demo.invented_sheets import filled_sheet
from instructor.demo.invented_sheets import hand_in_sheets as invented_sheets
from instructor.grading.intake.intake import find_hand_ins
from instructor.questions.collected_sheets import collect
from instructor.questions.concept_bank import questions
from instructor.questions.concept_results import concept_results
from instructor.questions.read_sheets import write_what_was_read
from instructor.questions.sheets import AFTER, BEFORE, FORM_OF, SHEETS, SURVEY, sheet
from instructor.questions.survey_bank import survey
from instructor.release.workbook_files import read_workbook


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_asks_everything_once_and_tells_no_answer(name):
    made = sheet(name)
    text = "\n".join(cell.source for cell in made.cells)
    names = [cell.metadata["nbgrader"]["grade_id"] for cell in made.cells
             if "nbgrader" in cell.metadata]  # fmt: skip
    assert len(set(names)) == len(names)
    assert all(len(cell.source.split()) <= 120 for cell in made.cells)
    if name == SURVEY:
        assert len(names) == len(survey().statements) + len(survey().free)
        return
    asked = questions(FORM_OF[name])
    assert [one.partition("-")[2] for one in names] == [one.id for one in asked]
    beliefs = {choice.belief for one in asked for choice in one.choices} - {""}
    assert not [one for one in beliefs if one in repr(made)]
    assert all(set(cell.source) <= set('my_choice = ""') for cell in made.cells
               if cell.cell_type == "code")  # fmt: skip
    assert text.count("- **") == 4 * len(asked)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ('my_choice = "b"', "b"), ("my_choice = 'B'", "b"), ("my_choice = b", "b"), ("c)", "c"),
        ('my_choice = "d"  # I think', "d"), ('my_choice = ""', ""), ('my_choice = "a or b"', ""),
        ('my_choice = "e"', ""), ("import os; os._exit(1)", ""), ("", ""),
    ],
)  # fmt: skip
def test_a_letter_counts_as_it_was_meant_and_nothing_is_run(tmp_path, typed, meant):
    made = sheet(BEFORE)
    cell = next(cell for cell in made.cells if cell.cell_type == "code")
    cell.source = typed
    put(tmp_path, "rowan", made)
    asked = questions("a")[0].id
    assert collect(tmp_path).before["rowan"][asked] == meant


def test_a_class_that_learns_is_read_as_planted_without_a_name(pages, tmp_path):
    """Of 40 students 40 % are right before and 70 % after: a gain of one half."""
    hand_in_sheets(tmp_path / "in", 40)
    out = tmp_path / "out"
    written = write_what_was_read(out, collect(tmp_path / "in"))
    with (out / "concept-gain.csv").open(encoding="utf-8", newline="") as stream:
        (gain,) = csv.DictReader(stream)
    assert float(gain["gain_low"]) < 0.5 < float(gain["gain_high"])
    assert float(gain["gain"]) == pytest.approx(0.5, abs=0.05)
    assert float(gain["gain_high"]) - float(gain["gain_low"]) < 0.15
    with (out / "concept-beliefs.csv").open(encoding="utf-8", newline="") as stream:
        first = next(csv.DictReader(stream))
    assert (first["exercise"], first["misconception"]) == ("4.2", HELD)
    assert [path.name for path in written] == ["concept-test.html", "exit-survey.html"]
    for path in written:
        page = pages.PageReader(path.read_text(encoding="utf-8"))
        assert (page.badly_nested, page.dangers(), page.dangling()) == ([], [], [])
    texts = " ".join(path.read_text(encoding="utf-8") for path in out.iterdir())
    assert not [one for one in students(40) if re.search(rf"\b{one}\b", texts)]


def test_nothing_is_shown_of_fewer_than_five(pages, tmp_path):
    hand_in_sheets(tmp_path / "in", 4)
    out = tmp_path / "out"
    concept, exit_survey = write_what_was_read(out, collect(tmp_path / "in"))
    assert "No gain can be told" in pages.PageReader(concept.read_text(encoding="utf-8")).words
    page = pages.PageReader(exit_survey.read_text(encoding="utf-8"))
    assert "Nothing is shown: fewer than 5 people answered" in page.words
    assert "More time" not in page.words
    for name in ("exit-survey.csv", "concept-test.csv", "concept-beliefs.csv"):
        with (out / name).open(encoding="utf-8", newline="") as stream:
            rows = list(csv.DictReader(stream))
        for row in rows:
            figures = [row[column] for column in row if re.match(
                r"level|median|agree|before|after", column)]  # fmt: skip
            assert set(figures) == {""}


def test_a_statement_that_few_answered_is_left_out(tmp_path):
    """Six answer the survey, four of them the first statement, and four write something."""
    for number, student in enumerate(students(6)):
        levels = {one.id: 4 for one in survey().statements[number >= 4 :]}
        put(
            tmp_path / "in",
            student,
            filled_sheet(SURVEY, levels | ({"keep": "All."} if number < 4 else {})),
        )
    write_what_was_read(tmp_path / "out", collect(tmp_path / "in"))
    with (tmp_path / "out" / "exit-survey.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert (rows[0]["level_4"], rows[1]["level_4"], rows[1]["agree"]) == ("", "6", "1.0000")
    assert "All." not in (tmp_path / "out" / "exit-survey.html").read_text(encoding="utf-8")


def test_the_invented_class_learns_and_grading_leaves_its_sheets_to_whom_they_are_for(tmp_path):
    many = invented_sheets(tmp_path / "in", NAMES, 1)
    gain = concept_results(
        *(getattr(collect(tmp_path / "in"), when) for when in ("before", "after"))
    )
    assert gain.gain.low > 0.3
    assert len(collect(tmp_path / "in").survey) > 15
    put(tmp_path / "in", "rowan", read_workbook("02-checksums"))
    intake = find_hand_ins(tmp_path / "in", ["02-checksums"])
    assert [one.student for one in intake.hand_ins] == ["rowan"]
    assert intake.not_graded == ()
    assert {one.why for one in intake.beside} == {"`hopbyhop read-sheets` reads it"}
    assert len(intake.beside) == many


def test_the_commands_say_what_comes_next(tmp_path, bare_course, capsys):
    import random

    assert main(["question-sheets", str(tmp_path / "sheets")]) == 0
    assert "Next: give the first one out before the course" in " ".join(
        capsys.readouterr().out.split()
    )
    for student in students(5):
        put(
            tmp_path / "in",
            student,
            filled_sheet(AFTER, choices(random.Random(student), AFTER, 0.5)),
        )
    (tmp_path / "in" / "rowan_01.ipynb").write_text("{}", encoding="utf-8")
    put(tmp_path / "in", "iris", read_workbook("02-checksums"))
    read = ["read-sheets", str(tmp_path / "in"), "--course", str(bare_course)]
    assert main([*read, "--out", str(tmp_path / "out")]) == 0
    said = capsys.readouterr().out
    assert "after it: 5 sheets" in " ".join(said.split())
    assert "Not read: rowan_01.ipynb" in said
    assert "1 workbook left aside: `hopbyhop grade` reads them." in said
    assert "iris" not in said
    assert max(map(len, said.splitlines())) <= 80 or "/" in said
    assert main(["read-sheets", str(tmp_path / "none"), "--course", str(bare_course)]) == 1
    assert "there is no folder" in capsys.readouterr().err
