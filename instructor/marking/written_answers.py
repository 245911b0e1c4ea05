"""The answers in words of a class, and the questions they answer with their rubrics.

Texts come from the workbooks that grading wrote beside the gradebook, points from the gradebook.
A question's rubric is the paragraph of the workbook that says what points are given for; students
read the same one.
"""

__all__ = ["Question", "WrittenAnswer", "questions_of", "rubric_of", "written_answers"]

import hashlib
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import nbformat
from nbformat import NotebookNode

from instructor.release.course_folder import CourseFolder
from instructor.release.gradebook_tools import open_gradebook
from instructor.release.workbook_files import grade_name, is_marked_by_hand

RUBRIC = re.compile(r"\*For (?P<points>\d+) points?(?P<how>[^*]*?):\*\s*(?P<items>.+)", re.DOTALL)
OWN_ID = "[the writer's id]"


class Question(NamedTuple):
    """One question that is answered in words: what is asked, and what points are given for."""

    unit: str
    cell: str
    of: float
    asked: tuple[str, ...]
    rubric: tuple[str, ...]


class WrittenAnswer(NamedTuple):
    """What one student wrote; `waits` tells that the gradebook has no points for just this text."""

    student: str
    unit: str
    cell: str
    text: str
    waits: bool

    @property
    def digest(self) -> str:
        """Return a name for the text; another text has another one."""
        return hashlib.sha256(self.text.encode("utf-8", "surrogatepass")).hexdigest()

    @property
    def shown(self) -> str:
        """Return the text without the id of its writer, so that who marks does not read it."""
        own = re.compile(rf"(?<!\w){re.escape(self.student)}(?!\w)", re.IGNORECASE)
        return own.sub(OWN_ID, self.text)


def questions_of(course: CourseFolder) -> tuple[Question, ...]:
    """Return all questions of the units of a class, in the order of the course."""
    return tuple(one for unit in course.batch.units for one in _questions(course.path, unit))


def written_answers(course: CourseFolder, url: str) -> tuple[WrittenAnswer, ...]:
    """Return what was written in answer to them and graded, by question and student.

    `url` is the gradebook's. What is as it was handed out is no answer.
    """
    found = []
    with open_gradebook(url) as book:
        known = {one.name for one in book.assignments}
        for unit in course.batch.units:
            if unit in known:
                found += list(_answers(course.path, unit, book))
    return tuple(sorted(found, key=lambda one: (one.unit, one.cell, one.student)))


def _answers(course: Path, unit: str, book: Any) -> Iterator[WrittenAnswer]:
    released = {grade_name(one): one.source for one in _cells(course / "release", unit)}
    for submission in book.assignment_submissions(unit):
        student = submission.student_id
        waits = {
            grade.name: grade.needs_manual_grade or grade.manual_score is None
            for notebook in submission.notebooks
            for grade in notebook.grades
        }
        for cell in _cells(course / "autograded" / student, unit):
            name = grade_name(cell)
            if is_marked_by_hand(cell) and name in waits and cell.source != released.get(name):
                yield WrittenAnswer(student, unit, name, cell.source, waits[name])


def _questions(course: Path, unit: str) -> Iterator[Question]:
    cells = _cells(course / "release", unit)
    for place, cell in enumerate(cells):
        if is_marked_by_hand(cell):
            asked, rubric = rubric_of(cells[:place])
            of = float(cell.metadata["nbgrader"]["points"])
            yield Question(unit, grade_name(cell), of, asked, rubric)


def rubric_of(above: Sequence[NotebookNode]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what is asked and what points are given for, from the cells above an answer."""
    texts = [one.source for one in above if one.cell_type == "markdown"]
    starts = [place for place, text in enumerate(texts) if RUBRIC.search(text)]
    asked: list[str] = []
    rubric: tuple[str, ...] = ()
    for text in texts[starts[-1] if starts else -1 :]:
        for paragraph in text.split("\n\n"):
            found = RUBRIC.match(paragraph)
            if found:
                rubric = tuple(_plain(one) for one in found["items"].rstrip(". ").split("; "))
            elif not paragraph.startswith("#"):
                asked.append(_plain(paragraph))
    return tuple(asked), rubric


def _plain(markdown: str) -> str:
    """Take the marks of emphasis out of a text of our own; those of code stay."""
    return re.sub(r"\*+", "", markdown).strip()


def _cells(folder: Path, unit: str) -> Sequence[NotebookNode]:
    path = folder / unit / f"{unit}.ipynb"
    if not path.is_file():
        return ()
    cells: Sequence[NotebookNode] = nbformat.reads(
        path.read_text(encoding="utf-8"), as_version=4
    ).cells
    return cells
