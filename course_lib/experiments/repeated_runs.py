"""Repeat a simulation with several seeds, and say how sure its mean is.

One run is one throw of dice. So each point of a sweep is run with several seeds, which are
independent of each other; of the results, the mean is shown with its *confidence band*. The method:
mean ± t × s / √n, with t from Student's distribution for n - 1 degrees of freedom ("Student", "The
probable error of a mean", Biometrika 6, 1908). In 95 of 100 sweeps the true mean lies inside, if
the results are spread about evenly around it. A band that does not hold the theory's value says
that chance alone is a poor excuse; a narrow one around another value says that the model differs.
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

    Runs on all cores, as `course_lib.experiments.sweeps.sweep`; `tell` gets the number of finished
    calls and of all. At least two seeds. Raises ValueError.
    """
    if len(set(seeds)) < max(2, len(seeds)):
        raise ValueError(f"a band needs two different seeds or more, not {list(seeds)}")
    calls = [partial(measure, value, seed) for value in values for seed in seeds]
    results = sweep(calls, tell)
    count = len(seeds)
    rows = [results[place : place + count] for place in range(0, len(results), count)]
    return [confidence_band(x, row, level) for x, row in zip(values, rows, strict=True)]
