"""Questions of exercise 9.2, rows of cells that come and cross: public ones, and secret ones.

What one aspect asks for must not fall with another: nobody asks how many wait but where that is
the question, what may not cross is tried only where that is, and where the order is not asked for
all cells have one name.
"""

__all__ = ["COUNT", "ORDER", "REFUSED", "VIRTUAL", "virtual_questions"]

import random
from collections.abc import Callable
from functools import partial
from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.runner.drivers import operate
from instructor.units.items import Question
from instructor.units.unit_09.misconceptions import virtual
from instructor.units.unit_09.misconceptions.virtual import RightInputs
from instructor.units.unit_09.telling import telling
from instructor.units.unit_09.virtual import broken

ORDER, COUNT, REFUSED = "cells in order", "how many wait", "what may not cross"

Step = list[Any]

_CLAUSES: tuple[tuple[str, Callable[..., Any]], ...] = (
    (ORDER, broken.OneLineOfThree),
    (ORDER, virtual.NewestFirst),
    (COUNT, virtual.ByOutput),
    (COUNT, virtual.YesOrNo),
    (COUNT, broken.CountOfAllThatCame),
    (REFUSED, virtual.OutputsTakeSeveral),
    (REFUSED, virtual.LowestOfThoseThatMeet),
    (REFUSED, virtual.WhoLacksStays),
    (REFUSED, virtual.TakenUpToTheFault),
    (REFUSED, broken.ListOfNothingOfFive),
    (REFUSED, virtual.NoneMeetsNone),
)

_TOLD_AT_ONCE = virtual.OutputsTakeSeveral, virtual.WhoLacksStays
_TOLD_LATER = virtual.TakenUpToTheFault, broken.ListOfNothingOfFive


def virtual_questions(rng: random.Random) -> list[Question]:
    """Draw rows for each clause, and some for two switches."""
    telling_ones = [_telling(rng, aspect, wrong) for aspect, wrong in _CLAUSES]
    two = [Question(ORDER, (_of_two(rng),)) for _ in range(2)]
    return [*telling_ones, *two, Question(REFUSED, (_kept(rng),))]


def _telling(rng: random.Random, aspect: str, wrong: Callable[..., Any]) -> Question:
    """Draw a row that a broken clause gets wrong, and most others get right."""
    by_others: dict[Any, list[Any]] = {
        virtual.NewestFirst: [broken.OneLineOfThree],
        virtual.OutputsTakeSeveral: [virtual.WhoLacksStays, *_TOLD_LATER],
        virtual.WhoLacksStays: [virtual.OutputsTakeSeveral, *_TOLD_LATER],
        virtual.TakenUpToTheFault: [*_TOLD_AT_ONCE, broken.ListOfNothingOfFive],
        broken.ListOfNothingOfFive: [*_TOLD_AT_ONCE, virtual.TakenUpToTheFault],
    }
    steps = telling(
        lambda: _row(rng, aspect),
        partial(operate, RightInputs),
        partial(operate, wrong),
        [partial(operate, other) for other in by_others.get(wrong, ())],
    )
    return Question(aspect, (steps,))


def _row(rng: random.Random, aspect: str) -> list[Step]:
    """Let cells come and cross, some slots long."""
    ports = {ORDER: 3, COUNT: 4, REFUSED: rng.randint(4, 5)}[aspect]
    inputs = RightInputs(ports)
    steps: list[Step] = [["new", ports]]
    numbers = iter(rng.sample(range(10, 100), 24))
    for _ in range(rng.randint(2, 3)):
        for _ in range(rng.randint(2, 4)):
            name = f"c{next(numbers)}" if aspect == ORDER else "c"
            cell = rng.randrange(ports), rng.randrange(ports), name
            inputs.join(*cell)
            steps.append(["join", *cell])
        if aspect == COUNT and rng.random() < 0.4:
            steps.append(["waiting"])
        is_wrong = aspect == REFUSED and rng.random() < 0.6
        matched = _wrong(rng, inputs) if is_wrong else _legal(rng, inputs)
        inputs.cross(matched)
        steps.append(["cross", matched])
    if aspect == REFUSED and rng.random() < 0.6:
        steps.append(["cross", _legal(rng, inputs)])
    return [*steps, ["waiting"]] if aspect == COUNT else steps


def _legal(rng: random.Random, inputs: RightInputs) -> list[int | None]:
    """Draw a matching that may cross, in which at least one input sends nothing."""
    ports = range(len(inputs.cells))
    matched: list[int | None] = [None for _ in ports]
    for number in rng.sample(ports, len(ports) - 1):
        free = [o for o in ports if inputs.cells[number][o] and o not in matched]
        if free:
            matched[number] = rng.choice(free)
    return matched


def _wrong(rng: random.Random, inputs: RightInputs) -> list[int | None]:
    """Draw a matching, of which many may not cross."""
    ports = range(len(inputs.cells))
    matched: list[int | None] = [None for _ in ports]
    for number in rng.sample(ports, len(ports) - 1):
        with_cells = [output for output in ports if inputs.cells[number][output]]
        matched[number] = rng.choice(with_cells or [None, *ports])
    return matched


def _of_two(rng: random.Random) -> list[Step]:
    """Put cells into two switches for one pair of ports; the one that comes first crosses last."""
    first, second = rng.sample(range(10, 100), 2)
    ports, number, output = 4, rng.randrange(4), rng.randrange(4)
    matched = [output if one == number else None for one in range(ports)]
    return [
        *[["new", ports], ["new", ports]],
        *[[1, "join", number, output, f"c{first}"], [0, "join", number, output, f"c{second}"]],
        *[[0, "cross", matched], [1, "cross", matched]],
    ]


def _kept(rng: random.Random) -> list[Step]:
    """Let a later input lack its cell: the only cell of an earlier one is there afterwards."""
    ports = rng.randint(4, 5)
    earlier, later = sorted(rng.sample(range(ports), 2))
    output, other = rng.sample(range(ports), 2)
    alone = [output if one == earlier else None for one in range(ports)]
    both = [other if one == later else given for one, given in enumerate(alone)]
    return [["new", ports], ["join", earlier, output, "c"], ["cross", both], ["cross", alone]]


def _counted(*parts: str | list[int | None]) -> Question:
    """Let cells come, given as digits of input and output, or cross; count after each part."""
    steps: list[Step] = [["new", 4]]
    for part in parts:
        if isinstance(part, str):
            steps += [["join", int(cell[0]), int(cell[1]), "c"] for cell in part.split()]
        else:
            steps.append(["cross", part])
        steps.append(["waiting"])
    return Question(COUNT, (steps,))


VIRTUAL = (
    Question(
        COUNT,
        (
            [
                *[["new", 2], ["join", 0, 0, "a"], ["join", 0, 0, "b"], ["join", 0, 1, "c"]],
                *[["cross", [1, None]], ["waiting"]],
            ],
        ),
        "the contract's example",
        Expected(value=[None, None, None, ["c", None], [[2, 0], [0, 0]]]),
    ),
    Question(ORDER, ([["new", 2], ["join", 0, 1, "k"], ["cross", [1, None]]],)),
    # Each line of numbers: which cells come; 00 is one at input 0 for output 0.
    _counted("01 12", "20 02 10"),
    _counted("11 11 02 20 11"),
    _counted("01 10 22 00", [None, None, 2, None], "11", [0, None, None, None]),
    *virtual_questions(random.Random("public 9.2")),
    *virtual_questions(random.Random("more of 9.2")),
)
