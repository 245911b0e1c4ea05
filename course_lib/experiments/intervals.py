"""How sure a mean, or a share, is: intervals from a few results.

A mean is shown with its *confidence band*: mean ± t × s / √n, with s from the results' spread and t
from Student's distribution for n - 1 degrees of freedom ("Student", "The probable error of a mean",
Biometrika 6, 1908). In 95 of 100 sweeps the true mean lies inside, if the results are spread about
evenly around it. A band that does not hold the theory's value says that chance alone is a poor
excuse; a narrow one around another value says that the model differs.

A share, such as how many of all packets were lost, has `wilson_interval`.
"""

__all__ = ["Band", "confidence_band", "student_t", "wilson_interval"]

import math
import statistics
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

_NORMAL_95_PERCENT = 1.959963984540054  # 95 % of a normal variable lie within so many deviations
_LARGEST_T = 1e6
_STEPS = 80  # of bisection


class Band(NamedTuple):
    """The mean of several runs at one place `x`, and the band around it."""

    x: float
    mean: float
    low: float
    high: float
    runs: int


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


def wilson_interval(count: float, trials: int) -> tuple[float, float]:
    """Return the 95 % score interval of a share that was measured as `count` of `trials`.

    Unlike the share plus or minus two standard errors it says something when the count is 0, and
    never leaves 0 to 1. A count with halves, as of points, gives an interval that is wider than it
    need be: a share of a given mean varies most when it is always 0 or 1.
    Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927), 209-212.

    >>> low, high = wilson_interval(0, 20)
    >>> round(low, 4), round(high, 4)
    (0.0, 0.1611)
    """
    if not 0 <= count <= trials or trials < 1:
        raise ValueError(f"{count:g} of {trials} is not a share")
    share, squared = count / trials, _NORMAL_95_PERCENT**2
    middle = share + squared / (2 * trials)
    half = _NORMAL_95_PERCENT * math.sqrt(
        share * (1 - share) / trials + squared / (4 * trials * trials)
    )
    scale = 1 + squared / trials
    low = (middle - half) / scale if count else 0.0  # exact at the ends, free of rounding
    high = (middle + half) / scale if count < trials else 1.0
    return low, high
