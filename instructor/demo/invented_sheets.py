"""What the invented class answers when it is asked: a concept test twice, and the exit survey.

It knows more after the course than before, and in most questions holds the beliefs that come first
in the list. Not everybody hands every sheet in. All of it is a fixed function of a seed.
"""

__all__ = ["filled_sheet", "hand_in_sheets"]

import copy
import functools
import json
import random
from collections.abc import Mapping, Sequence
from pathlib import Path

from nbformat import NotebookNode

from instructor.demo.invented_class import popular, write_hand_in
from instructor.questions.concept_bank import questions
from instructor.questions.sheets import (
    AFTER,
    BEFORE,
    FORM_OF,
    SHEETS,
    SURVEY,
    WRITE_HERE,
    sheet,
)
from instructor.questions.survey_bank import USABILITY, survey

KNOWN = {BEFORE: 0.35, AFTER: 0.7}  # the chance that the class knows an answer
LEFT_OPEN = {BEFORE: 0.15, AFTER: 0.05}
HANDED_IN = {BEFORE: 0.95, AFTER: 0.9, SURVEY: 0.75}  # of the class
KEEP = ("The live figures.", "That we built it ourselves.", "The hints.", "The room.")
CHANGE = ("More time for checksums.", "Fewer exercises on one day.", "A longer break.")
LONGEST = ("Routes: four hours.", "The own router, a whole day.", "Checksums, about three hours.")


def hand_in_sheets(folder: Path, students: Sequence[str], seed: int) -> int:
    """Write the sheets of a class into a flat folder; return how many there are."""
    many = 0
    for student in students:
        rng = random.Random(f"{seed} sheets {student}")
        better = rng.uniform(-0.15, 0.15)  # than the class as a whole
        for name in SHEETS:
            answers = _said(rng) if name == SURVEY else _choices(rng, name, better)
            if rng.random() < HANDED_IN[name]:
                made = filled_sheet(name, answers)
                write_hand_in(folder / f"{student}_{name}.ipynb", json.dumps(made))
                many += 1
    return many


def filled_sheet(name: str, answers: Mapping[str, str | int]) -> NotebookNode:
    """Return a sheet with letters, levels and words in it, by the names of what is asked."""
    made = copy.deepcopy(_empty(name))
    for cell in made.cells:
        _, _, asked = cell.metadata.get("nbgrader", {}).get("grade_id", "").partition("-")
        if asked in answers:
            value = answers[asked]
            cell.source = (
                f'my_choice = "{value}"' if cell.source.startswith("my_choice")
                else f"my_level = {value}" if cell.source.startswith("my_level")
                else cell.source.replace(WRITE_HERE, str(value))
            )  # fmt: skip
    return made


@functools.cache  # to make and check one takes long
def _empty(name: str) -> NotebookNode:
    return sheet(name)


def _choices(rng: random.Random, name: str, better: float) -> dict[str, str | int]:
    chosen: dict[str, str | int] = {}
    for one in questions(FORM_OF[name]):
        wrong = {choice.belief: letter for letter, choice in one.by_letter.items()}
        right = wrong.pop("")
        draw = rng.random() - better
        if draw < KNOWN[name]:
            chosen[one.id] = right
        elif draw < 1 - LEFT_OPEN[name]:
            chosen[one.id] = wrong[popular(rng, list(wrong))]
    return chosen


def _said(rng: random.Random) -> dict[str, str | int]:
    said: dict[str, str | int] = {}
    for number, one in enumerate(survey().statements):
        against = one.part == USABILITY and one.id.endswith(("2", "4", "6", "8", "10"))
        level = rng.choices((1, 2, 3, 4, 5), (1, 2, 4, 6, 4))[0] - (number % 5 == 0)
        if rng.random() < 0.95 or one.part == USABILITY:
            said[one.id] = 6 - max(1, level) if against else max(1, level)
    for asked, words in zip(survey().free, (KEEP, CHANGE, LONGEST), strict=True):
        if rng.random() < 0.5:
            said[asked.id] = rng.choice(words)
    return said
