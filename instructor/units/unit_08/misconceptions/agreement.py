"""Misconceptions about runs, their intervals and what theory says: exercise 8.6.

Each is the comparison below with one part that is wrong.
"""

__all__ = ["COMPARE_WITH_THEORY", "RightComparison"]

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

Verdict = tuple[float, float, bool]


class RightComparison:
    """The comparison in small parts, of which others get one wrong."""

    waits: list[int]
    warm_up: int
    batches: int
    t: float
    theory: float

    def __new__(cls, waits: list[int], warm_up: int, batches: int, t: float, theory: float) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.waits, self.warm_up, self.batches = waits, warm_up, batches
        self.t, self.theory = t, theory
        return self.result()

    def result(self) -> Verdict:
        """Return mean, reach and verdict."""
        counted = self.counted()
        rows = self.rows(counted)
        means = [sum(row) / len(row) for row in rows]
        mean = self.mean(rows, counted)
        reach = self.reach(means, rows)
        return mean, reach, self.agrees(mean, reach, means)

    def counted(self) -> list[int]:
        """Return the waits that count."""
        return self.waits[self.warm_up :]

    def rows(self, counted: list[int]) -> list[list[int]]:
        """Return the batches."""
        length = len(counted) // self.batches
        return [counted[n * length : (n + 1) * length] for n in range(self.batches)]

    def mean(self, rows: list[list[int]], counted: list[int]) -> float:
        """Return the mean."""
        return sum(map(sum, rows)) / sum(map(len, rows))

    def reach(self, means: list[float], rows: list[list[int]]) -> float:
        """Return how far the interval reaches."""
        return self.t * self.deviation(means) / math.sqrt(self.root_of(rows))

    def deviation(self, values: list[Any]) -> float:
        """Return the standard deviation."""
        mean = sum(values) / len(values)
        return math.sqrt(sum((one - mean) ** 2 for one in values) / self.freedom(values))

    def freedom(self, values: list[Any]) -> int:
        """Return the denominator."""
        return len(values) - 1

    def root_of(self, rows: list[list[int]]) -> int:
        """Return what the root is taken of."""
        return self.batches

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        """Tell whether theory agrees."""
        return abs(self.theory - mean) <= reach


class WarmUpStaysIn(RightComparison):
    """Believe that all packets of a run are alike."""

    def counted(self) -> list[int]:
        return self.waits


class WarmUpAtBothEnds(RightComparison):
    """Believe that the end of a run has to be left out, too."""

    def counted(self) -> list[int]:
        return self.waits[self.warm_up : len(self.waits) - self.warm_up]


class WarmUpInBatchesOnly(RightComparison):
    """Believe that the warm-up stays out of the batches, but not of the mean."""

    def mean(self, rows: list[list[int]], counted: list[int]) -> float:
        return sum(map(sum, rows), sum(self.waits[: self.warm_up])) / (
            self.warm_up + sum(map(len, rows))
        )


class RestInTheLastBatch(RightComparison):
    """Believe that what is left over belongs to the last batch."""

    def rows(self, counted: list[int]) -> list[list[int]]:
        length = len(counted) // self.batches
        rows = super().rows(counted)
        return [*rows[:-1], counted[(self.batches - 1) * length :]]


class RestSpreadOut(RightComparison):
    """Believe that what is left over makes the first batches longer."""

    def rows(self, counted: list[int]) -> list[list[int]]:
        length, longer = divmod(len(counted), self.batches)
        ends = [n * length + min(n, longer) for n in range(self.batches + 1)]
        return [counted[one:other] for one, other in pairwise(ends)]


class RestInTheMean(RightComparison):
    """Believe that the mean is that of all waits, also of those in no batch."""

    def mean(self, rows: list[list[int]], counted: list[int]) -> float:
        return sum(counted) / len(counted)


class RestAtTheStart(RightComparison):
    """Believe that what is left over is left out at the start."""

    def rows(self, counted: list[int]) -> list[list[int]]:
        return super().rows(counted[len(counted) % self.batches :])


class DealtOutInTurn(RightComparison):
    """Believe that waits are dealt out to the batches one by one."""

    def rows(self, counted: list[int]) -> list[list[int]]:
        length = len(counted) // self.batches
        return [counted[n : length * self.batches : self.batches] for n in range(self.batches)]


