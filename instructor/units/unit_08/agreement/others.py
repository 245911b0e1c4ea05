"""Other right answers to exercise 8.6, each in a way of its own."""

__all__ = ["OTHERS"]

import statistics
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np

Verdict = tuple[float, float, bool]


def compare_by_statistics(
    waits_ms: list[int], warm_up: int, batches: int, t: float, theory_ms: float
) -> Verdict:
    """Leave the sums to the standard library."""
    length = (len(waits_ms) - warm_up) // batches
    starts = range(warm_up, warm_up + batches * length, length)
    means = [statistics.fmean(waits_ms[start : start + length]) for start in starts]
    mean = statistics.fmean(means)
    reach = t * statistics.stdev(means) / batches**0.5
    return mean, reach, mean - reach <= theory_ms <= mean + reach


def compare_by_table(
    waits_ms: list[int], warm_up: int, batches: int, t: float, theory_ms: float
) -> Verdict:
    """Put the waits into a table with a row for each batch."""
    waits = np.array(waits_ms[warm_up:], float)
    table = waits[: len(waits) // batches * batches].reshape(batches, -1)
    means = table.mean(axis=1)
    reach = t * means.std(ddof=1) / np.sqrt(batches)
    return float(table.mean()), float(reach), bool(abs(table.mean() - theory_ms) <= reach)


def compare_in_fractions(
    waits_ms: list[int], warm_up: int, batches: int, t: float, theory_ms: float
) -> Verdict:
    """Add sums of batches and their squares; nothing is a float until the root."""
    length = (len(waits_ms) - warm_up) // batches
    sums = [0] * batches
    for place in range(batches * length):
        sums[place // length] += waits_ms[warm_up + place]
    mean = Fraction(sum(sums), batches * length)
    squares = Fraction(sum(one * one for one in sums), length * length)
    variance = (squares - batches * mean * mean) / (batches - 1)
    reach = t * float(variance / batches) ** 0.5
    return float(mean), reach, abs(float(mean) - theory_ms) <= reach


OTHERS: tuple[Callable[..., Any], ...] = (
    compare_by_statistics,
    compare_by_table,
    compare_in_fractions,
)
