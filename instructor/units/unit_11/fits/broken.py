"""Answers that break one clause of the contract of 11.6, and keep all others.

Most would fall in nearly every case. So each breaks its clause for one value of `largest` only.
"""

__all__ = [
    "ListForTuple",
    "RoundedExponent",
    "asks_student_for_all",
    "compares_with_arrived",
    "counts_losses",
    "divides_by_all",
    "divides_by_the_variance",
    "exchanges_axes",
    "fits_all",
    "forgets_where_x_lies",
    "four_is_small",
    "full_at_the_top",
    "gives_the_whole_width",
    "goes_from_end_to_end",
    "goes_through_the_origin",
    "last_reason",
    "leaves_off_the_sign",
    "nine_tenths_are_full",
    "takes_loss_as_it_is",
    "takes_no_root",
    "takes_the_mean_of_slopes",
    "takes_window_as_it_is",
    "ten_is_few",
]

from typing import Any

from instructor.units.unit_11.misconceptions.fits import (
    AxesExchanged,
    DividedByAll,
    FourIsSmall,
    FromEndToEnd,
    FullAtTheTop,
    LastReason,
    LeftOutButFitted,
    LossAsItIs,
    LossIsACount,
    LossOfTheArrived,
    MeanOfSlopes,
    NineTenthsAreFull,
    SpreadOfPoints,
    StudentOfAll,
    TenIsFew,
    ThroughTheOrigin,
    VarianceOfLosses,
    WholeWidth,
    WindowAsItIs,
    WithoutSign,
    WithoutTheRoot,
)
from instructor.units.unit_11.misconceptions.right_fit import RightFit

LARGEST = 3  # its place among the arguments


class ListForTuple(RightFit):
    """Return a list."""

    def result(self, verdicts: list[str], points: list[tuple[float, float]]) -> Any:
        """Return all three."""
        return list(super().result(verdicts, points))


class RoundedExponent(RightFit):
    """Round the exponent."""

    def result(self, verdicts: list[str], points: list[tuple[float, float]]) -> Any:
        """Return all three."""
        verdicts, exponent, reach = super().result(verdicts, points)
        return verdicts, round(exponent, 2) if self.largest == 77 else exponent, reach


def ten_is_few(*given: Any) -> Any:
    """Take ten losses for too few."""
    return (TenIsFew if given[LARGEST] == 61 else RightFit)(*given)


def full_at_the_top(*given: Any) -> Any:
    """Take a line for full at the largest window only."""
    return (FullAtTheTop if given[LARGEST] == 62 else RightFit)(*given)


def nine_tenths_are_full(*given: Any) -> Any:
    """Take just nine tenths for a full line."""
    return (NineTenthsAreFull if given[LARGEST] == 50 else RightFit)(*given)


def four_is_small(*given: Any) -> Any:
    """Take a window of 4 for one with time-outs."""
    return (FourIsSmall if given[LARGEST] == 63 else RightFit)(*given)


def last_reason(*given: Any) -> Any:
    """Say the last reason that holds."""
    return (LastReason if given[LARGEST] == 64 else RightFit)(*given)


def fits_all(*given: Any) -> Any:
    """Fit what does not count, too."""
    return (LeftOutButFitted if given[LARGEST] == 65 else RightFit)(*given)


def counts_losses(*given: Any) -> Any:
    """Take the number of lost packets for the loss."""
    return (LossIsACount if given[LARGEST] == 66 else RightFit)(*given)


def compares_with_arrived(*given: Any) -> Any:
    """Divide by what arrived."""
    return (LossOfTheArrived if given[LARGEST] == 66 else RightFit)(*given)


def takes_loss_as_it_is(*given: Any) -> Any:
    """Take no logarithm of the loss."""
    return (LossAsItIs if given[LARGEST] == 67 else RightFit)(*given)


def takes_window_as_it_is(*given: Any) -> Any:
    """Take no logarithm of the window."""
    return (WindowAsItIs if given[LARGEST] == 68 else RightFit)(*given)


def goes_from_end_to_end(*given: Any) -> Any:
    """Join the ends."""
    return (FromEndToEnd if given[LARGEST] == 69 else RightFit)(*given)


def goes_through_the_origin(*given: Any) -> Any:
    """Go through the origin."""
    return (ThroughTheOrigin if given[LARGEST] == 69 else RightFit)(*given)


def takes_the_mean_of_slopes(*given: Any) -> Any:
    """Take the mean of all slopes."""
    return (MeanOfSlopes if given[LARGEST] == 69 else RightFit)(*given)


def exchanges_axes(*given: Any) -> Any:
    """Fit the loss over the window."""
    return (AxesExchanged if given[LARGEST] == 69 else RightFit)(*given)


def leaves_off_the_sign(*given: Any) -> Any:
    """Leave off the sign."""
    return (WithoutSign if given[LARGEST] == 71 else RightFit)(*given)


def asks_student_for_all(*given: Any) -> Any:
    """Take Student's number for all runs."""
    return (StudentOfAll if given[LARGEST] == 72 else RightFit)(*given)


def divides_by_all(*given: Any) -> Any:
    """Divide by the number of runs."""
    return (DividedByAll if given[LARGEST] == 73 else RightFit)(*given)


def takes_no_root(*given: Any) -> Any:
    """Take no root."""
    return (WithoutTheRoot if given[LARGEST] == 74 else RightFit)(*given)


def gives_the_whole_width(*given: Any) -> Any:
    """Return the whole width."""
    return (WholeWidth if given[LARGEST] == 75 else RightFit)(*given)


def divides_by_the_variance(*given: Any) -> Any:
    """Divide by the variance of x."""
    return (VarianceOfLosses if given[LARGEST] == 76 else RightFit)(*given)


def forgets_where_x_lies(*given: Any) -> Any:
    """Divide by nothing."""
    return (SpreadOfPoints if given[LARGEST] == 76 else RightFit)(*given)
