"""Misconceptions about the retransmission timer: exercise 11.3.

Those about when it runs stand in `timers_running`.
"""

__all__ = ["NEW_TIMER"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_11.misconceptions.right_timer import RightTimer
from instructor.units.unit_11.misconceptions.timers_running import RUNNING


class TimerOfTwoTrips(RightTimer):
    """Believe that two round trips are long enough."""

    def estimate(self) -> float:
        return 2 * self.trips[-1]


class TimerOfTwoMeans(RightTimer):
    """Believe that twice the smoothed round trip is long enough."""

    def estimate(self) -> float:
        return 2 * self.mean


class TimerOfOneVariation(RightTimer):
    """Believe that the mean and one variation are long enough."""

    def estimate(self) -> float:
        return self.mean + max(self.tick, self.variation)


class TimerOfTheMeanFirst(RightTimer):
    """Believe that the new mean tells how far the round trip lies from it."""

    def further(self, trip: float) -> None:
        self.mean = 0.875 * self.mean + 0.125 * trip
        self.variation = 0.75 * self.variation + 0.25 * self.distance(trip)


class TimerWithoutFirstVariation(RightTimer):
    """Believe that one round trip has no variation."""

    def first(self, trip: float) -> None:
        self.mean, self.variation = trip, 0.0


class TimerWithWholeFirstVariation(RightTimer):
    """Believe that the first variation is the round trip itself."""

    def first(self, trip: float) -> None:
        self.mean, self.variation = trip, trip


class TimerThatSmoothsFromZero(RightTimer):
    """Believe that the first round trip is weighed like all others."""

    def first(self, trip: float) -> None:
        self.further(trip)


class TimerWithWeightsExchanged(RightTimer):
    """Believe that the mean follows faster than the variation."""

    def further(self, trip: float) -> None:
        self.variation = 0.875 * self.variation + 0.125 * self.distance(trip)
        self.mean = 0.75 * self.mean + 0.25 * trip


class TimerThatForgets(RightTimer):
    """Believe that the new round trip has the large weight."""

    def further(self, trip: float) -> None:
        self.variation = 0.25 * self.variation + 0.75 * self.distance(trip)
        self.mean = 0.125 * self.mean + 0.875 * trip


class TimerOfAllTrips(RightTimer):
    """Believe that all round trips count alike."""

    def further(self, trip: float) -> None:
        self.variation = 0.75 * self.variation + 0.25 * self.distance(trip)
        self.mean = sum(self.trips) / len(self.trips)


class TimerWithASign(RightTimer):
    """Believe that a round trip shorter than the mean makes up for a longer one."""

    def distance(self, trip: float) -> float:
        return trip - self.mean


class TimerWithoutATick(RightTimer):
    """Believe that the clock's ticks do not matter."""

    def estimate(self) -> float:
        return self.mean + 4 * self.variation


class TimerThatAddsTheTick(RightTimer):
    """Believe that a tick is added to four variations."""

    def estimate(self) -> float:
        return self.mean + self.tick + 4 * self.variation


class TimerWithoutALeast(RightTimer):
    """Believe that a time-out may be as short as the round trips say."""

    def limited(self, timeout: float) -> float:
        return min(timeout, self.most)


class TimerWithOneSecondAtLeast(RightTimer):
    """Believe that a time-out is a second at least, whatever `least_ms` says."""

    def limited(self, timeout: float) -> float:
        return min(max(timeout, 1000.0), self.most)


class TimerThatAddsTheLeast(RightTimer):
    """Believe that `least_ms` is the shortest margin above the mean."""

    def limited(self, timeout: float) -> float:
        return min(max(timeout, self.mean + self.least), self.most)


class TimerWithoutAMost(RightTimer):
    """Believe that time-outs grow without end."""

    most = 10.0**12


class TimerThatBeginsWithTheLeast(RightTimer):
    """Believe that the shortest time-out is the first one."""

    def initial(self) -> float:
        return self.least


class TimerOfThreeSeconds(RightTimer):
    """Believe that the first time-out is 3 seconds."""

    def initial(self) -> float:
        return 3000.0


class TimerFromTheFirstSending(RightTimer):
    """Believe that a round trip begins with the first sending."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        self.measure(now_ms - times[0])


class TimerFromTheLastSending(RightTimer):
    """Believe that a round trip begins with the last sending."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        self.measure(now_ms - times[-1])


class TimerThatRecovers(RightTimer):
    """Believe that any acknowledgement ends the doubling."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        self.timeout = self.limited(self.estimate()) if self.trips else self.initial()


class TimerThatHalves(RightTimer):
    """Believe that an acknowledgement takes one doubling back."""

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        self.timeout = self.limited(self.timeout / 2)


class TimerThatStaysDoubled(RightTimer):
    """Believe that a doubled time-out stays doubled, whatever is measured."""

    factor = 1.0

    def estimate(self) -> float:
        return super().estimate() * self.factor

    def doubled(self) -> float:
        self.factor *= 2
        return super().doubled()


class TimerThatNeverDoubles(RightTimer):
    """Believe that the time-out stays as it is when it was in vain."""

    def doubled(self) -> float:
        return self.timeout


class TimerThatAddsASecond(RightTimer):
    """Believe that each time-out in vain adds the first one once more."""

    def doubled(self) -> float:
        return self.timeout + 1000.0


class TimerThatDoublesOnce(RightTimer):
    """Believe that the second time-out in a row is as long as the first."""

    row = 0

    def measure(self, trip: float) -> None:
        self.row = 0
        super().measure(trip)

    def doubled(self) -> float:
        self.row += 1
        return super().doubled() if self.row == 1 else self.timeout


NEW_TIMER: dict[str, Callable[..., Any]] = {
    "two-round-trips": TimerOfTwoTrips,
    "two-means": TimerOfTwoMeans,
    "one-variation": TimerOfOneVariation,
    "mean-before-variation": TimerOfTheMeanFirst,
    "no-first-variation": TimerWithoutFirstVariation,
    "whole-first-variation": TimerWithWholeFirstVariation,
    "smooths-from-zero": TimerThatSmoothsFromZero,
    "weights-exchanged": TimerWithWeightsExchanged,
    "new-has-the-large-weight": TimerThatForgets,
    "all-round-trips-alike": TimerOfAllTrips,
    "distance-has-a-sign": TimerWithASign,
    "no-tick": TimerWithoutATick,
    "tick-is-added": TimerThatAddsTheTick,
    "no-least": TimerWithoutALeast,
    "a-second-at-least": TimerWithOneSecondAtLeast,
    "least-is-a-margin": TimerThatAddsTheLeast,
    "no-most": TimerWithoutAMost,
    "begins-with-the-least": TimerThatBeginsWithTheLeast,
    "begins-with-three-seconds": TimerOfThreeSeconds,
    "from-the-first-sending": TimerFromTheFirstSending,
    "from-the-last-sending": TimerFromTheLastSending,
    "any-acknowledgement-ends-doubling": TimerThatRecovers,
    "acknowledgement-halves": TimerThatHalves,
    "stays-doubled": TimerThatStaysDoubled,
    "never-doubles": TimerThatNeverDoubles,
    "a-second-is-added": TimerThatAddsASecond,
    "doubles-once": TimerThatDoublesOnce,
    **RUNNING,
}
