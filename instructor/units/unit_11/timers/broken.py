"""Answers that break one clause of the contract of 11.3, and keep all others.

Most would fall in nearly every row. So each breaks its clause for one tick of the clock only.
"""

__all__ = [
    "AtLeastNothing",
    "CountsNoTrip",
    "DoublesBeyond",
    "EachPacketStarts",
    "FirstInFull",
    "FirstSending",
    "GrowsBeyond",
    "IgnoresTheTick",
    "LastSending",
    "MeanFollowsFaster",
    "MeanGoesFirst",
    "NeverDoubles",
    "NeverStops",
    "OldTimeout",
    "Recovers",
    "ReturnsNothing",
    "RunsOnAfterAcknowledgement",
    "RunsOnWhenExpired",
    "SentTellsTheTimeout",
    "StandsStillAtZero",
    "StartsWithThreeSeconds",
    "ThreeVariations",
    "VariationFollowsFaster",
]

from typing import Any

from instructor.units.unit_11.misconceptions.right_timer import RightTimer


class SentTellsTheTimeout(RightTimer):
    """Return the time-out for what goes out."""

    def sent(self, now_ms: float, number: int) -> Any:
        """Note what goes out."""
        super().sent(now_ms, number)
        return self.timeout


class CountsNoTrip(RightTimer):
    """Learn from nothing."""

    def measure(self, trip: float) -> None:
        """Learn from a round trip."""


class ReturnsNothing(RightTimer):
    """Return nothing."""

    def acknowledged(self, now_ms: float, number: int) -> Any:
        """Learn from what has arrived."""
        super().acknowledged(now_ms, number)

    def expired(self, now_ms: float) -> Any:
        """Wait longer."""
        super().expired(now_ms)


class FirstInFull(RightTimer):
    """Take the first round trip for its variation."""

    def first(self, trip: float) -> None:
        """Learn from the first round trip."""
        self.mean, self.variation = trip, trip if self.tick == 1 else trip / 2


class VariationFollowsFaster(RightTimer):
    """Give the distance the weight of a half."""

    def further(self, trip: float) -> None:
        """Learn from a further round trip."""
        variation = 0.5 * (self.variation + self.distance(trip))
        super().further(trip)
        self.variation = variation if self.tick == 2 else self.variation


class MeanGoesFirst(RightTimer):
    """Move the mean before its distance is taken."""

    def further(self, trip: float) -> None:
        """Learn from a further round trip."""
        variation = self.variation
        super().further(trip)
        if self.tick == 3:
            self.variation = 0.75 * variation + 0.25 * self.distance(trip)


class ThreeVariations(RightTimer):
    """Add three variations."""

    def estimate(self) -> float:
        """Return the time-out without limits."""
        return super().estimate() - (self.variation if self.tick == 4 else 0)


class MeanFollowsFaster(RightTimer):
    """Give the round trip the weight of a quarter."""

    def further(self, trip: float) -> None:
        """Learn from a further round trip."""
        mean = 0.75 * self.mean + 0.25 * trip
        super().further(trip)
        self.mean = mean if self.tick == 5 else self.mean


class IgnoresTheTick(RightTimer):
    """Add four variations, however few."""

    def estimate(self) -> float:
        """Return the time-out without limits."""
        return self.mean + 4 * self.variation


class AtLeastNothing(RightTimer):
    """Know no shortest time-out."""

    def limited(self, timeout: float) -> float:
        """Return a time-out within its limits."""
        return super().limited(timeout) if self.tick != 6 else min(timeout, self.most)


class GrowsBeyond(RightTimer):
    """Know no longest time-out for round trips."""

    def limited(self, timeout: float) -> float:
        """Return a time-out within its limits."""
        return super().limited(timeout) if self.tick != 7 else max(timeout, self.least)


class FirstSending(RightTimer):
    """Measure from the first sending."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        """Learn from what was sent more than once."""
        self.measure(now_ms - times[0])


class LastSending(RightTimer):
    """Measure from the last sending."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        """Learn from what was sent more than once."""
        self.measure(now_ms - times[-1])


class Recovers(RightTimer):
    """Let any acknowledgement end the doubling."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        """Learn from what was sent more than once."""
        self.timeout = self.limited(self.estimate())


class StartsWithThreeSeconds(RightTimer):
    """Begin with 3 seconds."""

    def initial(self) -> float:
        """Return the time-out before anything is measured."""
        return 3000.0 if self.tick == 11 else 1000.0


class EachPacketStarts(RightTimer):
    """Start the timer anew with each packet."""

    def starts(self, number: int) -> bool:
        """Tell whether what goes out starts the timer."""
        return self.tick == 12 or super().starts(number)


class RunsOnAfterAcknowledgement(RightTimer):
    """Leave the timer as it is while packets are under way."""

    def go_on(self, now_ms: float) -> None:
        """Start the timer anew, or stop it."""
        if self.tick != 13 or not self.times:
            super().go_on(now_ms)


class NeverStops(RightTimer):
    """Let the timer run when nothing is under way."""

    def go_on(self, now_ms: float) -> None:
        """Start the timer anew, or stop it."""
        super().go_on(now_ms)
        if self.tick == 14:
            self.start(now_ms)


class NeverDoubles(RightTimer):
    """Leave the time-out as it is."""

    def doubled(self) -> float:
        """Return the next time-out."""
        return self.timeout if self.tick == 15 else super().doubled()


class DoublesBeyond(RightTimer):
    """Double without end."""

    def expired(self, now_ms: float) -> float:
        """Wait longer."""
        self.most = 10.0**12 if self.tick == 16 else self.most
        return super().expired(now_ms)


class RunsOnWhenExpired(RightTimer):
    """Leave the timer where it was when it has run out."""

    def expired(self, now_ms: float) -> float:
        """Wait longer."""
        before = self.at
        given = super().expired(now_ms)
        self.at = before if self.tick == 17 else self.at
        return given


class StandsStillAtZero(RightTimer):
    """Say 0 of a timer that stands still."""

    def due(self) -> float | None:
        """Tell when the timer runs out."""
        return 0 if self.tick == 18 and self.at is None else self.at


class OldTimeout(RightTimer):
    """Start the timer before a round trip is measured."""

    def acknowledged(self, now_ms: float, number: int) -> float:
        """Learn from what has arrived."""
        before = self.timeout
        given = super().acknowledged(now_ms, number)
        if self.tick == 19 and self.at is not None:
            self.at = now_ms + before
        return given
