"""Questions about an exponent and how sure it is (11.6): the public ones are two draws of many.

What one aspect asks for must not fall with another. Where the interval is not asked for, Student's
numbers are all 0, so it has no width. `largest` is another one for each kind of case.
"""

__all__ = ["FITS", "fit_questions"]

import math
import random
from collections.abc import Callable

from instructor.units.items import Question

WHICH, EXPONENT, INTERVAL = "which runs count", "the exponent", "the interval"
# Student's t for 1, 2, ... degrees of freedom and 95 percent, two-sided, as tables print it.
STUDENT = [0.0, 12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262]
Run = tuple[int, int, float]  # sent, lost, window
Draw = Callable[[random.Random], Question]


def fit_questions(rng: random.Random) -> list[Question]:
    """Draw runs that follow the law nearly, runs that do not count, and intervals."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_ten_lost, 1),
        (_full_line, 1),
        (_just_nine_tenths, 1),
        (_window_of_four, 1),
        (_two_reasons, 1),
        (_left_out, 1),
        (_interval_of_fewer, 1),
        *((_of_largest(EXPONENT, largest), 1) for largest in (66, 67, 68, 69, 71, 77)),
        *((_of_largest(INTERVAL, largest), 1) for largest in (72, 73, 74, 75, 76)),
    )
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _ask(rng: random.Random, aspect: str, largest: float, runs: list[Run]) -> Question:
    """Ask about runs in any order."""
    runs = rng.sample(runs, len(runs))
    sent, lost, windows = ([run[place] for run in runs] for place in range(3))
    student = STUDENT if aspect == INTERVAL else [0.0] * len(STUDENT)
    return Question(aspect, (sent, lost, windows, largest, list(student)))


def _runs(rng: random.Random, number: int) -> list[Run]:
    """Return runs from a small loss to a large one, whose windows lie around the law."""
    power, runs = rng.uniform(-0.6, -0.4), []
    for place in range(number):
        loss = 0.001 * math.exp(3 * (place + rng.uniform(0.1, 0.6)) / number)
        sent = rng.randint(30_000, 900_000)
        window = 35 * (loss / 0.001) ** power * rng.uniform(0.85, 1.15)
        runs.append((sent, round(sent * loss), round(window, 2)))
    return runs


def _of_largest(aspect: str, largest: int) -> Draw:
    def draw(rng: random.Random) -> Question:
        return _ask(rng, aspect, largest, _runs(rng, rng.randint(4, 6)))

    return draw


def _few(rng: random.Random, lost: int, window: float) -> Run:
    return rng.randint(30_000, 90_000), lost, window


def _small(rng: random.Random, window: float) -> Run:
    sent = rng.randint(30_000, 90_000)
    return sent, round(sent * rng.uniform(0.06, 0.12)), window


def _ten_lost(rng: random.Random) -> Question:
    more = [_few(rng, 10, rng.randint(38, 45)), _few(rng, 9, rng.randint(38, 45))]
    return _ask(rng, WHICH, 61, [*_runs(rng, 3), *more])


def _full_line(rng: random.Random) -> Question:
    more = [_few(rng, rng.randint(11, 20), round(62 * rng.uniform(0.91, 0.99), 2))]
    return _ask(rng, WHICH, 62, [*_runs(rng, 4), *more])


def _just_nine_tenths(rng: random.Random) -> Question:
    more = [_few(rng, rng.randint(11, 20), 45.0), _few(rng, rng.randint(11, 20), 46.0)]
    return _ask(rng, WHICH, 50, [*_runs(rng, rng.randint(3, 4)), *more])


def _window_of_four(rng: random.Random) -> Question:
    more = [_small(rng, 4.0), _small(rng, round(rng.uniform(3.0, 3.99), 2))]
    return _ask(rng, WHICH, 63, [*_runs(rng, rng.randint(3, 4)), *more])


def _two_reasons(rng: random.Random) -> Question:
    """Lose few packets on a full line, or with windows so small that time-outs rule."""
    more = [_few(rng, rng.randint(1, 9), rng.choice((2.5, 3.25, 59.5, 61.0))) for _ in range(2)]
    return _ask(rng, WHICH, 64, [*_runs(rng, rng.randint(3, 4)), *more])


def _left_out(rng: random.Random) -> Question:
    """Leave out a run for each of the reasons."""
    more = [
        _few(rng, rng.randint(1, 9), rng.randint(20, 50)),
        _few(rng, rng.randint(11, 20), round(rng.uniform(59, 64), 2)),
        _small(rng, round(rng.uniform(1.5, 3.5), 2)),
    ]
    return _ask(rng, EXPONENT, 65, [*_runs(rng, rng.randint(3, 4)), *more])


def _interval_of_fewer(rng: random.Random) -> Question:
    """Leave out one run, so that fewer count than there are."""
    more = [_few(rng, rng.randint(1, 5), rng.randint(20, 50))]
    return _ask(rng, INTERVAL, 78, [*_runs(rng, rng.randint(3, 5)), *more])


FITS = tuple(
    question
    for seed in ("what everybody may see", "once more")
    for question in fit_questions(random.Random(seed))
)
