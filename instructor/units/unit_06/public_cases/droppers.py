"""Questions about a stage that remembers (6.5).

Every case has flows of its own, so that what one object keeps shows only where two objects
see the same flow. Only "one flow" goes beyond the first drop of a flow, and only "counts and
refusals" has periods below 2.
"""

__all__ = ["NEW_DROPPER", "dropper_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import steps, steps_of_two
from instructor.units.unit_06.public_cases.stages import PIERS

ONE, SEVERAL, COUNTS = "one flow", "several flows", "counts and refusals"
EXAMPLE = "the contract's own example"

NEW_DROPPER = (
    Question(ONE, ([["new", 2], *([["passes", "A"]] * 3)],), EXAMPLE,
             Expected(value=[True, False, True])),
    steps(ONE, 2, *"DDDD"),
    steps(ONE, 3, *"EE"),
    steps(ONE, 3, *"FFFFFFF"),
    steps(ONE, 4, *"GGGGGGGGG"),
    steps(ONE, 3, *[""] * 7),
    steps(SEVERAL, 2, *"HIHI"),
    steps(SEVERAL, 2, *"JJKK"),
    Question(SEVERAL, ([["new", 3], *(["passes", flow] for flow in ("A7", "A7", "B7", "A7"))],),
             "the workbook's worked case", Expected(value=[True, True, True, False])),
    steps(SEVERAL, 3, *"LMLML"),
    steps(SEVERAL, 3, *"NOPNOPPON"),
    steps(SEVERAL, 4, *"QQQRQRRR"),
    steps(SEVERAL, 2, *([f"Berth {number}" for number in range(40)] * 2)),
    steps(SEVERAL, 2, "Mast", "mast", "Mast ", "Mas"),
    steps_of_two(SEVERAL, (2, 2), (0, "S"), (1, "S"), (0, "S"), (1, "S")),
    steps_of_two(SEVERAL, (3, 3), (0, "T"), (0, "T"), (1, "T"), (0, "T")),
    steps_of_two(SEVERAL, (2, 4), (0, "U"), (0, "U"), (1, "V"), (1, "V")),
    steps_of_two(SEVERAL, (5, 2), (0, "W"), (1, "X"), (1, "X"), (0, "W"), (0, "W")),
    steps(COUNTS, 2, None),
    steps(COUNTS, 3, *"aaab", None),
    steps(COUNTS, 2, *"cc", None),
    steps(COUNTS, 5, *"ddd", None),
    steps(COUNTS, 5, *"efe", None),
    steps(COUNTS, 6, *"gghg", None),
    steps(COUNTS, 2, *"iijj", None),
    steps(COUNTS, 4, "k", None, None, "k", None),
    steps(COUNTS, 3, "l", None, "l", None, "l", None),
    steps_of_two(COUNTS, (3, 3), (0, "m"), (1, "n"), (0, None), (1, None)),
    steps(COUNTS, 1, "o", None),
    steps(COUNTS, 1, *"pq", None),
    steps(COUNTS, 1, "t"),
    steps(COUNTS, 0),
    steps(COUNTS, 0, "r"),
    steps(COUNTS, -1),
    steps(COUNTS, -2, *"ss"),
)  # fmt: skip


def dropper_questions(rng: random.Random) -> list[Question]:
    """Draw periods and flows; one object, or two; counts at the end, or in between."""
    return [*_one(rng), *_several(rng), *_counts(rng)]


def _names(rng: random.Random, count: int) -> list[str]:
    """Return flows that no other case has."""
    return [f"{rng.choice(PIERS)} {rng.getrandbits(40):010x}" for _ in range(count)]


def _one(rng: random.Random) -> list[Question]:
    return [
        steps(ONE, every, *(_names(rng, 1) * rng.randint(2 * every + 1, 3 * every + 1)))
        for every in (2, 3, rng.randint(4, 6), rng.randint(7, 12))
    ]


def _several(rng: random.Random) -> list[Question]:
    """Mix flows, none of which gets further than its first drop."""
    questions = []
    for count in (2, 3, 4):
        every = rng.randint(2, 4)
        flows = _names(rng, count) * every
        rng.shuffle(flows)
        questions.append(steps(SEVERAL, every, *flows))
    questions.append(steps(SEVERAL, 2, *(_names(rng, rng.randint(20, 40)) * 2)))
    for periods in ((3, 3), (rng.randint(2, 3), rng.randint(4, 6)), (rng.randint(4, 6), 2)):
        shared, *own = _names(rng, 3)
        calls = [(number, flow) for number in (0, 1) for flow in (shared, own[number])]
        mixed = [call for call in calls for _ in range(periods[call[0]])]
        rng.shuffle(mixed)
        questions.append(steps_of_two(SEVERAL, periods, *mixed))
    return questions


def _counts(rng: random.Random) -> list[Question]:
    every = rng.randint(3, 9)
    whole, *others = _names(rng, 3)
    flows = [whole] * every + others
    first, second, third = _names(rng, 3)
    many = rng.randint(10, 99)
    return [
        steps(COUNTS, every, *flows, None),
        steps(COUNTS, every, *[first] * every, None, None),
        steps(COUNTS, many, *_names(rng, rng.randint(5, 9)), None),
        steps(COUNTS, many, second, None, second, None),
        steps_of_two(COUNTS, (many, many + 1), *[(0, third)] * 3, (1, None), (0, None)),
        steps(COUNTS, 1, *_names(rng, rng.randint(2, 5)), None),
        steps(COUNTS, -rng.randint(1, 99)),
        steps(COUNTS, -rng.randint(1, 99), *_names(rng, 2), None),
    ]
