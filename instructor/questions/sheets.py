"""The workbooks in which a class answers: concept test before and after, and the exit survey.

They are made from the questions alone; which choice is right is not in them. An answer is what
stands in a cell of its own, so a sheet needs no kernel, and nothing in it is ever run by us.
"""

__all__ = ["AFTER", "BEFORE", "SHEETS", "SURVEY", "cell_of", "sheet", "write_sheets"]

import json
from collections.abc import Iterator
from pathlib import Path

import nbformat
from nbformat import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from course_lib.exercises.whole_file import write_whole
from instructor.grading.intake.hand_ins import QUESTION_SHEETS as SHEETS
from instructor.questions.concept_bank import Form, questions
from instructor.questions.survey_bank import survey

BEFORE, AFTER, SURVEY = SHEETS
FORM_OF: dict[str, Form] = {BEFORE: "a", AFTER: "b"}
NO_CHOICE, NO_LEVEL = 'my_choice = ""', "my_level = 0"
WRITE_HERE = "*Write here, or leave it empty.*"
TEST = """\
# Questions {when} the course

{count} questions, about {minutes} minutes. They earn no points: they show the class and those who
teach it what is known {when} the course.

Type the letter of your choice between the quotation marks, as in `my_choice = "b"`. You need not
run anything. Answer by yourself, without books and without a computer's help. If you do not know,
leave it empty: a guess tells us nothing.

Save the file and hand it in as you hand in a workbook."""
EXIT = """\
# Before you leave: how was it?

About five minutes. Say how far each statement is true for you, with a number from 1 to 5:
{scale}. Leave the 0 where you have no opinion.

Your answers are added up with those of the others. Nothing is shown of fewer than five, and no name
is shown at all. Whoever opens your file can see that it is yours, so write nothing that you would
not say.

Save the file and hand it in as you hand in a workbook."""
MINUTES_FOR_ONE = 1.25  # question


def write_sheets(folder: Path) -> tuple[Path, ...]:
    """Write all three into a folder; return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = tuple(folder / f"{name}.ipynb" for name in SHEETS)
    for path in paths:
        write_whole(path, nbformat.writes(sheet(path.stem)) + "\n")
    return paths


def sheet(name: str) -> NotebookNode:
    """Return one of the three as a notebook of format 4."""
    cells = list(_survey_cells() if name == SURVEY else _test_cells(name))
    for number, cell in enumerate(cells):
        cell["id"] = f"{name}-{number}"
    about = {"hop_by_hop": {"unit": name}, "kernelspec": _KERNEL, "language_info": _LANGUAGE}
    made: NotebookNode = new_notebook(cells=cells, metadata=about)
    nbformat.validate(json.loads(nbformat.writes(made)))
    return made


def cell_of(kind: str, name: str) -> str:
    """Return the name of the cell that holds an answer: a choice, a level, or words."""
    return f"{kind}-{name}"


def _test_cells(name: str) -> Iterator[NotebookNode]:
    asked = questions(FORM_OF[name])
    when = "before" if name == BEFORE else "after"
    minutes = round(MINUTES_FOR_ONE * len(asked))
    yield new_markdown_cell(TEST.format(when=when, count=len(asked), minutes=minutes))
    for number, one in enumerate(asked, 1):
        choices = "\n".join(f"- **{letter}**: {choice.text}" for letter, choice
                            in one.by_letter.items())  # fmt: skip
        yield new_markdown_cell(f"## Question {number}\n\n{one.asks}\n\n{choices}")
        yield _answer(new_code_cell(NO_CHOICE), cell_of("choice", one.id))


def _survey_cells() -> Iterator[NotebookNode]:
    asked = survey()
    scale = ", ".join(f"{number} {level}" for number, level in enumerate(asked.scale, 1))
    yield new_markdown_cell(EXIT.format(scale=scale))
    for part, title in asked.titles.items():
        yield new_markdown_cell(f"## {title}")
        for one in (one for one in asked.statements if one.part == part):
            yield new_markdown_cell(one.text)
            yield _answer(new_code_cell(NO_LEVEL), cell_of("level", one.id))
    yield new_markdown_cell("## In your own words")
    for free in asked.free:
        yield new_markdown_cell(f"**{free.asks}**")
        yield _answer(new_markdown_cell(WRITE_HERE), cell_of("words", free.id))


def _answer(cell: NotebookNode, name: str) -> NotebookNode:
    cell.metadata["nbgrader"] = {
        "grade": False, "grade_id": name, "locked": False, "schema_version": 3, "solution": True,
        "task": False,
    }  # fmt: skip
    return cell


_KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
_LANGUAGE = {"name": "python"}
