"""A class of any size with abilities, exercises and beliefs that are planted, without running code.

How likely a student earns an aspect of an exercise is a logistic function of the student's ability:
`apart` is how steeply it rises (0: not at all, below 0: it falls), `hard` the ability at which it
is one half. Who loses points shows a belief with the chance planted, or goes wrong as others do.
"""

import math
import random
from typing import NamedTuple

from course_lib.exercises.registry import all_exercises, public_cases
from course_lib.exercises.verdict import Outcome, Verdict, without_run
from course_lib.runner.runner import Result
from instructor.demo.invented_class import NAMES
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn

ALIKE = """def answer(data):
    \"\"\"By {name}, who asked a friend.\"\"\"
    # {name} was here
    print("try", data)
    return data * 2  # as on the board
"""
OTHER = "def answer(data):\n    return None\n"


class Planted(NamedTuple):
    """What is planted in one exercise; `alike` is the share of the wrong that go wrong alike."""

    hard: float = 0.0
    apart: float = 1.5
    belief: str = ""
    shared: float = 0.0
    alike: float = 0.0


def students(size):
    """Return so many ids: plant names, then plant names with a number."""
    return [f"{NAMES[n % len(NAMES)]}{n // len(NAMES) or ''}" for n in range(size)]


def simulated_class(size, planted, seed=1, missing=0.0):
    """Return what became of the hand-ins of so many students; `planted` is by exercise id."""
    rng = random.Random(f"{seed} {size}")
    items = [one for one in all_exercises() if one.id in planted]
    units = list(dict.fromkeys(one.unit for one in items))
    marked = []
    for student in students(size):
        ability = rng.gauss(0, 1)
        for unit in units:
            if rng.random() >= missing:
                own = [_answer(rng, student, one, planted[one.id], ability)
                       for one in items if one.unit == unit]  # fmt: skip
                marked.append(MarkedHandIn(student, unit, tuple(own)))
    return BatchResult(tuple(marked), ())


def _answer(rng, student, item, planted, ability):
    if rng.random() < 0.02:
        return MarkedAnswer(without_run(item, Outcome.NO_ANSWER), "")
    chance = 1 / (1 + math.exp(-planted.apart * (ability - planted.hard)))
    earned = tuple(
        (one.name, one.points if rng.random() < chance else 0.0, one.points) for one in item.aspects
    )
    points = sum(got for _, got, _ in earned)
    if points == item.points:
        return MarkedAnswer(Verdict(item, Outcome.RIGHT, points, earned), OTHER)
    outcome = Outcome.PARTLY_RIGHT if points else Outcome.WRONG
    case, draw = public_cases(item.id)[0], rng.random()
    name = planted.belief if draw < planted.shared else ""
    is_alike = not name and draw < planted.shared + planted.alike
    if is_alike:  # all of them lose everything
        earned, outcome, points = tuple((one, 0.0, of) for one, _, of in earned), Outcome.WRONG, 0.0
    seen = "doubled" if is_alike else f"value {rng.random()}"
    verdict = Verdict(
        item, outcome, points, earned, name, first_wrong=case, seen=Result("value", seen),
        right_cases=3 if is_alike else rng.randrange(8), all_cases=9,
    )  # fmt: skip
    return MarkedAnswer(verdict, ALIKE.format(name=student) if is_alike else OTHER)
