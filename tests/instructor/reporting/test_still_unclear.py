"""The answers to the last question of each workbook: found wherever in its part they were typed."""

from pathlib import Path

import nbformat
import pytest

from course_lib.exercises.registry import all_exercises
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import Cell, Notebook, read_notebook
from instructor.release.workbook_files import read_workbook
from instructor.reporting.still_unclear import HEADING, LONGEST, answers_of_class, words_below

UNITS = sorted({one.unit for one in all_exercises()})
QUESTION = f"{HEADING}\n\nWhat is still unclear? One sentence.\n\n*Write here.*"
HANDED_OUT = frozenset(line for line in [*QUESTION.splitlines(), "**Next time:** more"] if line)


def below(*cells):
    return words_below([Cell(*one) for one in cells], HANDED_OUT)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ([("markdown", "", QUESTION)], ""),
        ([("markdown", "", QUESTION.replace("*Write here.*", "Why 8?"))], "Why 8?"),
        ([("markdown", "", QUESTION + " Why 8?")], "Why 8?"),
        ([("markdown", "", QUESTION + "\n\nWhy 8?\nWhy not 4?")], "Why 8? Why not 4?"),
        ([("markdown", "", QUESTION), ("markdown", "", "Why 8?")], "Why 8?"),
        ([("markdown", "", "Why 8?"), ("markdown", "", QUESTION)], ""),
        ([("markdown", "", QUESTION), ("code", "", "why = 8"), ("markdown", "", "**Next**")], ""),
        ([("markdown", "", QUESTION), ("markdown", "", "**Next time:** more")], ""),
        ([("markdown", "", "no such heading")], ""),
        ([], ""),
    ],
    ids=["untouched", "in its place", "behind the hint", "below", "in a cell of its own", "above",
         "behind code", "what was handed out", "the heading is gone", "no cells"],
)  # fmt: skip
def test_what_was_typed_below_the_heading_is_the_answer(cells, words):
    assert below(*cells) == words


def test_a_long_answer_is_cut_and_says_so():
    words = below(("markdown", "", f"{QUESTION}\n\n{'why ' * 500}"))
    assert len(words) == LONGEST
    assert words.endswith("…")


def handed_in(student, unit, text):
    """Type a text over the last hint of a real workbook."""
    workbook = read_workbook(unit)
    cell = [one for one in workbook.cells if one.source.strip().endswith("*")][-1]
    cell.source = cell.source.rpartition("*Write here")[0] + text
    octets = nbformat.writes(workbook).encode()
    return HandIn(student, unit, Path(f"{student}.ipynb"), read_notebook(octets))


@pytest.mark.parametrize("unit", UNITS)
def test_every_workbook_asks_and_its_answers_are_found(unit):
    found = answers_of_class([
        handed_in("alder", unit, "Why does it count words?"),
        handed_in("birch", unit, "why does it count WORDS?"),
        handed_in("cedar", unit, "What is a carry, and where does it go in the end?"),
        handed_in("daisy", unit, "-"),
        HandIn("elder", unit, Path("e"), Notebook((), unit, "")),
    ])  # fmt: skip
    assert [(one.text, one.who) for one in found] == [
        ("Why does it count words?", ("alder", "birch")),
        ("What is a carry, and where does it go in the end?", ("cedar",)),
    ]


@pytest.mark.parametrize("unit", UNITS)
def test_a_workbook_as_it_was_handed_out_has_no_answer(unit):
    octets = nbformat.writes(read_workbook(unit)).encode()
    assert answers_of_class([HandIn("alder", unit, Path("a"), read_notebook(octets))]) == ()
