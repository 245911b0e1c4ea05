"""Repeat a simulation with several seeds, and say how sure its mean is.

One run is one throw of dice. So each point of a sweep is run with several seeds, which are
independent of each other; of the results, the mean is shown with its *confidence band*. The method:
mean ± t × s / √n, with t from Student's distribution for n - 1 degrees of freedom ("Student", "The
probable error of a mean", Biometrika 6, 1908). In 95 of 100 sweeps the true mean lies inside, if
the results are spread about evenly around it. A band that does not hold the theory's value says
that chance alone is a poor excuse; a narrow one around another value says that the model differs.
"""

__all__ = ["Band", "confidence_band", "student_t", "sweep_seeds"]

import math
import statistics
from collections.abc import Callable, Sequence
from functools import cache, partial
from typing import NamedTuple

from course_lib.queueing.sweeps import sweep

_LARGEST_T = 1e6
_STEPS = 80  # of bisection


class Band(NamedTuple):
    """The mean of several runs at one place `x`, and the band around it."""

    x: float
    mean: float
    low: float
    high: float
    runs: int


def sweep_seeds(
    measure: Callable[[float, int], float],
    values: Sequence[float],
    seeds: Sequence[int] = range(5),
    tell: Callable[[int, int], None] | None = None,
    *,
    level: float = 0.95,
) -> list[Band]:
    """Call `measure(value, seed)` for every value and seed; return a band for each value.

    Runs on all cores, as `course_lib.queueing.sweeps.sweep`; `tell` gets the number of finished
    calls and of all. At least two seeds. Raises ValueError.
    """
    if len(set(seeds)) < max(2, len(seeds)):
        raise ValueError(f"a band needs two different seeds or more, not {list(seeds)}")
    calls = [partial(measure, value, seed) for value in values for seed in seeds]
    results = sweep(calls, tell)
    count = len(seeds)
    rows = [results[place : place + count] for place in range(0, len(results), count)]
    return [confidence_band(x, row, level) for x, row in zip(values, rows, strict=True)]


def confidence_band(x: float, results: Sequence[float], level: float = 0.95) -> Band:
    """Return mean and band of independent results, two at least.

    >>> confidence_band(50, [0.97, 0.98, 0.99]).mean
    0.98
    """
    count = len(results)
    if count < 2:
        raise ValueError(f"a band needs two results or more, not {count}")
    mean = statistics.fmean(results)
    half = student_t(level, count - 1) * statistics.stdev(results) / math.sqrt(count)
    return Band(float(x), mean, mean - half, mean + half, count)


@cache
def student_t(level: float, freedom: int) -> float:
    """Return the t between whose minus and plus the share `level` of Student's distribution lies.

    >>> round(student_t(0.95, 4), 3)
    2.776
    """
    if not 0 < level < 1:
        raise ValueError(f"level must lie between 0 and 1, not {level}")
    if freedom < 1:
        raise ValueError(f"freedom must be 1 or more, not {freedom}")
    low, high = 0.0, _LARGEST_T
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if _share_within(middle, freedom) < level:
            low = middle
        else:
            high = middle
    return high


def _share_within(t: float, freedom: int) -> float:
    """Return the share between -t and t, by the finite sums for whole degrees of freedom.

    M. Abramowitz, I. Stegun, "Handbook of Mathematical Functions", 26.7.3 and 26.7.4.
    """
    angle = math.atan(t / math.sqrt(freedom))
    cosine_squared = math.cos(angle) ** 2
    odd = freedom % 2
    term = math.cos(angle) if odd else 1.0
    total = 0.0
    for place in range(2 + odd, freedom + 1, 2):
        total += term
        term *= cosine_squared * (place - 1) / place
    total *= math.sin(angle)
    return 2 / math.pi * (angle + total) if odd else total
