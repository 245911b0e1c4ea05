"""Other right answers for exercise 11.6: fits."""

__all__ = ["OTHERS"]

import math
import statistics
from collections.abc import Callable
from fractions import Fraction
from itertools import compress
from typing import Any

import numpy as np


def by_polynomial(
    sent: list[int],
    lost: list[int],
    windows: list[float],
    largest: float,
    student: list[float],
) -> tuple[list[str], float, float]:
    """Let NumPy choose by masks and fit a line."""
    sizes, losses = np.array(windows, float), np.array(lost, float)
    conditions = [losses < 10, sizes > 0.9 * largest, sizes < 4]
    verdicts = np.select(conditions, ["few losses", "full line", "time-outs"], "counts")
    mask = verdicts == "counts"
    x, y = np.log(losses[mask] / np.array(sent, float)[mask]), np.log(sizes[mask])
    slope, height = np.polyfit(x, y, 1)
    rest = float(np.sum((y - slope * x - height) ** 2))
    free = int(mask.sum()) - 2
    reach = student[free] * (rest / free / float(np.sum((x - x.mean()) ** 2))) ** 0.5
    return [str(one) for one in verdicts], float(slope), reach


def by_statistics(
    sent: list[int],
    lost: list[int],
    windows: list[float],
    largest: float,
    student: list[float],
) -> tuple[list[str], float, float]:
    """Use the standard library, and the correlation for the interval."""
    verdicts = []
    for losses, window in zip(lost, windows, strict=True):
        if losses <= 9:
            verdicts.append("few losses")
        elif 10 * Fraction(window) > 9 * Fraction(largest):
            verdicts.append("full line")
        else:
            verdicts.append("counts" if window >= 4 else "time-outs")
    good = [verdict == "counts" for verdict in verdicts]
    x = [math.log(b) - math.log(a) for a, b in compress(zip(sent, lost, strict=True), good)]
    y = [math.log(one) for one in compress(windows, good)]
    slope = statistics.linear_regression(x, y).slope
    r, free = statistics.correlation(x, y), len(x) - 2
    return verdicts, slope, student[free] * abs(slope) * math.sqrt((1 / r**2 - 1) / free)


def by_normal_equations(
    sent: list[int],
    lost: list[int],
    windows: list[float],
    largest: float,
    student: list[float],
) -> tuple[list[str], float, float]:
    """Sum powers up, and solve two equations."""
    verdicts: list[str] = []
    n, sx, sy, sxx, sxy, syy = 0, 0.0, 0.0, 0.0, 0.0, 0.0
    for index, window in enumerate(windows):
        why = {lost[index] < 10: "few losses"}.get(True)
        why = why or {window > 0.9 * largest: "full line"}.get(True)
        why = why or {window < 4: "time-outs"}.get(True)
        verdicts.append(why or "counts")
        if why is None:
            u, v = math.log(lost[index] / sent[index]), math.log(window)
            n, sx, sy = n + 1, sx + u, sy + v
            sxx, sxy, syy = sxx + u * u, sxy + u * v, syy + v * v
    spread = n * sxx - sx * sx
    slope = (n * sxy - sx * sy) / spread
    smallest = (syy * n - sy * sy - slope * slope * spread) / n
    return verdicts, slope, student[n - 2] * math.sqrt(smallest * n / ((n - 2) * spread))


OTHERS: tuple[Callable[..., Any], ...] = (by_polynomial, by_statistics, by_normal_equations)
