"""How much of what a class could still learn it has learnt: the normalised gain.

gain = (after - before) / (1 - before), of the means of a class (R. R. Hake, Am. J. Phys. 66, 1998).
It is not the mean of the students' own gains, of which there is none where somebody had all of it
right before.
"""

__all__ = ["Gain", "band", "class_gain", "effect_size", "normalised_gain"]

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from instructor.reporting.class_report import SMALLEST_GROUP

HIGH, MEDIUM = 0.7, 0.3  # Hake's bands
SAMPLES = 4000  # drawings of the interval


class Gain(NamedTuple):
    """The gain of those who did both tests, with a 95 % interval; shares lie between 0 and 1."""

    before: float
    after: float
    gain: float
    low: float
    high: float
    effect: float
    students: int


def normalised_gain(before: float, after: float) -> float | None:
    """Return the gain of two shares; None where nothing was left to learn.

    >>> normalised_gain(0.4, 0.7)
    0.5
    """
    return None if before >= 1 else round((after - before) / (1 - before), 12)


def band(gain: float) -> str:
    """Name the band of a gain.

    >>> [band(gain) for gain in (0.7, 0.69, 0.3, 0.29)]
    ['high', 'medium', 'medium', 'low']
    """
    return "high" if gain >= HIGH else "medium" if gain >= MEDIUM else "low"


def effect_size(difference: float, one_spread: float, other_spread: float) -> float:
    """Return a difference of means in units of the mean of both standard deviations.

    >>> round(effect_size(0.25, 0.04, 0.14), 2)
    2.78
    """
    return difference / ((one_spread + other_spread) / 2)


def class_gain(before: Sequence[float], after: Sequence[float]) -> Gain | None:
    """Return the gain of a class: shares of right answers, one of each student in both.

    The interval is a bootstrap over students (B. Efron, J. Am. Stat. Assoc. 82, 1987). None for
    fewer than five, or where nothing was left to learn.
    """
    one, other = np.array(before, float), np.array(after, float)
    if len(one) < SMALLEST_GROUP or one.mean() >= 1:
        return None
    gain = float(_gain_of(one, other))
    low, high = _interval(one, other)
    spread = [float(each.std(ddof=1)) for each in (one, other)]
    effect = effect_size(float(other.mean() - one.mean()), *spread) if sum(spread) else math.nan
    return Gain(float(one.mean()), float(other.mean()), gain, low, high, effect, len(one))


def _interval(one: NDArray[np.float64], other: NDArray[np.float64]) -> tuple[float, float]:
    from scipy import stats  # takes a second to load: nobody else has to wait for it

    if np.ptp(one) == 0 and np.ptp(other) == 0:  # then any drawing is the class itself
        gain = float(_gain_of(one, other))
        return gain, gain
    found = stats.bootstrap(
        (one, other), _gain_of, paired=True, vectorized=True, n_resamples=SAMPLES,
        method="BCa" if np.ptp(other - one) else "percentile", rng=np.random.default_rng(1998),
    ).confidence_interval  # fmt: skip
    return float(found.low), float(found.high)


def _gain_of(
    one: NDArray[np.float64], other: NDArray[np.float64], axis: int = -1
) -> NDArray[np.float64]:
    before, after = one.mean(axis=axis), other.mean(axis=axis)
    left: NDArray[np.float64] = (after - before) / np.maximum(1 - before, 1e-9)
    return left
