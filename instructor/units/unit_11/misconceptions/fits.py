"""Misconceptions about an exponent and how sure it is: exercise 11.6."""

__all__ = ["FIT_EXPONENT"]

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

from instructor.units.unit_11.misconceptions.right_fit import RightFit

Points = list[tuple[float, float]]


class EveryRunCounts(RightFit):
    """Believe that every measurement counts."""

    def reasons(self, lost: int, window: float) -> list[tuple[str, bool]]:
        return []


class LeftOutButFitted(RightFit):
    """Believe that verdicts do not change the fit."""

    def chosen(self, runs: list[Any], verdicts: list[str]) -> list[Any]:
        return runs


class TenIsFew(RightFit):
    """Believe that ten losses are still too few."""

    def is_few(self, lost: int) -> bool:
        return lost <= 10


class FullAtTheTop(RightFit):
    """Believe that a line is full only when the window is the largest."""

    def is_full(self, window: float) -> bool:
        return window >= self.largest


class NineTenthsAreFull(RightFit):
    """Believe that just 0.9 of the largest window is a full line."""

    def is_full(self, window: float) -> bool:
        return window >= 0.9 * self.largest


class FourIsSmall(RightFit):
    """Believe that a window of 4 has time-outs."""

    def is_small(self, window: float) -> bool:
        return window <= 4


class LastReason(RightFit):
    """Believe that the last reason that holds is the verdict."""

    def reasons(self, lost: int, window: float) -> list[tuple[str, bool]]:
        return super().reasons(lost, window)[::-1]


class WithoutTheFarthest(RightFit):
    """Believe that the run which lies farthest from the line is a mistake."""

    def result(self, verdicts: list[str], points: Points) -> Any:
        if len(points) < 4:
            return super().result(verdicts, points)
        x, y = self.means(points)
        slope = self.exponent(points)
        points = sorted(points, key=lambda one: abs(one[1] - y - slope * (one[0] - x)))[:-1]
        return super().result(verdicts, points)


class LossIsACount(RightFit):
    """Believe that the number of lost packets is the loss."""

    def loss(self, sent: int, lost: int) -> float:
        return float(lost)


class LossOfTheArrived(RightFit):
    """Believe that loss is the ratio of lost packets to those that arrived."""

    def loss(self, sent: int, lost: int) -> float:
        return lost / (sent - lost)


class StraightAsItIs(RightFit):
    """Believe that window and loss themselves lie on a straight line."""

    def point(self, sent: int, lost: int, window: float) -> tuple[float, float]:
        return self.loss(sent, lost), window


class WindowAsItIs(RightFit):
    """Believe that only the loss needs a logarithm."""

    def point(self, sent: int, lost: int, window: float) -> tuple[float, float]:
        return math.log(self.loss(sent, lost)), window


class LossAsItIs(RightFit):
    """Believe that only the window needs a logarithm."""

    def point(self, sent: int, lost: int, window: float) -> tuple[float, float]:
        return self.loss(sent, lost), math.log(window)


class AxesExchanged(RightFit):
    """Believe that the slope of the loss over the window is asked for."""

    def point(self, sent: int, lost: int, window: float) -> tuple[float, float]:
        x, y = super().point(sent, lost, window)
        return y, x


class ThroughTheOrigin(RightFit):
    """Believe that the line goes through the origin."""

    def means(self, points: Points) -> tuple[float, float]:
        return 0.0, 0.0


class FromEndToEnd(RightFit):
    """Believe that the first and the last point make the line."""

    def exponent(self, points: Points) -> float:
        (x, y), *_, (a, b) = sorted(points)
        return (b - y) / (a - x)


class MeanOfSlopes(RightFit):
    """Believe that the slope is the mean of the slopes between neighbours."""

    def exponent(self, points: Points) -> float:
        row = sorted(points)
        slopes = [(b - y) / (a - x) for (x, y), (a, b) in pairwise(row) if a > x]
        return sum(slopes) / len(slopes)


class WithoutSign(RightFit):
    """Believe that an exponent has no sign."""

    def result(self, verdicts: list[str], points: Points) -> Any:
        verdicts, exponent, reach = super().result(verdicts, points)
        return verdicts, abs(exponent), reach


class MinusAHalf(RightFit):
    """Believe that the law already says what was measured."""

    def exponent(self, points: Points) -> float:
        return -0.5


class StudentOfAll(RightFit):
    """Believe that Student's number goes by the number of runs."""

    def factor(self, points: Points) -> float:
        return self.student[len(points)]


class StudentOfOneLess(RightFit):
    """Believe that one degree of freedom is spent, as for a mean."""

    def factor(self, points: Points) -> float:
        return self.student[len(points) - 1]

    def freedom(self, points: Points) -> int:
        return len(points) - 1


class DividedByAll(RightFit):
    """Believe that the squares are divided by the number of runs."""

    def freedom(self, points: Points) -> int:
        return len(points)


class WithoutTheRoot(RightFit):
    """Believe that the variance of the slope is its error."""

    def error(self, points: Points) -> float:
        return super().error(points) ** 2


class WholeWidth(RightFit):
    """Believe that the whole width is asked for."""

    def reach(self, points: Points) -> float:
        return 2 * super().reach(points)


class WithoutStudent(RightFit):
    """Believe that one standard error is the interval."""

    def factor(self, points: Points) -> float:
        return 1.0 if any(self.student) else 0.0


class SpreadOfPoints(RightFit):
    """Believe that how far points lie from the line is how sure the slope is."""

    def error(self, points: Points) -> float:
        return math.sqrt(self.squares(points) / self.freedom(points))


class ErrorOfAMean(RightFit):
    """Believe that the error of a slope is that of a mean."""

    def error(self, points: Points) -> float:
        return math.sqrt(self.squares(points) / self.freedom(points) / len(points))


class VarianceOfLosses(RightFit):
    """Believe that the variance of x stands below, not its sum of squares."""

    def error(self, points: Points) -> float:
        return super().error(points) * math.sqrt(len(points))


FIT_EXPONENT: dict[str, Callable[..., Any]] = {
    "every-run-counts": EveryRunCounts,
    "left-out-but-fitted": LeftOutButFitted,
    "ten-is-few": TenIsFew,
    "full-at-the-top-only": FullAtTheTop,
    "nine-tenths-are-full": NineTenthsAreFull,
    "four-has-time-outs": FourIsSmall,
    "last-reason-counts": LastReason,
    "farthest-is-left-out": WithoutTheFarthest,
    "loss-is-a-count": LossIsACount,
    "loss-of-the-arrived": LossOfTheArrived,
    "no-logarithms": StraightAsItIs,
    "window-without-logarithm": WindowAsItIs,
    "loss-without-logarithm": LossAsItIs,
    "axes-exchanged": AxesExchanged,
    "through-the-origin": ThroughTheOrigin,
    "from-end-to-end": FromEndToEnd,
    "mean-of-slopes": MeanOfSlopes,
    "no-sign": WithoutSign,
    "minus-a-half-anyway": MinusAHalf,
    "student-of-all": StudentOfAll,
    "one-degree-spent": StudentOfOneLess,
    "divided-by-all": DividedByAll,
    "without-the-root": WithoutTheRoot,
    "whole-width": WholeWidth,
    "without-student": WithoutStudent,
    "spread-of-points": SpreadOfPoints,
    "error-of-a-mean": ErrorOfAMean,
    "variance-of-losses": VarianceOfLosses,
}
