"""Misconceptions about two buckets and three colours: exercise 8.3."""

__all__ = ["NEW_METER"]

from collections.abc import Callable
from typing import Any, ClassVar

from instructor.units.unit_08.misconceptions.right_meter import RightMeter


class MeterThatStartsEmpty(RightMeter):
    """Believe that only what has dripped in may pass."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.peak = self.committed = 0


class MeterWithoutADepth(RightMeter):
    """Believe that tokens pile up without end."""

    def fill(self, now_ms: int) -> None:
        passed_ms = now_ms - self.at_ms
        self.peak += self.peak_rate * passed_ms
        self.committed += self.committed_rate * passed_ms
        self.at_ms = now_ms


class MeterOfBits(RightMeter):
    """Believe that a kbit is worth 1000 octets a second."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.peak_rate, self.committed_rate = 8 * self.peak_rate, 8 * self.committed_rate


class MeterInSeconds(RightMeter):
    """Believe that times are in seconds."""

    def passed(self, now_ms: int) -> int:
        return 1000 * (now_ms - self.at_ms)


class MeterOfBinaryKilos(RightMeter):
    """Believe that a kbit has 1024 bits."""

    def fill(self, now_ms: int) -> None:
        passed_ms = now_ms - self.at_ms
        peak, committed = (
            1024 * rate * passed_ms // 1000 for rate in (self.peak_rate, self.committed_rate)
        )
        self.peak = min(self.peak_depth, self.peak + peak)
        self.committed = min(self.committed_depth, self.committed + committed)
        self.at_ms = now_ms


class MeterOfWholeSeconds(RightMeter):
    """Believe that tokens come once a second, counted from the last packet."""

    def passed(self, now_ms: int) -> int:
        return (now_ms - self.at_ms) // 1000 * 1000


class MeterThatRefills(RightMeter):
    """Believe that each second has a budget of its own: full again when it begins."""

    def fill(self, now_ms: int) -> None:
        if now_ms // 1000 > self.at_ms // 1000:
            self.peak, self.committed = self.peak_depth, self.committed_depth
        self.at_ms = now_ms


class MeterOfOneRate(RightMeter):
    """Believe that both buckets fill at the committed rate."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.peak_rate = self.committed_rate


class MeterThatCountsFromTheStart(RightMeter):
    """Believe that all time since the start drips in at every packet."""

    def passed(self, now_ms: int) -> int:
        return now_ms


class MeterWhereRedCosts(RightMeter):
    """Believe that a red packet takes what there is in the peak bucket."""

    def red(self, octets: int) -> str:
        self.peak = max(0, self.peak - octets)
        return "red"


class MeterWhereRedCostsBoth(RightMeter):
    """Believe that a red packet takes what there is in both buckets."""

    def red(self, octets: int) -> str:
        self.peak = max(0, self.peak - octets)
        self.committed = max(0, self.committed - octets)
        return "red"


class MeterWhereYellowCostsBoth(RightMeter):
    """Believe that a yellow packet takes what there is in the committed bucket, too."""

    def yellow(self, octets: int) -> str:
        self.committed = max(0, self.committed - octets)
        return super().yellow(octets)


class MeterWhereYellowIsFree(RightMeter):
    """Believe that only green packets take tokens."""

    def yellow(self, octets: int) -> str:
        return "yellow"


class MeterWhereGreenCostsOne(RightMeter):
    """Believe that a green packet takes from the committed bucket alone."""

    def green(self, octets: int) -> str:
        self.committed -= octets
        return "green"


class MeterOfTheCommittedFirst(RightMeter):
    """Believe that the committed bucket is asked first, and the peak one where it fails."""

    def colour(self, now_ms: int, octets: int) -> str:
        self.fill(now_ms)
        if self.committed >= octets:
            self.peak = max(0, self.peak - octets)
            self.committed -= octets
            return "green"
        return self.red(octets) if self.lacks(self.peak, octets) else self.yellow(octets)


class MeterThatWantsOneMore(RightMeter):
    """Believe that a bucket must hold more tokens than the packet has octets."""

    def lacks(self, level: int, octets: int) -> bool:
        return level <= octets


class MeterOnCredit(RightMeter):
    """Believe that a packet may pass while there is any token, and leave a debt."""

    def lacks(self, level: int, octets: int) -> bool:
        return level <= 0


class MeterWithColoursExchanged(RightMeter):
    """Believe that yellow is above the peak rate, and red between both."""

    def red(self, octets: int) -> str:
        return "yellow"

    def yellow(self, octets: int) -> str:
        super().yellow(octets)
        return "red"


class MeterForAll(RightMeter):
    """Believe that all meters have their tokens in one place."""

    levels: ClassVar[list[int]] = []

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.levels[:] = [given[1], given[3], 0]

    def fill(self, now_ms: int) -> None:
        self.peak, self.committed, self.at_ms = self.levels
        super().fill(now_ms)
        self.levels[:] = [self.peak, self.committed, self.at_ms]

    def colour(self, now_ms: int, octets: int) -> str:
        given = super().colour(now_ms, octets)
        self.levels[:] = [self.peak, self.committed, self.at_ms]
        return given


class MeterThatTellsTheLastLevel(RightMeter):
    """Believe that the buckets still hold what the last packet left."""

    def tokens(self, now_ms: int) -> tuple[int, int]:
        return self.peak, self.committed


class MeterThatTellsTheCommittedFirst(RightMeter):
    """Believe that the committed bucket stands first."""

    def tokens(self, now_ms: int) -> tuple[int, int]:
        return super().tokens(now_ms)[::-1]


class MeterThatTellsWhatIsMissing(RightMeter):
    """Believe that what has been taken is asked for."""

    def tokens(self, now_ms: int) -> tuple[int, int]:
        super().tokens(now_ms)
        return self.peak_depth - self.peak, self.committed_depth - self.committed


NEW_METER: dict[str, Callable[..., Any]] = {
    "starts-empty": MeterThatStartsEmpty,
    "tokens-without-end": MeterWithoutADepth,
    "bits-for-octets": MeterOfBits,
    "milliseconds-as-seconds": MeterInSeconds,
    "kilo-is-1024": MeterOfBinaryKilos,
    "whole-seconds-drip": MeterOfWholeSeconds,
    "full-each-second": MeterThatRefills,
    "one-rate-for-both": MeterOfOneRate,
    "time-counts-from-the-start": MeterThatCountsFromTheStart,
    "red-takes-peak": MeterWhereRedCosts,
    "red-takes-both": MeterWhereRedCostsBoth,
    "yellow-takes-both": MeterWhereYellowCostsBoth,
    "yellow-is-free": MeterWhereYellowIsFree,
    "green-takes-committed-only": MeterWhereGreenCostsOne,
    "committed-is-asked-first": MeterOfTheCommittedFirst,
    "equal-is-not-enough": MeterThatWantsOneMore,
    "passes-on-credit": MeterOnCredit,
    "red-and-yellow-exchanged": MeterWithColoursExchanged,
    "one-meter-for-all": MeterForAll,
    "tells-the-last-level": MeterThatTellsTheLastLevel,
    "committed-first": MeterThatTellsTheCommittedFirst,
    "tells-what-is-missing": MeterThatTellsWhatIsMissing,
}
