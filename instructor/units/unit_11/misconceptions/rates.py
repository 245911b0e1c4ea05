"""Misconceptions about teeth, the law's constant and what a flow gets: exercise 11.5.

Each is the work below with one part that is wrong.
"""

__all__ = ["RATE_WITH_LOSSES", "RightRate"]

import math
from collections.abc import Callable
from typing import Any

Rate = tuple[int, float, float]


class RightRate:
    """The work in small parts, of which others get one wrong."""

    every: int
    acked: int
    octets: int
    trip_ms: int
    timeout_ms: int
    highest: int

    def __new__(cls, every: int, acked: int, octets: int, trip_ms: int, timeout_ms: int) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.every, self.acked, self.octets = every, acked, octets
        self.trip_ms, self.timeout_ms = trip_ms, timeout_ms
        self.highest = self.found()
        return self.result()

    def found(self) -> int:
        """Return the highest window."""
        highest = 1
        while self.packets_of(highest + 1) <= self.every:
            highest += 1
        return highest

    def lowest_of(self, highest: int) -> int:
        """Return where a tooth starts."""
        return max(1, highest // 2)

    def windows_of(self, highest: int) -> list[int]:
        """Return the windows of a tooth."""
        return list(range(self.lowest_of(highest), highest + 1))

    def packets_of(self, highest: int) -> int:
        """Return how many packets a tooth has."""
        return self.acked * sum(self.windows_of(highest))

    def round_trips(self) -> int:
        """Return how many round trips the tooth has."""
        return self.acked * len(self.windows_of(self.highest))

    def result(self) -> Any:
        """Return highest window, constant and rate."""
        return self.highest, self.constant(), self.rate()

    def mean(self) -> float:
        """Return the mean window."""
        return self.packets_of(self.highest) / self.round_trips()

    def between(self) -> float:
        """Return how many packets there are to a loss."""
        return self.packets_of(self.highest)

    def constant(self) -> float:
        """Return the constant."""
        return self.mean() / math.sqrt(self.between())

    def times_out(self) -> bool:
        """Tell whether three duplicates cannot come."""
        return self.highest < 4

    def takes_ms(self) -> float:
        """Return how long a tooth takes."""
        return self.round_trips() * self.trip_ms + self.times_out() * self.timeout_ms

    def sent(self) -> float:
        """Return how many packets go out in a tooth."""
        return self.packets_of(self.highest)

    def rate(self) -> float:
        """Return the rate in bit/s."""
        return self.sent() * self.octets * 8 * 1000 / self.takes_ms()


class StartsAtOne(RightRate):
    """Believe that each loss sends the window back to 1."""

    def lowest_of(self, highest: int) -> int:
        return 1


class HalfIsRoundedUp(RightRate):
    """Believe that half of an odd window is rounded up."""

    def lowest_of(self, highest: int) -> int:
        return (highest + 1) // 2


class HighestIsNotSent(RightRate):
    """Believe that the tooth ends before its highest window."""

    def windows_of(self, highest: int) -> list[int]:
        return super().windows_of(highest)[:-1] or [1]


class StartsAboveHalf(RightRate):
    """Believe that the window has grown by 1 before anything is sent with it."""

    def lowest_of(self, highest: int) -> int:
        return min(highest, highest // 2 + 1)


class AtLeastAsMany(RightRate):
    """Believe that a tooth must hold all packets between two losses, or more."""

    def found(self) -> int:
        highest = 1
        while self.packets_of(highest) < self.every:
            highest += 1
        return highest


class FewerNotEqual(RightRate):
    """Believe that a tooth has fewer packets than there are between two losses."""

    def found(self) -> int:
        highest = 1
        while self.packets_of(highest + 1) < self.every:
            highest += 1
        return highest


class OneWindowHoldsAll(RightRate):
    """Believe that the window grows until it holds all packets between two losses."""

    def found(self) -> int:
        return max(1, self.every // self.acked)


class GrowsByDoubling(RightRate):
    """Believe that the window doubles in each round trip of a tooth."""

    def windows_of(self, highest: int) -> list[int]:
        low = self.lowest_of(highest)
        return [low, highest] if highest > low else [low]

    def found(self) -> int:
        return (2 * (self.every // self.acked) + 1) // 3


class QuotedConstant(RightRate):
    """Believe that the constant is that of the printed law, whatever the tooth."""

    def constant(self) -> float:
        return math.sqrt(3 / (2 * self.acked))


class QuotedForAll(RightRate):
    """Believe that the constant is the root of 3/2, whatever is acknowledged."""

    def constant(self) -> float:
        return math.sqrt(3 / 2)


class ThreeQuarters(RightRate):
    """Believe that the mean window is three quarters of the highest, exactly."""

    def mean(self) -> float:
        return 0.75 * self.highest


class HighestForMean(RightRate):
    """Believe that the law is about the highest window."""

    def mean(self) -> float:
        return self.highest


class LossIsOneInEvery(RightRate):
    """Believe that the loss is that of the flow, and not of its tooth."""

    def between(self) -> float:
        return self.every


class WithoutTheRoot(RightRate):
    """Believe that the window falls as the loss grows: no root."""

    def constant(self) -> float:
        return self.mean() / self.between()


class TimesTheRootOfPackets(RightRate):
    """Believe that the window is divided by the root of the loss to get the constant."""

    def constant(self) -> float:
        return self.mean() * math.sqrt(self.between())


class RateOfTheHighest(RightRate):
    """Believe that a flow's rate is its highest window in each round trip."""

    def sent(self) -> float:
        return self.highest * self.round_trips()


class RateOfAllBetween(RightRate):
    """Believe that a tooth sends as many packets as lie between two losses."""

    def sent(self) -> float:
        return self.every


class LostOnesDoNotCount(RightRate):
    """Believe that the rate is of what arrives: one packet less in each tooth."""

    def sent(self) -> float:
        return super().sent() - 1


class OctetsForBits(RightRate):
    """Believe that a rate counts octets."""

    def rate(self) -> float:
        return super().rate() / 8


class MillisecondsAsSeconds(RightRate):
    """Believe that times are in seconds."""

    def rate(self) -> float:
        return super().rate() / 1000


class OneTripATooth(RightRate):
    """Believe that a tooth takes one round trip."""

    def takes_ms(self) -> float:
        return self.trip_ms + self.times_out() * self.timeout_ms


class EachPacketIsAcknowledged(RightRate):
    """Believe that it does not matter how many packets an acknowledgement is for."""

    def __new__(cls, every: int, acked: int, octets: int, trip_ms: int, timeout_ms: int) -> Any:
        return super().__new__(cls, every, 1, octets, trip_ms, timeout_ms)


class GrowsByMore(RightRate):
    """Believe that an acknowledgement for more packets lets the window grow by more."""

    def windows_of(self, highest: int) -> list[int]:
        low = self.lowest_of(highest)
        return list(range(low, highest + 1, self.acked))

    def packets_of(self, highest: int) -> int:
        return sum(self.windows_of(highest))

    def round_trips(self) -> int:
        return len(self.windows_of(self.highest))


class SentOnceAtEachValue(RightRate):
    """Believe that a window that stays is sent only once."""

    def packets_of(self, highest: int) -> int:
        return sum(self.windows_of(highest))


class StaysOneTripOnly(RightRate):
    """Believe that fewer acknowledgements mean more packets, but no more round trips."""

    def round_trips(self) -> int:
        return len(self.windows_of(self.highest))


class NeverTimesOut(RightRate):
    """Believe that every loss is repaired by duplicates."""

    def times_out(self) -> bool:
        return False


class AlwaysTimesOut(RightRate):
    """Believe that the sender waits for its clock after each loss."""

    def times_out(self) -> bool:
        return True


class ThreeAreEnough(RightRate):
    """Believe that a window of three packets gives three duplicates."""

    def times_out(self) -> bool:
        return self.highest < 3


class FourAreTooFew(RightRate):
    """Believe that a window of four packets gives too few duplicates."""

    def times_out(self) -> bool:
        return self.highest <= 4


class LowestDecides(RightRate):
    """Believe that the window at the start of the tooth decides about duplicates."""

    def times_out(self) -> bool:
        return self.lowest_of(self.highest) < 4


class TimeoutInstead(RightRate):
    """Believe that the time-out takes the place of the tooth's round trips."""

    def takes_ms(self) -> float:
        return self.timeout_ms if self.times_out() else super().takes_ms()


class TimeoutEachTrip(RightRate):
    """Believe that every round trip of such a tooth waits for the clock."""

    def takes_ms(self) -> float:
        trips = self.round_trips()
        return trips * (self.trip_ms + self.times_out() * self.timeout_ms)


RATE_WITH_LOSSES: dict[str, Callable[..., Any]] = {
    "starts-at-one": StartsAtOne,
    "half-is-rounded-up": HalfIsRoundedUp,
    "highest-is-not-sent": HighestIsNotSent,
    "starts-above-half": StartsAboveHalf,
    "at-least-as-many": AtLeastAsMany,
    "fewer-not-equal": FewerNotEqual,
    "one-window-holds-all": OneWindowHoldsAll,
    "grows-by-doubling": GrowsByDoubling,
    "quoted-constant": QuotedConstant,
    "quoted-for-all": QuotedForAll,
    "three-quarters": ThreeQuarters,
    "highest-for-mean": HighestForMean,
    "loss-is-one-in-every": LossIsOneInEvery,
    "without-the-root": WithoutTheRoot,
    "root-turned-round": TimesTheRootOfPackets,
    "rate-of-the-highest": RateOfTheHighest,
    "rate-of-all-between": RateOfAllBetween,
    "lost-ones-do-not-count": LostOnesDoNotCount,
    "octets-for-bits": OctetsForBits,
    "milliseconds-as-seconds": MillisecondsAsSeconds,
    "one-trip-a-tooth": OneTripATooth,
    "each-packet-is-acknowledged": EachPacketIsAcknowledged,
    "grows-by-more": GrowsByMore,
    "sent-once-at-each-value": SentOnceAtEachValue,
    "stays-one-trip-only": StaysOneTripOnly,
    "never-times-out": NeverTimesOut,
    "always-times-out": AlwaysTimesOut,
    "three-are-enough": ThreeAreEnough,
    "four-are-too-few": FourAreTooFew,
    "lowest-decides": LowestDecides,
    "timeout-instead": TimeoutInstead,
    "timeout-each-trip": TimeoutEachTrip,
}
