"""What theory, simulator and real kernels answer to one question, side by side.

A real run counts only if the kernel lost nothing that the line has not lost: when a machine is too
busy, frames pile up in front of the router's process and the kernel drops them. That is then no
wrong result, but none.
"""

__all__ = ["Answers", "Curve", "ThreeWays", "scaled", "steepness"]

import math
import statistics
from collections.abc import Sequence
from typing import NamedTuple

from course_lib.experiments.intervals import Band

LATE_S = 0.001  # not two packets of 20 Mbit/s; at 3 ms a buffer of 10 was seen to lose half its use


class Answers(NamedTuple):
    """The answers at one place `x`; `real` is None where no real run counts.

    `theory_there` is what theory says for what the real run met, where that is not quite what was
    asked for: a round trip that was longer, for example.
    """

    x: float
    theory: float
    simulated: Band
    real: Band | None
    theory_there: float | None = None

    @property
    def simulated_off(self) -> float:
        """By what share the simulator lies above theory, or below it."""
        return self.simulated.mean / self.theory - 1

    @property
    def real_off(self) -> float | None:
        """By what share the real run lies above theory, or below it."""
        law = self.theory if self.theory_there is None else self.theory_there
        return None if self.real is None else self.real.mean / law - 1


class Curve(NamedTuple):
    """One quantity under one congestion control, by rising x."""

    control: str
    quantity: str  # with its unit: "use of the line (%)"
    answers: tuple[Answers, ...]


class ThreeWays(NamedTuple):
    """All curves of one question. `note` says why nothing real is in them, or is empty.

    How busy the machine was: frames that the kernel dropped, processes that wanted to run, and how
    late the senders got their turn, 99 of 100 times at most. A few milliseconds are enough to make
    bursts, which no small buffer has room for.
    """

    question: str
    x_name: str
    curves: tuple[Curve, ...]
    note: str
    kernel_drops: int
    load: float  # on average over the last minute
    late_s: float

    @property
    def caution(self) -> str:
        """What to think of before one believes the real runs, or nothing."""
        if self.note or self.late_s <= LATE_S:
            return ""
        return (
            f"Busy machine: programs got their turn up to {1000 * self.late_s:.0f} ms late, so "
            "packets came in bursts."
        )

    @property
    def is_valid(self) -> bool:
        """True if there are real runs, and they count."""
        return not self.note

    def curve(self, control: str, quantity: str) -> Curve:
        """Return one of the curves; raises `KeyError` with what there is."""
        for one in self.curves:
            if one.control == control and one.quantity.startswith(quantity):
                return one
        there = ", ".join(f"{one.control}: {one.quantity}" for one in self.curves)
        raise KeyError(f"no curve of {control}: {quantity}; there are {there}")


def scaled(band: Band, factor: float, x: float) -> Band:
    """Return a band in another unit, and at its place.

    >>> scaled(Band(0, 2.0, 1.0, 3.0, 5), 10, 50)
    Band(x=50, mean=20.0, low=10.0, high=30.0, runs=5)
    """
    return Band(x, factor * band.mean, factor * band.low, factor * band.high, band.runs)


def steepness(points: Sequence[tuple[float, float]]) -> float:
    """Return the slope of the straight line that fits points best, both axes logarithmic.

    >>> round(steepness([(100, 2.0), (400, 4.0), (1600, 8.0)]), 6)
    0.5
    """
    logs = [(math.log(x), math.log(y)) for x, y in points]
    return statistics.linear_regression(*zip(*logs, strict=True)).slope
