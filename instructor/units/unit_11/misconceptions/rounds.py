"""Misconceptions about a window round trip by round trip: exercise 11.4."""

__all__ = ["SENT_EACH_ROUND"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_11.misconceptions.right_rounds import RightRounds


class OneMoreEachRound(RightRounds):
    """Believe that slow start adds one packet in a round trip."""

    def slow_start(self, flight: int) -> int:
        return self.window + 1


class BeyondTheThreshold(RightRounds):
    """Believe that slow start may jump over the threshold."""

    def slow_start(self, flight: int) -> int:
        return self.window + flight


class SlowStartForEver(RightRounds):
    """Believe that the window doubles whenever nothing is lost."""

    def grow(self, flight: int) -> None:
        self.window += flight


class UpToTheThreshold(RightRounds):
    """Believe that the window stays at the threshold."""

    def grow(self, flight: int) -> None:
        if self.window < self.threshold:
            super().grow(flight)


class AboveTheThresholdOnly(RightRounds):
    """Believe that a window as large as the threshold still doubles."""

    def grow(self, flight: int) -> None:
        self.window += flight if self.window <= self.threshold else 1


class AlwaysTimesOut(RightRounds):
    """Believe that every loss ends in a time-out."""

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        return 0


class BeginsAnewAtOnce(RightRounds):
    """Believe that three duplicates make the window 1."""

    def repair(self, missing: list[int]) -> None:
        self.window = 1


class NeverTimesOut(RightRounds):
    """Believe that every loss halves the window, and that is all."""

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        return 3

    def repair(self, missing: list[int]) -> None:
        self.window = max(self.threshold, 1)


class TwoDuplicates(RightRounds):
    """Believe that the third acknowledgement of a number is the third duplicate."""

    def enough(self, flight: int) -> int:
        return 2


class FourDuplicates(RightRounds):
    """Believe that more than three duplicates are needed."""

    def enough(self, flight: int) -> int:
        return 4


class DuplicatesOfTheWholeRound(RightRounds):
    """Believe that what arrives in front of a gap shows it, too."""

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        return len(numbers) - len(missing)


class DuplicatesOfLostPackets(RightRounds):
    """Believe that all that is sent behind a gap shows it."""

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        return numbers.stop - missing[0] - 1


class DuplicatesBehindTheLast(RightRounds):
    """Believe that three must arrive behind the last gap."""

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        return numbers.stop - missing[-1] - 1


class HalvesForEachLoss(RightRounds):
    """Believe that each loss halves the window."""

    def repair(self, missing: list[int]) -> None:
        self.window = max(1, self.threshold >> (len(missing) - 1))
        self.threshold = self.window


class HalfOfTheWindow(RightRounds):
    """Believe that the threshold becomes half of the congestion window."""

    def half(self, flight: int, window: int) -> int:
        return window // 2


class HalfRoundedUp(RightRounds):
    """Believe that half a packet counts in full."""

    def half(self, flight: int, window: int) -> int:
        return (flight + 1) // 2


class HalfOfWhatArrived(RightRounds):
    """Believe that the threshold becomes half of what arrived."""

    def one_round(self) -> None:
        self.arrived = self.flight() - len(
            self.missing(range(self.number, self.number + self.flight()))
        )
        super().one_round()

    def half(self, flight: int, window: int) -> int:
        return self.arrived // 2


class HalfTheOldThreshold(RightRounds):
    """Believe that the threshold itself is halved."""

    def half(self, flight: int, window: int) -> int:
        return max(1, self.threshold // 2)


class ThresholdStays(RightRounds):
    """Believe that a time-out leaves the threshold alone."""

    def time_out(self) -> None:
        self.threshold = self.old_threshold
        super().time_out()

    def half(self, flight: int, window: int) -> int:
        self.old_threshold = self.threshold
        return super().half(flight, window)


class NoWaiting(RightRounds):
    """Believe that a time-out costs no round trips."""

    def time_out(self) -> None:
        self.window = 1


class WaitsAlike(RightRounds):
    """Believe that all time-outs take as long."""

    def next_wait(self) -> int:
        return self.wait


class WaitsLongerByOne(RightRounds):
    """Believe that each time-out in a row takes longer by the first."""

    def next_wait(self) -> int:
        return self.wait + self.first_wait


class WaitsLongerForEver(RightRounds):
    """Believe that time-outs get longer whatever arrives between them."""

    def row_ends(self) -> None:
        pass


class HalfAfterTheTimeout(RightRounds):
    """Believe that the window is half of what it was, also after a time-out."""

    def time_out(self) -> None:
        super().time_out()
        self.window = max(1, self.threshold)


class LargerWindow(RightRounds):
    """Believe that the larger of two windows counts."""

    def flight(self) -> int:
        return max(self.window, self.largest)


class NoReceiver(RightRounds):
    """Believe that the receiver has room for everything."""

    def flight(self) -> int:
        return self.window


class NumbersInEachRound(RightRounds):
    """Believe that packets are numbered anew in each round trip."""

    def missing(self, numbers: range) -> list[int]:
        return [one for one in numbers if one - numbers.start + 1 in self.lost]


class NumbersFromZero(RightRounds):
    """Believe that the first packet has number 0."""

    def missing(self, numbers: range) -> list[int]:
        return [one for one in numbers if one - 1 in self.lost]


class RepeatsKeepTheirNumbers(RightRounds):
    """Believe that what is lost goes out again under its old number, and the rest moves up."""

    def one_round(self) -> None:
        flight = self.flight()
        lost = len(self.missing(range(self.number, self.number + flight)))
        super().one_round()
        self.number -= lost


SENT_EACH_ROUND: dict[str, Callable[..., Any]] = {
    "slow-start-adds-one": OneMoreEachRound,
    "jumps-over-the-threshold": BeyondTheThreshold,
    "doubles-for-ever": SlowStartForEver,
    "stays-at-the-threshold": UpToTheThreshold,
    "doubles-at-the-threshold": AboveTheThresholdOnly,
    "every-loss-times-out": AlwaysTimesOut,
    "duplicates-mean-one": BeginsAnewAtOnce,
    "never-times-out": NeverTimesOut,
    "two-duplicates-are-enough": TwoDuplicates,
    "four-duplicates-are-needed": FourDuplicates,
    "arrivals-in-front-count": DuplicatesOfTheWholeRound,
    "lost-ones-make-duplicates": DuplicatesOfLostPackets,
    "duplicates-behind-the-last-gap": DuplicatesBehindTheLast,
    "halves-for-each-loss": HalvesForEachLoss,
    "half-of-the-window": HalfOfTheWindow,
    "half-rounded-up": HalfRoundedUp,
    "half-of-what-arrived": HalfOfWhatArrived,
    "half-the-old-threshold": HalfTheOldThreshold,
    "threshold-stays": ThresholdStays,
    "no-waiting": NoWaiting,
    "waits-alike": WaitsAlike,
    "waits-longer-by-one": WaitsLongerByOne,
    "waits-longer-for-ever": WaitsLongerForEver,
    "half-after-the-time-out": HalfAfterTheTimeout,
    "larger-window-counts": LargerWindow,
    "receiver-has-room": NoReceiver,
    "numbers-in-each-round": NumbersInEachRound,
    "numbers-from-zero": NumbersFromZero,
    "repeats-keep-numbers": RepeatsKeepTheirNumbers,
}
