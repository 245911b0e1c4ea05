"""Answers that break one clause of the contract of 11.5, and keep all others.

Most clauses would be broken in every case. So each of these breaks its clause for one highest
window only, or for one number of packets an acknowledgement.
"""

__all__ = [
    "CountsEvery",
    "FromNothing",
    "GrowsByTwo",
    "HalfRoundedUp",
    "HighestLeftOut",
    "InOctets",
    "LinearLoss",
    "ListForTuple",
    "MeanOfTheHighest",
    "NoTimeoutForThree",
    "OneBelow",
    "RoundedConstant",
    "RoundedRate",
    "SentOnce",
    "SquareOctets",
    "TimeoutForFour",
    "TimeoutInstead",
    "TooHigh",
    "TripLeftOut",
    "UngrownFour",
    "WithoutStay",
]

from typing import Any

from instructor.units.unit_11.misconceptions.rates import RightRate


class At(RightRate):
    """Work that breaks its clause for one highest window, if each packet is acknowledged."""

    number = 0

    def is_here(self) -> bool:
        """Tell whether this is where the clause is broken."""
        return self.acked == 1 and self.highest == self.number


class ListForTuple(RightRate):
    """Return a list."""

    def result(self) -> Any:
        """Return highest window, constant and rate."""
        return list(super().result())


class Summed(At):
    """Work with another tooth under the right highest window."""

    def shown(self) -> list[int]:
        """Return the windows of the tooth."""
        return super().windows_of(self.highest)

    def packets_of(self, highest: int) -> int:
        """Return how many packets a tooth has."""
        if hasattr(self, "highest") and self.is_here():
            return sum(self.shown())
        return super().packets_of(highest)

    def round_trips(self) -> int:
        """Return how many round trips the tooth has."""
        return len(self.shown()) if self.is_here() else super().round_trips()


class HalfRoundedUp(Summed):
    """Start at half, rounded up."""

    number = 5

    def shown(self) -> list[int]:
        """Return the windows of the tooth."""
        return super().shown()[1:]


class GrowsByTwo(Summed):
    """Grow by 2."""

    number = 6

    def shown(self) -> list[int]:
        """Return the windows of the tooth."""
        return super().shown()[::2]


class HighestLeftOut(Summed):
    """End before the highest window."""

    number = 7

    def shown(self) -> list[int]:
        """Return the windows of the tooth."""
        return super().shown()[:-1]


class FromNothing(Summed):
    """Start at half of 1, which is 0."""

    number = 1

    def shown(self) -> list[int]:
        """Return the windows of the tooth."""
        return [0, 1]


class OneBelow(At):
    """Leave out the highest window whose tooth has as many packets as lie between losses."""

    number = 8

    def found(self) -> int:
        """Return the highest window."""
        highest = super().found()
        return highest - (self.acked == 1 and highest == self.number)


class TooHigh(At):
    """Take a window whose tooth has more packets."""

    number = 8

    def found(self) -> int:
        """Return the highest window."""
        highest = super().found()
        return highest + (self.acked == 1 and highest == self.number)


class MeanOfTheHighest(At):
    """Take another mean."""

    number = 9

    def mean(self) -> float:
        """Return the mean window."""
        return 0.75 * self.highest if self.is_here() else super().mean()


class LinearLoss(At):
    """Leave out the root."""

    number = 10

    def constant(self) -> float:
        """Return the constant."""
        return self.mean() / self.between() if self.is_here() else super().constant()


class CountsEvery(At):
    """Take the loss of the flow."""

    number = 11

    def between(self) -> float:
        """Return how many packets there are to a loss."""
        return self.every if self.is_here() else super().between()


class SquareOctets(At):
    """Count headers twice."""

    number = 12

    def sent(self) -> float:
        """Return how many packets go out in a tooth."""
        extra = 40 * super().sent() / self.octets if self.is_here() else 0
        return super().sent() + extra


class InOctets(At):
    """Count octets."""

    number = 13

    def rate(self) -> float:
        """Return the rate."""
        return super().rate() / (8 if self.is_here() else 1)


class TripLeftOut(At):
    """Count the steps, and not the round trips."""

    number = 14

    def takes_ms(self) -> float:
        """Return how long a tooth takes."""
        return super().takes_ms() - self.is_here() * self.trip_ms


class RoundedRate(At):
    """Round the rate, and the constant."""

    number = 15

    def result(self) -> Any:
        """Return highest window, constant and rate."""
        highest, constant, rate = super().result()
        return (highest, round(constant, 3), float(round(rate))) if self.is_here() else (
            highest, constant, rate
        )  # fmt: skip


class RoundedConstant(RoundedRate):
    """Round the constant, where the tooth is large."""

    def is_here(self) -> bool:
        """Tell whether this is where the clause is broken."""
        return self.acked == 1 and self.highest > self.number


class WithoutStay(RightRate):
    """Let each window last for one round trip."""

    def __new__(cls, every: int, acked: int, octets: int, trip_ms: int, timeout_ms: int) -> Any:
        """Return the result at once."""
        return super().__new__(cls, every, 1 if acked == 2 else acked, octets, trip_ms, timeout_ms)


class UngrownFour(RightRate):
    """Let each window last for one round trip more, where it lasts for four."""

    def __new__(cls, every: int, acked: int, octets: int, trip_ms: int, timeout_ms: int) -> Any:
        """Return the result at once."""
        return super().__new__(cls, every, acked + (acked == 4), octets, trip_ms, timeout_ms)


class SentOnce(RightRate):
    """Send only in the first round trip of three."""

    def packets_of(self, highest: int) -> int:
        """Return how many packets a tooth has."""
        return super().packets_of(highest) // (3 if self.acked == 3 else 1)


class NoTimeoutForThree(At):
    """Repair a loss in a window of 3 by duplicates."""

    number = 3

    def times_out(self) -> bool:
        """Tell whether three duplicates cannot come."""
        return super().times_out() and not self.is_here()


class TimeoutForFour(At):
    """Wait for the clock at a window of 4."""

    number = 4

    def times_out(self) -> bool:
        """Tell whether three duplicates cannot come."""
        return super().times_out() or self.is_here()


class TimeoutInstead(At):
    """Let the time-out take the place of round trips."""

    number = 2

    def takes_ms(self) -> float:
        """Return how long a tooth takes."""
        return self.timeout_ms if self.is_here() else super().takes_ms()
