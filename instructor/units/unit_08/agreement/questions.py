"""Questions of exercise 8.6, runs and what theory says of them: public ones, and secret ones.

What one aspect asks for must not fall with another: a warm-up stays out where the rest fills its
batches; something is left over where there is no warm-up; and where the verdict is asked for, all
waits are in batches. No verdict is a close one, but for an interval of no width.
"""

__all__ = ["AGREEMENT", "agreement_questions"]

import random
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

WARM_UP, BATCHES, VERDICT = "warm-up", "batches", "verdict"
EXAMPLE = "the contract's example"
# Student, Biometrika 6 (1908): t for 95 %, by the number of batches, as tables print it.
STUDENT = {2: 12.706, 3: 4.303, 4: 3.182, 5: 2.776, 6: 2.571, 7: 2.447, 8: 2.365, 9: 2.306}
TABLE = "t from the printed table of Student's distribution, 95 %"

Run = tuple[list[int], int, int, float, float]


def _ask(aspect: str, waits: list[int], warm_up: int, batches: int, theory: float) -> Question:
    arguments = (waits, warm_up, batches, STUDENT[batches], theory)
    return Question(aspect, arguments, TABLE)


def _printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    return Question(aspect, arguments, source, Expected(value=value))


AGREEMENT = (
    _printed(WARM_UP, EXAMPLE, (4.0, 2.0, True), [9, 1, 3, 5, 7], 1, 2, 1.0, 5.0),
    _ask(WARM_UP, [0, 0, 1, 8, 9, 12, 4, 7, 11], 3, 3, 8.0),
    _ask(WARM_UP, [0, 1, 20, 24, 17, 31, 22, 40, 25, 19], 2, 4, 13.0),
    _ask(WARM_UP, [2, 30, 26, 35, 21, 44, 28, 33], 2, 2, 14.0),
    _ask(WARM_UP, [1, 0, 3, 2, 13, 17, 10, 22, 15, 14, 19, 12, 16, 11], 4, 5, 8.5),
    _ask(BATCHES, [3, 9, 5, 1, 6, 14, 40], 0, 2, 7.0),
    _ask(BATCHES, [12, 15, 30, 8, 3], 0, 2, 14.0),
    _ask(BATCHES, [4, 4, 10, 12, 7, 3, 9, 31], 0, 3, 7.0),
    _ask(BATCHES, [5, 1, 14, 22, 8, 6, 35], 0, 3, 9.0),
    _ask(BATCHES, [6, 2, 13, 9, 15, 21, 4, 8, 50, 44], 0, 4, 10.0),
    _ask(BATCHES, [7, 9, 20, 18, 3, 5, 13, 11, 16, 22, 38, 2], 0, 5, 12.0),
    _ask(BATCHES, [1, 2, 11, 12, 6, 5, 19, 14, 9, 3, 23, 28, 40], 0, 6, 10.0),
    _ask(BATCHES, [8, 3, 3, 14, 15, 25, 20, 11, 10, 2, 1, 6, 7, 18, 33, 29], 0, 7, 11.0),
    _ask(BATCHES, [5, 2, 12, 19, 8, 7, 16, 31, 3, 4, 9, 21, 14, 6, 0, 1, 48], 0, 8, 9.0),
    _ask(BATCHES, [2, 6, 1, 12, 9, 17, 24, 5, 3, 8, 10, 16, 14, 4, 7, 7, 19, 22, 41], 0, 9, 10.0),
    _ask(VERDICT, [5, 7, 9, 6, 8, 10], 0, 3, 7.8),
    _ask(VERDICT, [5, 7, 9, 6, 8, 10], 0, 3, 30.0),
    _ask(VERDICT, [5, 7, 9, 6, 8, 10], 0, 3, 1.0),
    _ask(VERDICT, [4, 9, 6, 8, 3, 11, 7, 2, 3], 0, 3, 6.5),
    _ask(VERDICT, [20, 24, 28, 25, 21, 29, 23, 27], 0, 4, 21.0),
    _ask(VERDICT, [20, 24, 28, 25, 21, 29, 23, 27], 0, 4, 27.5),
    _ask(VERDICT, [20, 24, 28, 25, 21, 29, 23, 27], 0, 4, 11.0),
    _ask(VERDICT, [20, 24, 28, 25, 21, 29, 23, 27], 0, 4, 40.5),
    _ask(VERDICT, [3, 5, 4, 4], 0, 2, 4.0),
    _ask(VERDICT, [3, 6, 4, 9, 7, 5, 8, 2, 6, 4], 0, 5, 7.0),
    _ask(VERDICT, [3, 6, 4, 9, 7, 5, 8, 2, 6, 4], 0, 5, 20.0),
)  # fmt: skip


def agreement_questions(rng: random.Random) -> list[Question]:
    """Draw runs with a warm-up, runs that leave something over, and theories near and far."""
    return [
        *(_warm_up(rng) for _ in range(4)),
        *(_left_over(rng, batches) for batches in STUDENT),
        *(_verdict(rng, where) for where in (-9.0, -0.4, 0.4, 9.0, 3.0)),
    ]


def _run(rng: random.Random, packets: int) -> list[int]:
    """Return waits that go up and down slowly, as those of a line do."""
    waits, now = [], rng.randint(5, 30)
    for _ in range(packets):
        now = abs(now + rng.choice((-9, -6, -4, -2, 1, 3, 5, 8)))
        waits.append(now)
    return waits


def _uneven(rng: random.Random, batches: int, more: int) -> list[int]:
    """Return a run whose batches have different means."""
    length = rng.randint(2, 4)
    while True:
        waits = _run(rng, batches * length)
        if len({sum(waits[n * length : (n + 1) * length]) for n in range(batches)}) > 1:
            return waits + [rng.randint(60, 99) for _ in range(more)]


def _warm_up(rng: random.Random) -> Question:
    batches, warm_up = rng.choice((3, 6, 7)), rng.randint(2, 5)
    early = [rng.randint(0, 3) for _ in range(warm_up)]
    return _far(WARM_UP, early + _uneven(rng, batches, 0), warm_up, batches)


def _left_over(rng: random.Random, batches: int) -> Question:
    return _far(BATCHES, _uneven(rng, batches, rng.randint(1, batches - 1)), 0, batches)


def _far(aspect: str, waits: list[int], warm_up: int, batches: int) -> Question:
    """Ask with a theory that is far from all that was measured."""
    return _ask(aspect, waits, warm_up, batches, 900.5)


def _verdict(rng: random.Random, where: float) -> Question:
    """Put theory so many reaches above the mean."""
    batches = rng.choice((3, 4, 5, 6))
    waits = _uneven(rng, batches, 0)
    length = len(waits) // batches
    means = [sum(waits[n * length : (n + 1) * length]) / length for n in range(batches)]
    mean = sum(means) / batches
    variance = sum((one - mean) ** 2 for one in means) / (batches - 1)
    reach = STUDENT[batches] * (variance / batches) ** 0.5
    return _ask(VERDICT, waits, 0, batches, round(mean + where * reach, 3))
