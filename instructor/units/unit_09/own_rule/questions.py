"""Questions of exercise 9.6, tables of waiting cells: public ones, and where secret ones come from.

What one aspect asks for must not fall with another: lines are all of different lengths but where
equals are asked for, and everybody sends but where it is asked what is left.
"""

__all__ = ["EQUAL", "LEFT", "LONGEST", "OWN_RULE", "own_rule_questions"]

import random
from collections.abc import Callable
from functools import partial
from typing import Any

from course_lib.runner.drivers import fill_in
from instructor.units.items import Question
from instructor.units.unit_09.answers import longest_first
from instructor.units.unit_09.misconceptions import own_rule
from instructor.units.unit_09.own_rule import broken
from instructor.units.unit_09.telling import telling

LONGEST, EQUAL, LEFT = "longest first", "of equals", "until nothing is left"

Table = list[list[int]]

_CLAUSES: dict[str, tuple[Callable[..., Any], ...]] = {
    LONGEST: (broken.lowest_first_of_three, broken.outputs_of_three_take_several),
    EQUAL: (own_rule.highest_input_of_equals, own_rule.highest_output_of_equals),
    LEFT: (broken.without_cells_of_six, broken.two_pairs_of_five),
}


def own_rule_questions(rng: random.Random) -> list[Question]:
    """Draw tables for each clause."""
    return [
        *(
            Question(aspect, (_telling(rng, aspect, wrong),))
            for aspect, clauses in _CLAUSES.items()
            for wrong in clauses * (3 if aspect == LONGEST else 2)
        ),
        Question(LEFT, (_a_single_cell(rng),)),
    ]


def _telling(rng: random.Random, aspect: str, wrong: Callable[..., Any]) -> Table:
    others = [one for one in _CLAUSES[aspect] if one is not wrong]
    return telling(
        lambda: _drawn(rng, aspect),
        partial(fill_in, longest_first),
        partial(fill_in, wrong),
        [partial(fill_in, other) for other in others],
    )


def _a_single_cell(rng: random.Random) -> Table:
    """Let a line of one cell be the last of three pairs, beside one that loses."""
    inputs, outputs = rng.sample(range(5), 5), rng.sample(range(5), 5)
    small, middle, large = sorted(rng.sample(range(2, 60), 3))
    waiting = [[0] * 5 for _ in range(5)]
    for place, cells in enumerate((large, middle, 1)):
        waiting[inputs[place]][outputs[place]] = cells
    waiting[inputs[3]][outputs[0]] = small
    return waiting


def _drawn(rng: random.Random, aspect: str) -> Table:
    """Draw a table that belongs to an aspect."""
    ports = {LONGEST: 3, EQUAL: 4, LEFT: rng.randint(5, 6)}[aspect]
    while True:
        lengths = iter(rng.sample(range(1, 41), ports * ports))
        waiting = [[next(lengths) for _ in range(ports)] for _ in range(ports)]
        if aspect == EQUAL:
            waiting = [[rng.randint(3, 5) for _ in range(ports)] for _ in range(ports)]
        if aspect == LEFT:
            waiting = [[rng.choice((0, 0, 0, one)) for one in row] for row in waiting]
        if (-1 in fill_in(longest_first, waiting)) == (aspect == LEFT):
            return waiting


OWN_RULE = (
    Question(LEFT, ([[2, 7], [0, 5]],)),
    Question(LONGEST, ([[0, 9, 0], [0, 0, 7], [8, 0, 0]],)),
    *own_rule_questions(random.Random("public 9.6")),
    *own_rule_questions(random.Random("more of 9.6")),
)
