"""How far the totals of a class would come out the same with other exercises of this kind.

Cronbach's alpha (L. J. Cronbach, Psychometrika 16, 1951), with the interval of L. S. Feldt
(Psychometrika 30, 1965). For exercises that are right or wrong and nothing between, alpha is the
formula 20 of G. F. Kuder and M. W. Richardson (Psychometrika 2, 1937).
"""

__all__ = ["Reliability", "feldt_interval", "lengthened", "reliability"]

import math
from typing import NamedTuple

import numpy as np

from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.statistics.score_table import Points

LEVEL = 0.95


class Reliability(NamedTuple):
    """Alpha with its 95 % interval; `error` is the standard error of one total, in points."""

    alpha: float
    low: float
    high: float
    error: float
    students: int
    exercises: int


def reliability(points: Points) -> Reliability | None:
    """Work out alpha of a table without gaps (students × exercises).

    None where a figure would say nothing: fewer than five students, fewer than two exercises,
    or everybody with the same total.
    """
    students, exercises = points.shape
    if students < SMALLEST_GROUP or exercises < 2:
        return None
    variances = points.var(axis=0, ddof=1)
    of_totals = float(points.sum(axis=1).var(ddof=1))
    if not of_totals > 0:
        return None
    alpha = exercises / (exercises - 1) * (1 - float(variances.sum()) / of_totals)
    low, high = feldt_interval(alpha, students, exercises)
    error = math.sqrt(of_totals * max(0.0, 1 - alpha))
    return Reliability(alpha, low, high, error, students, exercises)


def lengthened(alpha: float, times: float) -> float:
    """Foretell alpha with so many times as many exercises of the kind (Spearman, Brown, 1910).

    >>> round(lengthened(0.6, 2), 6)
    0.75
    """
    return times * alpha / (1 + (times - 1) * alpha)


def feldt_interval(alpha: float, students: int, exercises: int) -> tuple[float, float]:
    """Return the 95 % interval of an alpha that so many students and exercises gave."""
    from scipy import special  # `scipy.stats` has the same by name, and takes a second to load

    freedom = students - 1
    tail = (1 - LEVEL) / 2
    ratios = (
        special.fdtri(freedom, freedom * (exercises - 1), place) for place in (1 - tail, tail)
    )
    low, high = (1 - (1 - alpha) * ratio for ratio in ratios)
    return float(np.float64(low)), float(np.float64(high))
