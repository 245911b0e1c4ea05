"""Whether those who do well elsewhere do well in an exercise, too.

*Item–rest* is the correlation of an exercise with everything else: with the exercise itself left
out, which else would agree with itself. *Upper minus lower* is how much larger a share of the
points the best have in it than the weakest, 27 % at either end (T. L. Kelley, J. Educ. Psych. 30,
1939). The bands are R. L. Ebel's (Essentials of Educational Measurement).
"""

__all__ = ["BANDS", "POOR_BELOW", "Correlation", "band", "item_rest", "upper_minus_lower"]

import math
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.statistics.score_table import Points

LEVEL = 0.95  # of the interval
TAIL = 0.27  # of the class, at either end
BANDS = ((0.40, "very good"), (0.30, "reasonably good"), (0.20, "marginal"), (-math.inf, "poor"))
POOR_BELOW = 0.20
FEWEST_BESIDE = 2  # other exercises: one alone is no measure of anything


class Correlation(NamedTuple):
    """A correlation from -1 to 1 with its 95 % interval (R. A. Fisher 1921)."""

    r: float
    low: float
    high: float
    students: int


def item_rest(points: Points, column: int) -> Correlation | None:
    """Correlate one exercise with all others; NaN stands for what is not there.

    The rest of a student is how far the points lie above those of the class, over all exercises
    that this student has: so who handed in the hard units alone is not taken for weak. Where
    nothing is missing that is the sum of the others. None where a figure would say nothing.
    """
    own = points[:, column]
    others = np.delete(points, column, axis=1)
    if others.shape[1] < FEWEST_BESIDE:
        return None
    there = ~np.isnan(own) & (np.count_nonzero(~np.isnan(others), axis=1) >= FEWEST_BESIDE)
    own, others = own[there], others[there]
    if len(own) < SMALLEST_GROUP:
        return None
    others = others[:, ~np.isnan(others).all(axis=0)]
    above = others - np.nanmean(others, axis=0)
    rest = np.nanmean(above, axis=1)
    return _correlation(own, rest)


def upper_minus_lower(points: Points, column: int, of: float, tail: float = TAIL) -> float | None:
    """Return by how much the share of points of the best is above that of the weakest, -1 to 1.

    `points` have no gaps, and `of` are the points of the exercise. Students with the same total as
    the last who still belongs to an end count in part, all as much: no order of names decides.
    """
    students = len(points)
    if students < SMALLEST_GROUP:
        return None
    totals = points.sum(axis=1)
    size = max(1.0, tail * students)
    share = points[:, column] / of
    return float(share @ _at_the_top(totals, size) - share @ _at_the_top(-totals, size))


def band(value: float) -> str:
    """Name the band of a discrimination.

    >>> [band(value) for value in (0.4, 0.3, 0.2, 0.1, -0.3)]
    ['very good', 'reasonably good', 'marginal', 'poor', 'poor']
    """
    return next(name for limit, name in BANDS if round(value, 9) >= limit)


def _at_the_top(totals: Points, size: float) -> Points:
    """Return the weight of each student among the `size` best; all weights together are 1."""
    above = np.array([np.count_nonzero(totals > one) for one in totals])
    equal = np.array([np.count_nonzero(totals == one) for one in totals])
    weights: Points = np.clip((size - above) / equal, 0.0, 1.0) / size
    return weights


def _correlation(one: Points, other: Points) -> Correlation | None:
    if np.ptp(one) < 1e-9 or np.ptp(other) < 1e-9:
        return None
    r = float(np.clip(np.corrcoef(one, other)[0, 1], -1.0, 1.0))
    if math.isclose(abs(r), 1.0):
        return Correlation(r, r, r, len(one))
    half = NormalDist().inv_cdf(1 - (1 - LEVEL) / 2) / math.sqrt(len(one) - 3)
    low, high = math.tanh(math.atanh(r) - half), math.tanh(math.atanh(r) + half)
    return Correlation(r, low, high, len(one))
