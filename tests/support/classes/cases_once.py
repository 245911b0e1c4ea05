"""Cases over many seeds, worked out once for all tests of an exercise: these follow each other.

What ends is worked out in this process, which is many times quicker than by an answer's own; tests
of exercises see to it that both give the same.
"""

__all__ = [
    "FEW_SEEDS",
    "IN_FULL",
    "SEEDS",
    "SOME_SEEDS",
    "ends",
    "few",
    "here_if_it_ends",
    "many",
    "some",
]

import functools
import os
import threading

from classes.in_this_process import EvaluateHere
from course_lib.exercises.registry import Case
from instructor.quality.gate import cases_of_seeds, loops
from instructor.units.items import Evaluate, Item, evaluate, item

# So many where there is the time; else fewer for what all misconceptions give, which takes longest.
_WANTED = int(os.environ.get("HOP_BY_HOP_SEEDS", "0"))
IN_FULL = _WANTED > 0
SEEDS = [str(seed) for seed in range(_WANTED or 60)]
SOME_SEEDS = SEEDS[: _WANTED or 10]
FEW_SEEDS = SEEDS[:2]  # for misconceptions that loop for ever: each costs its time limit


def ends(one: Item) -> list[str]:
    """Return the misconceptions of an exercise that always come back."""
    return [name for name in one.misconceptions if not loops(one, name)]


@functools.lru_cache(maxsize=1)
def many(exercise_id: str) -> list[tuple[Case, ...]]:
    """Return cases of all seeds with what is right, and nothing of any misconception."""
    return cases_of_seeds(item(exercise_id), SEEDS, [], EvaluateHere())


@functools.lru_cache(maxsize=1)
def some(exercise_id: str) -> list[tuple[Case, ...]]:
    """Return cases of some seeds, with what those misconceptions give that end."""
    one = item(exercise_id)
    return cases_of_seeds(one, SOME_SEEDS, ends(one), EvaluateHere())


def here_if_it_ends(one: Item) -> Evaluate:
    """Return what works out cases in this process, but for what loops for ever.

    That is for the main thread: to no other one comes the signal that a case has taken too long.
    """
    if threading.current_thread() is not threading.main_thread():
        return evaluate
    evaluate_here = EvaluateHere()
    here = {one.answer, *(one.misconceptions[name] for name in ends(one))}
    return lambda shape, function, asked, share=1.0: (
        evaluate_here if function in here else evaluate)(shape, function, asked, share)  # fmt: skip


@functools.lru_cache(maxsize=1)
def few(exercise_id: str) -> list[tuple[Case, ...]]:
    """Return cases of a few seeds, with what every misconception gives."""
    one = item(exercise_id)
    if len(ends(one)) == len(one.misconceptions):
        return some(exercise_id)[: len(FEW_SEEDS)]
    return cases_of_seeds(one, FEW_SEEDS, None, here_if_it_ends(one))
