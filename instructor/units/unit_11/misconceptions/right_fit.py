"""A fit without any fault, of which the misconceptions of exercise 11.6 get one part wrong."""

__all__ = ["RightFit"]

import math
from typing import Any


class RightFit:
    """The fit in small parts, of which others get one wrong."""

    largest: float
    student: list[float]

    def __new__(
        cls,
        sent: list[int],
        lost: list[int],
        windows: list[float],
        largest: float,
        student: list[float],
    ) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.largest, self.student = largest, student
        runs = list(zip(sent, lost, windows, strict=True))
        verdicts = [self.verdict(run[1], run[2]) for run in runs]
        points = [self.point(*run) for run in self.chosen(runs, verdicts)]
        return self.result(verdicts, points)

    def result(self, verdicts: list[str], points: list[tuple[float, float]]) -> Any:
        """Return all three."""
        return verdicts, self.exponent(points), self.reach(points)

    def verdict(self, lost: int, window: float) -> str:
        """Return the verdict on a run."""
        return next((words for words, holds in self.reasons(lost, window) if holds), "counts")

    def reasons(self, lost: int, window: float) -> list[tuple[str, bool]]:
        """Return what may be said against a run, in order, and whether it holds."""
        return [
            ("few losses", self.is_few(lost)),
            ("full line", self.is_full(window)),
            ("time-outs", self.is_small(window)),
        ]

    def is_few(self, lost: int) -> bool:
        """Tell whether too few packets were lost."""
        return lost < 10

    def is_full(self, window: float) -> bool:
        """Tell whether the line was full."""
        return window > 0.9 * self.largest

    def is_small(self, window: float) -> bool:
        """Tell whether time-outs rule."""
        return window < 4

    def chosen(self, runs: list[Any], verdicts: list[str]) -> list[Any]:
        """Return the runs that are fitted."""
        return [run for run, words in zip(runs, verdicts, strict=True) if words == "counts"]

    def point(self, sent: int, lost: int, window: float) -> tuple[float, float]:
        """Return a point of the plot."""
        return math.log(self.loss(sent, lost)), math.log(window)

    def loss(self, sent: int, lost: int) -> float:
        """Return the loss of a run."""
        return lost / sent

    def exponent(self, points: list[tuple[float, float]]) -> float:
        """Return the slope of the line."""
        x, y = self.means(points)
        return sum((a - x) * (b - y) for a, b in points) / self.width(points)

    def means(self, points: list[tuple[float, float]]) -> tuple[float, float]:
        """Return the middle of all points."""
        return sum(a for a, _ in points) / len(points), sum(b for _, b in points) / len(points)

    def width(self, points: list[tuple[float, float]]) -> float:
        """Return the sum of the squares of x, from its mean."""
        x, _ = self.means(points)
        return sum((a - x) ** 2 for a, _ in points)

    def squares(self, points: list[tuple[float, float]]) -> float:
        """Return the sum of the squares of the vertical distances."""
        x, y = self.means(points)
        slope = self.exponent(points)
        return sum((b - y - slope * (a - x)) ** 2 for a, b in points)

    def freedom(self, points: list[tuple[float, float]]) -> int:
        """Return by what the squares are divided."""
        return len(points) - 2

    def factor(self, points: list[tuple[float, float]]) -> float:
        """Return Student's number."""
        return self.student[len(points) - 2]

    def error(self, points: list[tuple[float, float]]) -> float:
        """Return the standard error of the slope."""
        return math.sqrt(self.squares(points) / self.freedom(points) / self.width(points))

    def reach(self, points: list[tuple[float, float]]) -> float:
        """Return how far the interval reaches to each side."""
        return self.factor(points) * self.error(points)
