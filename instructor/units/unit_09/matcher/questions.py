"""Questions of exercise 9.4, slots of a switch: public ones, and where secret ones come from.

What one aspect asks for must not fall with another: one round is asked for at three ports, in a
slot in which one is enough; pointers at four, some slots long; more rounds at five or six, in one
slot, in which all pointers stand at port 0.
"""

__all__ = ["MATCHER", "ONE", "POINTERS", "ROUNDS", "matcher_questions"]

import random
from collections.abc import Callable
from functools import partial
from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.runner.drivers import operate
from instructor.units.items import Question
from instructor.units.unit_09.matcher import broken
from instructor.units.unit_09.misconceptions import matcher
from instructor.units.unit_09.misconceptions.matcher import RightMatcher, Table
from instructor.units.unit_09.telling import telling

ONE, POINTERS, ROUNDS = "grant and accept", "pointers", "more rounds"
PAPER = "N. McKeown, IEEE/ACM Trans. Networking 7 (1999): pointers part, and all ports are used"

Step = list[Any]

_CLAUSES: dict[str, tuple[Callable[..., Any], ...]] = {
    ONE: (
        broken.LowestRequestOfThree,
        broken.LongestOfThree,
        broken.AllOfThreeAccepted,
        broken.OrderOfOutputsOfThree,
    ),
    POINTERS: (
        broken.MovesOnGrantOfFour,
        matcher.MovesInEveryRound,
        matcher.PointsAtThePartner,
        matcher.EndsAtTheLastPort,
        matcher.AcceptsTheLowest,
    ),
    ROUNDS: (
        broken.TwoRoundsOfFive,
        broken.LastOfTwoRoundsOfFive,
        broken.MatchedInputsOfSixRequest,
    ),
}
_PORTS = {ONE: (3,), POINTERS: (4,), ROUNDS: (5, 6)}


def matcher_questions(rng: random.Random) -> list[Question]:
    """Draw slots for each clause, and some for two matchers."""
    return [
        *(
            Question(aspect, (_telling(rng, aspect, wrong),))
            for aspect, clauses in _CLAUSES.items()
            for wrong in clauses
        ),
        Question(POINTERS, (_telling(rng, POINTERS, broken.InputsPointAtThePartner),)),
        Question(POINTERS, (_of_two(rng),)),
        Question(ONE, (_nothing_first(rng),)),
    ]


def _telling(rng: random.Random, aspect: str, wrong: Callable[..., Any]) -> list[Step]:
    clauses = () if aspect == POINTERS else _CLAUSES[aspect]  # that takes long: see `_ALONE`
    others = [one for one in clauses if one is not wrong]
    return telling(
        lambda: _row(rng, aspect),
        partial(operate, RightMatcher),
        partial(operate, wrong),
        [partial(operate, other) for other in others],
    )


def _row(rng: random.Random, aspect: str) -> list[Step]:
    """Draw slots that belong to an aspect."""
    ports = rng.choice(_PORTS[aspect])
    while True:
        slots = rng.randint(2, 4) if aspect == POINTERS else 1
        tables = [_table(rng, ports, rng.choice((0.5, 0.7, 0.9))) for _ in range(slots)]
        rounds = RightMatcher(ports).match(tables[0])
        if aspect == POINTERS or (len(rounds) > 1) == (aspect == ROUNDS):
            return [["new", ports], *(["match", table] for table in tables)]


def _table(rng: random.Random, ports: int, share: float) -> Table:
    return [
        [rng.randint(1, 9) if rng.random() < share else 0 for _ in range(ports)]
        for _ in range(ports)
    ]


def _nothing_first(rng: random.Random) -> list[Step]:
    """Let no cell wait in the first slot: it has no rounds, and pointers stay."""
    new, *slots = _row(rng, ONE)
    return [new, ["match", [[0] * 3 for _ in range(3)]], *slots]


def _of_two(rng: random.Random) -> list[Step]:
    """Ask two matchers once each; two inputs have cells for one output alone."""
    ports, output, inputs = 4, rng.randrange(4), rng.sample(range(4), 2)
    table = [
        [rng.randint(1, 9) if one == output and number in inputs else 0 for one in range(ports)]
        for number in range(ports)
    ]
    return [*[["new", ports], ["new", ports]], *[[number, "match", table] for number in (0, 1)]]


# Two slots for each clause about pointers, which go wrong where that one alone is broken.
_ALONE = (
    ("1010 1001 1111 0110", "0010 0011 1010 1100"),
    ("1111 0111 1110 1111", "0000 1111 0001 0011"),
    ("1101 1000 0011 0100", "1000 1111 1011 1111"),
    ("1101 1100 1110 1010", "0000 0011 1101 1111"),
    ("1001 1110 1011 1111", "0100 1001 1001 1010"),
)


def _two_slots(*slots: str) -> Question:
    tables = [[[int(cells) for cells in row] for row in slot.split()] for slot in slots]
    return Question(POINTERS, ([["new", 4], *(["match", table] for table in tables)],))


MATCHER = (
    Question(
        POINTERS,
        ([["new", 2], *[["match", [[1, 1], [1, 1]]]] * 2],),
        "the contract's example",
        Expected(value=[[[(0, 0)], [(1, 1)]], [[(0, 1), (1, 0)]]]),
    ),
    Question(POINTERS, ([["new", 4], *[["match", [[9] * 4] * 4]] * 6],), PAPER),
    Question(ONE, ([["new", 3], ["match", [[0, 2, 0], [0, 0, 0], [0, 0, 3]]]],)),
    Question(ONE, ([["new", 3], ["match", [[0, 0, 2], [1, 0, 0], [0, 4, 0]]]],)),
    *(_two_slots(*slots) for slots in _ALONE),
    *matcher_questions(random.Random("public 9.4")),
    *matcher_questions(random.Random("more of 9.4")),
)