class LengthForNumber(RightComparison):
    """Believe that `batches` is the length of a batch."""

    def rows(self, counted: list[int]) -> list[list[int]]:
        number = len(counted) // self.batches
        return [counted[n * self.batches : (n + 1) * self.batches] for n in range(number)]

    def freedom(self, values: list[Any]) -> int:
        return max(1, len(values) - 1)

    def root_of(self, rows: list[list[int]]) -> int:
        return len(rows)


class WaitsAreIndependent(RightComparison):
    """Believe that a thousand waits are a thousand independent numbers."""

    def reach(self, means: list[float], rows: list[list[int]]) -> float:
        every = [one for row in rows for one in row]
        return self.t * self.deviation(every) / math.sqrt(len(every))


class DeviationOfWaits(RightComparison):
    """Believe that s is the deviation of the waits."""

    def reach(self, means: list[float], rows: list[list[int]]) -> float:
        every = [one for row in rows for one in row]
        return self.t * self.deviation(every) / math.sqrt(self.batches)


class RootOfAllWaits(RightComparison):
    """Believe that the root is that of the number of waits."""

    def root_of(self, rows: list[list[int]]) -> int:
        return sum(map(len, rows))


class DividedByAll(RightComparison):
    """Believe that a deviation is divided by the number of values."""

    def freedom(self, values: list[Any]) -> int:
        return len(values)


class WithoutTheRoot(RightComparison):
    """Believe that the interval shows how far single batches lie apart."""

    def root_of(self, rows: list[list[int]]) -> int:
        return 1


class ByTheNumber(RightComparison):
    """Believe that the deviation is divided by the number of batches, not by its root."""

    def root_of(self, rows: list[list[int]]) -> int:
        return self.batches**2


class VarianceForDeviation(RightComparison):
    """Believe that s is the variance."""

    def deviation(self, values: list[Any]) -> float:
        return super().deviation(values) ** 2


class WholeWidth(RightComparison):
    """Believe that the whole width of the interval is asked for."""

    def result(self) -> Verdict:
        mean, reach, agrees = super().result()
        return mean, 2 * reach, agrees


class WithoutStudent(RightComparison):
    """Believe that one standard error is the interval."""

    def reach(self, means: list[float], rows: list[list[int]]) -> float:
        return self.deviation(means) / math.sqrt(self.batches)


class NotAboveIsEnough(RightComparison):
    """Believe that theory agrees unless it lies above the interval."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        return self.theory - mean <= reach


class NotBelowIsEnough(RightComparison):
    """Believe that theory agrees unless it lies below the interval."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        return mean - self.theory <= reach


class WithinTheBatches(RightComparison):
    """Believe that theory agrees if it lies between the smallest and the largest mean."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        return min(means) <= self.theory <= max(means)


class TrueForCaught(RightComparison):
    """Believe that True says that theory is wrong."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        return not super().agrees(mean, reach, means)


COMPARE_WITH_THEORY: dict[str, Callable[..., Any]] = {
    "warm-up-stays-in": WarmUpStaysIn,
    "warm-up-at-both-ends": WarmUpAtBothEnds,
    "warm-up-stays-in-the-mean": WarmUpInBatchesOnly,
    "rest-in-the-last-batch": RestInTheLastBatch,
    "rest-makes-batches-longer": RestSpreadOut,
    "rest-in-the-mean": RestInTheMean,
    "rest-left-out-at-the-start": RestAtTheStart,
    "dealt-out-in-turn": DealtOutInTurn,
    "batches-is-a-length": LengthForNumber,
    "waits-are-independent": WaitsAreIndependent,
    "deviation-of-waits": DeviationOfWaits,
    "root-of-all-waits": RootOfAllWaits,
    "divided-by-all": DividedByAll,
    "without-the-root": WithoutTheRoot,
    "number-for-root": ByTheNumber,
    "variance-for-deviation": VarianceForDeviation,
    "whole-width": WholeWidth,
    "without-student": WithoutStudent,
    "not-above-is-enough": NotAboveIsEnough,
    "not-below-is-enough": NotBelowIsEnough,
    "within-the-batches": WithinTheBatches,
    "true-for-caught": TrueForCaught,
}
