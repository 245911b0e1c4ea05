"""Question sheets filled in by a class of any size, with what it learns planted."""

import json
import random

from classes.simulated_class import students
from instructor.demo.invented_sheets import filled_sheet
from instructor.questions.concept_bank import LETTERS, questions
from instructor.questions.sheets import AFTER, BEFORE, FORM_OF, SURVEY
from instructor.questions.survey_bank import survey

HELD = "first-match-wins"  # what those choose who do not know `longest`


def hand_in_sheets(folder, size, before=0.4, after=0.7, seed=1):
    """Write all sheets of a class; `before` and `after` are the chances of a right answer."""
    rng = random.Random(f"{seed} {size}")
    for student in students(size):
        for name, chance in ((BEFORE, before), (AFTER, after)):
            put(folder, student, filled_sheet(name, choices(rng, name, chance)))
        levels = {one.id: rng.choice((3, 4, 4, 5)) for one in survey().statements}
        words = (
            {"change": f"More time for unit {rng.randrange(1, 13)}."} if rng.random() < 0.5 else {}
        )
        put(folder, student, filled_sheet(SURVEY, levels | words))


def choices(rng, name, chance):
    """Draw a letter for each question; a wrong one is any of the three, or what is held."""
    drawn = {}
    for one in questions(FORM_OF[name]):
        wrong = [letter for letter in LETTERS if letter != one.right]
        held = [letter for letter in wrong if one.by_letter[letter].belief == HELD]
        drawn[one.id] = one.right if rng.random() < chance else rng.choice(held or wrong)
    return drawn


def put(folder, student, made):
    """Hand a sheet in, in a flat folder."""
    folder.mkdir(parents=True, exist_ok=True)
    name = made.metadata["hop_by_hop"]["unit"]
    (folder / f"{student}_{name}.ipynb").write_text(json.dumps(made), encoding="utf-8")
