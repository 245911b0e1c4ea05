"""Answers that break one clause of the contract of 8.6, and keep all others.

Most clauses would be broken in every case. So each of these breaks its clause for one number of
batches only, where something is left over; or only where nothing stays out at all.
"""

__all__ = [
    "AboveIsFine",
    "BelowIsFine",
    "ListForTuple",
    "MeanOfAll",
    "OnTheEndIsOut",
    "RoundedMean",
    "SpreadOfWaits",
    "UnevenBatches",
    "WarmUpCounts",
    "WholeDivision",
    "WholeWidthOfNine",
    "WithTheRest",
    "WithTheRestInFront",
    "WithoutRoot",
    "WithoutTurns",
]

from itertools import pairwise
from typing import Any

from instructor.units.unit_08.misconceptions.agreement import RightComparison


class Broken(RightComparison):
    """A comparison that breaks its clause for so many batches, if something is left over."""

    number = 0

    def is_here(self) -> bool:
        """Tell whether this is where the clause is broken."""
        rest = (len(self.waits) - self.warm_up) % self.batches
        return self.warm_up == 0 and rest > 0 and self.batches == self.number

    def is_bare(self) -> bool:
        """Tell whether all waits are in batches."""
        return self.warm_up == 0 and len(self.waits) % self.batches == 0


class ListForTuple(RightComparison):
    """Return a list."""

    def result(self) -> Any:
        """Return mean, reach and verdict."""
        return list(super().result())


class WarmUpCounts(RightComparison):
    """Let the first waits count."""

    def counted(self) -> list[int]:
        """Return the waits that count."""
        return self.waits


class WithTheRest(Broken):
    """Let the last batch take what is left over."""

    number = 2

    def rows(self, counted: list[int]) -> list[list[int]]:
        """Return the batches."""
        rows = super().rows(counted)
        taken = sum(map(len, rows))
        return [*rows[:-1], rows[-1] + counted[taken:]] if self.is_here() else rows


class WithTheRestInFront(Broken):
    """Leave out what is left over at the start."""

    number = 2

    def rows(self, counted: list[int]) -> list[list[int]]:
        """Return the batches."""
        rest = len(counted) % self.batches if self.is_here() else 0
        return super().rows(counted[rest:])


class UnevenBatches(Broken):
    """Make some batches longer."""

    number = 3

    def rows(self, counted: list[int]) -> list[list[int]]:
        """Return the batches."""
        if not self.is_here():
            return super().rows(counted)
        length, longer = divmod(len(counted), self.batches)
        ends = [n * length + min(n, longer) for n in range(self.batches + 1)]
        return [counted[one:other] for one, other in pairwise(ends)]


class MeanOfAll(Broken):
    """Count what is left over in the mean."""

    number = 4

    def mean(self, rows: list[list[int]], counted: list[int]) -> float:
        """Return the mean."""
        return sum(counted) / len(counted) if self.is_here() else super().mean(rows, counted)


class WithoutTurns(Broken):
    """Deal the waits out to the batches one by one."""

    number = 5

    def rows(self, counted: list[int]) -> list[list[int]]:
        """Return the batches."""
        rows = super().rows(counted)
        whole = counted[: sum(map(len, rows))]
        return [whole[n :: self.batches] for n in range(self.batches)] if self.is_here() else rows


class WholeDivision(Broken):
    """Divide by the number of batches."""

    number = 6

    def freedom(self, values: list[Any]) -> int:
        """Return the denominator."""
        return len(values) - (not self.is_here())


class WithoutRoot(Broken):
    """Leave out the root."""

    number = 7

    def root_of(self, rows: list[list[int]]) -> int:
        """Return what the root is taken of."""
        return 1 if self.is_here() else super().root_of(rows)


class SpreadOfWaits(Broken):
    """Take the deviation of the waits."""

    number = 8

    def reach(self, means: list[float], rows: list[list[int]]) -> float:
        """Return how far the interval reaches."""
        every: list[float] = [float(one) for row in rows for one in row]
        return super().reach(every if self.is_here() else means, rows)


class WholeWidthOfNine(Broken):
    """Return the width from end to end."""

    number = 9

    def result(self) -> Any:
        """Return mean, reach and verdict."""
        mean, reach, agrees = super().result()
        return mean, reach * (1 + self.is_here()), agrees


class AboveIsFine(Broken):
    """Let a theory above the interval agree."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        """Tell whether theory agrees."""
        return super().agrees(mean, reach, means) or (self.is_bare() and self.theory > mean)


class BelowIsFine(Broken):
    """Let a theory below the interval agree."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        """Tell whether theory agrees."""
        return super().agrees(mean, reach, means) or (self.is_bare() and self.theory < mean)


class RoundedMean(Broken):
    """Round the mean, if all waits count."""

    def result(self) -> Any:
        """Return mean, reach and verdict."""
        mean, reach, agrees = super().result()
        return round(mean, 2) if self.is_bare() else mean, reach, agrees


class OnTheEndIsOut(RightComparison):
    """Let a theory agree only inside of the interval's ends."""

    def agrees(self, mean: float, reach: float, means: list[float]) -> bool:
        """Tell whether theory agrees."""
        return abs(self.theory - mean) < reach
