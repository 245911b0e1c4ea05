"""Repeat a simulation with several seeds: one run is one throw of dice.

Each point of a sweep is run with several seeds, which are independent of each other. Of the
results, the mean is shown with its *confidence band*; see `intervals`.
"""

__all__ = ["sweep_seeds"]

from collections.abc import Callable, Sequence
from functools import partial

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.experiments.sweeps import sweep


def sweep_seeds(
    measure: Callable[[float, int], float],
    values: Sequence[float],
    seeds: Sequence[int] = range(5),
    tell: Callable[[int, int], None] | None = None,
    *,
    level: float = 0.95,
) -> list[Band]:
    """Call `measure(value, seed)` for every value and seed; return a band for each value.

    Runs on all cores, as `sweeps.sweep`; `tell` gets the number of finished calls and of all. At
    least two seeds. Raises ValueError.

    >>> ten, twenty = sweep_seeds(lambda value, seed: value + seed, [10, 20], seeds=[1, 2, 3])
    >>> ten.mean, twenty.mean, twenty.runs
    (12.0, 22.0, 3)
    """
    if len(set(seeds)) < max(2, len(seeds)):
        raise ValueError(f"a band needs two different seeds or more, not {list(seeds)}")
    calls = [partial(measure, value, seed) for value in values for seed in seeds]
    results = sweep(calls, tell)
    count = len(seeds)
    rows = [results[place : place + count] for place in range(0, len(results), count)]
    return [confidence_band(x, row, level) for x, row in zip(values, rows, strict=True)]
