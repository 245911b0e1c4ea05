"""Questions of exercise 9.1, lines of cells: public ones, and where secret ones come from.

Each is drawn until it tells one broken clause from what is right.
"""

__all__ = ["BLOCKED", "CROSSES", "FIFO", "fifo_questions"]

import random
from collections.abc import Callable
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_09.fifo import broken
from instructor.units.unit_09.misconceptions import fifo
from instructor.units.unit_09.telling import telling

CROSSES, BLOCKED = "who crosses", "who is blocked"

_OF_CROSSES = (
    broken.all_of_two_cross,
    broken.lowest_input_where_nobody_is_blocked,
    broken.highest_of_equals_where_nobody_is_blocked,
    broken.minus_one_for_an_empty_line,
)
_OF_BLOCKED = (
    broken.only_one_passes,
    broken.busy_where_somebody_is_blocked,
    broken.winners_block_where_somebody_is_blocked,
    broken.lowest_rival_blocks,
    fifo.in_the_order_of_the_line,
    fifo.every_cell_counts,
)


def fifo_questions(rng: random.Random) -> list[Question]:
    """Draw lines for each clause."""
    return [
        *(_question(rng, CROSSES, wrong, _OF_CROSSES) for wrong in _OF_CROSSES),
        *(_question(rng, BLOCKED, wrong, _OF_BLOCKED) for wrong in _OF_BLOCKED),
    ]


def _question(
    rng: random.Random,
    aspect: str,
    wrong: Callable[..., Any],
    clauses: tuple[Callable[..., Any], ...],
) -> Question:
    others = [one for one in clauses if one is not wrong]
    ports = (2, 2) if wrong is broken.all_of_two_cross else (3, 5)
    lines = telling(
        lambda: _lines(rng, *ports, is_blocked=aspect == BLOCKED),
        fifo.right_crossing,
        wrong,
        others,
    )
    return Question(aspect, (lines,))


def _lines(rng: random.Random, fewest: int, most: int, *, is_blocked: bool) -> list[list[int]]:
    """Draw lines that block somebody, or nobody; few outputs are wanted first, so that many meet.

    What waits behind one of them is for wanted outputs alone, or for others, or for any.
    """
    while True:
        ports = rng.randint(fewest, most)
        mixed = rng.sample(range(ports), ports)
        few = rng.randint(1, max(1, ports - 2))
        wanted, idle = mixed[:few], mixed[few:]
        tails = wanted * 3, idle, idle * 2, mixed
        lines = [[rng.choice(wanted), *_some(rng, rng.choice(tails))] for _ in range(ports)]
        if not is_blocked and rng.random() < 0.5:
            lines[rng.randrange(ports)] = []
        if bool(fifo.right_crossing(lines)[1]) == is_blocked:
            return lines


def _some(rng: random.Random, outputs: list[int]) -> list[int]:
    return rng.sample(outputs, rng.randint(0, min(3, len(outputs))))


FIFO = (
    Question(
        BLOCKED,
        ([[0, 1, 1], [0, 2], [1]],),
        "the contract's example",
        Expected(value=([0, None, 1], [(1, 2, 0)])),
    ),
    Question(CROSSES, ([[1, 0], [0, 1, 1]],)),
    *fifo_questions(random.Random("public 9.1")),
    *fifo_questions(random.Random("more of 9.1")),
)
