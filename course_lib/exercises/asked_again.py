"""Ask everything twice, in another process and another order: the same call, the same result.

An answer that is right by chance, or as long as nothing went before, passes once. So each case
is asked again, and an aspect counts where it is right both times (`verdict.judge`).
"""

__all__ = ["Ask", "asked_again", "in_another_order"]

import random
from collections.abc import Callable, Sequence

from course_lib.exercises.beliefs import agrees
from course_lib.exercises.registry import Case, Exercise
from course_lib.runner.runner import Result, Run

Ask = Callable[[Sequence[Case]], Run]  # puts cases to the answer, in a process of its own


def asked_again(
    item: Exercise, cases: Sequence[Case], run: Run, ask: Ask, seed: str = ""
) -> tuple[Result, ...]:
    """Ask the cases of a run once more; return the results in the order of `cases`.

    The order in which they are asked comes from `seed`. Where an answer has been ended, by its
    time or by itself, only those aspects are asked again that can still earn points; all other
    results are those of the first run.
    """
    if run.load_problem is not None:
        return run.results
    places = in_another_order(_worth_asking(item, cases, run.results), seed)
    again = ask([cases[place] for place in places])
    given = again.results or [Result("died", note="the cell could not be run again")] * len(places)
    found = list(run.results)
    for place, result in zip(places, given, strict=True):
        found[place] = result
    return tuple(found)


def in_another_order(places: Sequence[int], seed: str) -> list[int]:
    """Return places in an order that is the seed's own."""
    order = list(places)
    random.Random(f"again {seed}").shuffle(order)
    return order


def _worth_asking(item: Exercise, cases: Sequence[Case], results: Sequence[Result]) -> list[int]:
    if not any(result.kind in ("out of time", "died") for result in results):
        return list(range(len(cases)))
    wrong = {
        case.aspect
        for case, result in zip(cases, results, strict=True)
        if not agrees(case.expected, result, whole=item.whole)
    }
    return [place for place, case in enumerate(cases) if case.aspect not in wrong]
