"""From what a class handed in to answers: letters, levels, words. Nothing of it is run.

A letter is taken as it was meant: `"b"`, `B` or `b)`. Two letters, or a number that is on no scale,
are no answer.
"""

__all__ = ["Collected", "SurveyAnswer", "collect"]

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.intake.notebook_reader import Notebook
from instructor.questions.concept_bank import questions
from instructor.questions.sheets import (
    AFTER,
    BEFORE,
    FORM_OF,
    SHEETS,
    SURVEY,
    WRITE_HERE,
    cell_of,
)
from instructor.questions.survey_bank import survey
from instructor.release.workbook_files import unit_names
from instructor.roster.kept_list import KeptList

LETTER = re.compile(r"""(?:my_choice\s*=)?\s*["'(]?\s*([a-d])\s*[.)]?\s*["')]?\s*(?:\#.*)?""", re.I)
LEVEL = re.compile(r"""(?:my_level\s*=)?\s*["']?\s*([1-5])\s*["']?\s*(?:\#.*)?""")
Choices = Mapping[str, str]  # letter by question; '' where it was left open


@dataclass(frozen=True, slots=True)
class SurveyAnswer:
    """What one person said: levels by statement, words by question; nothing that was left open."""

    levels: Mapping[str, int]
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Collected:
    """The answers of a class: of both tests by student, and of the survey without students.

    `workbooks` counts those of units, which are graded; `unread` are other files that are none of
    the sheets, and why.
    """

    before: Mapping[str, Choices]
    after: Mapping[str, Choices]
    survey: tuple[SurveyAnswer, ...]
    unread: tuple[NotGraded, ...]
    workbooks: int = 0


def collect(place: Path, kept: KeptList = KeptList()) -> Collected:  # noqa: B008 - an empty value
    """Read the sheets in a folder or an archive; of several files of one student the last counts.

    `kept` is the class's roster: an id on it counts once, whatever other ids it had. Of an id that
    is on no roster nothing is read, if there is a roster.
    """
    graded = dict.fromkeys(unit_names(), "grade")
    intake = find_hand_ins(
        place, SHEETS, {*kept.names, *kept.same}, whose=lambda seen: kept.whose(seen) or seen,
        read_by=graded,
    )  # fmt: skip
    ours = [one for one in intake.hand_ins if not kept.names or one.student in kept.names]
    strangers = [
        NotGraded(one.path, "an id that is not on the roster", one.student, one.unit, one.where)
        for one in intake.hand_ins if kept.names and one.student not in kept.names
    ]  # fmt: skip
    by_sheet = {name: {one.student: one.notebook for one in ours if one.unit == name}
                for name in SHEETS}  # fmt: skip
    answers = (_survey_answer(one) for one in by_sheet[SURVEY].values())
    ordered = sorted(answers, key=repr)  # nobody can tell from the order whose is whose
    return Collected(
        {student: _choices(one, BEFORE) for student, one in by_sheet[BEFORE].items()},
        {student: _choices(one, AFTER) for student, one in by_sheet[AFTER].items()},
        tuple(one for one in ordered if one.levels or one.words),
        (*intake.not_graded, *strangers),
        sum(one.unit in graded for one in intake.beside),
    )


def _choices(notebook: Notebook, name: str) -> Choices:
    return {
        one.id: _only(notebook, cell_of("choice", one.id), LETTER, str.lower)
        for one in questions(FORM_OF[name])
    }


def _survey_answer(notebook: Notebook) -> SurveyAnswer:
    asked = survey()
    levels = {one.id: _only(notebook, cell_of("level", one.id), LEVEL, str)
              for one in asked.statements}  # fmt: skip
    words = {one.id: _words(notebook, cell_of("words", one.id)) for one in asked.free}
    return SurveyAnswer(
        {name: int(level) for name, level in levels.items() if level},
        {name: text for name, text in words.items() if text},
    )


def _only(notebook: Notebook, name: str, form: re.Pattern[str], tidy: Callable[[str], str]) -> str:
    """Return the one answer that stands in the cells of this name; '' if there is none, or two."""
    found = {
        tidy(match[1])
        for cell in notebook.cells if cell.name == name
        if (match := form.fullmatch(cell.source.strip()))
    }  # fmt: skip
    return found.pop() if len(found) == 1 else ""


def _words(notebook: Notebook, name: str) -> str:
    texts = (cell.source.replace(WRITE_HERE, "") for cell in notebook.cells if cell.name == name)
    return " ".join(" ".join(texts).split())
