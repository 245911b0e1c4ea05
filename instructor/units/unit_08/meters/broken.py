"""Answers that break one clause of a contract, and keep all others: 8.3.

Some look contrived: they fall only where no other clause can.
"""

__all__ = [
    "MeterThatDropsTheLargest",
    "MeterThatTakesForALook",
    "MeterThatTellsAList",
    "MeterThatWantsMoreCommitted",
    "MeterThatWantsMorePeak",
    "MeterWhereGreenIsFree",
    "MeterWhereGreenIsFreeAfterYellow",
    "MeterWhereYellowCostsIfFull",
    "MeterWithADeepCommittedBucket",
    "MeterWithADeepPeakBucket",
]

from typing import Any

from instructor.units.unit_08.misconceptions.right_meter import RightMeter


class MeterThatDropsTheLargest(RightMeter):
    """Say "drop" of a packet that no bucket can ever hold."""

    def red(self, octets: int) -> str:
        """Colour a packet that lacks peak tokens."""
        return "drop" if octets > self.peak_depth else "red"


class MeterWithADeepCommittedBucket(RightMeter):
    """Let tokens pile up in the committed bucket."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.committed_depth = 10**12


class MeterWithADeepPeakBucket(RightMeter):
    """Let tokens pile up in the peak bucket."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.peak_depth = 10**12


class MeterThatWantsMorePeak(RightMeter):
    """Ask for more tokens than octets in the peak bucket."""

    def colour(self, now_ms: int, octets: int) -> str:
        """Colour a packet."""
        self.fill(now_ms)
        return self.red(octets) if self.peak == octets else super().colour(now_ms, octets)


class MeterThatWantsMoreCommitted(RightMeter):
    """Ask for more tokens than octets in the committed bucket, if the peak one is full."""

    def colour(self, now_ms: int, octets: int) -> str:
        """Colour a packet."""
        self.fill(now_ms)
        is_just_enough = self.committed == octets and self.peak == self.peak_depth
        return self.yellow(octets) if is_just_enough else super().colour(now_ms, octets)


class MeterWhereYellowCostsIfFull(RightMeter):
    """Take committed tokens for a yellow packet, if the peak bucket was full."""

    def yellow(self, octets: int) -> str:
        """Colour a packet that lacks committed tokens."""
        if self.peak == self.peak_depth:
            self.committed = max(0, self.committed - octets)
        return super().yellow(octets)


class MeterWhereGreenIsFree(RightMeter):
    """Take no committed tokens for a green packet."""

    def green(self, octets: int) -> str:
        """Colour a packet that lacks nothing."""
        self.peak -= octets
        return "green"


class MeterWhereGreenIsFreeAfterYellow(RightMeter):
    """Take no peak tokens for a green packet, once a packet has been yellow."""

    was_yellow = False

    def yellow(self, octets: int) -> str:
        """Colour a packet that lacks committed tokens."""
        self.was_yellow = True
        return super().yellow(octets)

    def green(self, octets: int) -> str:
        """Colour a packet that lacks nothing."""
        self.peak -= 0 if self.was_yellow else octets
        self.committed -= octets
        return "green"


class MeterThatTellsAList(RightMeter):
    """Return a list."""

    def tokens(self, now_ms: int) -> Any:
        """Tell what is there."""
        return list(super().tokens(now_ms))


class MeterThatTakesForALook(RightMeter):
    """Take a token for each look."""

    def tokens(self, now_ms: int) -> tuple[int, int]:
        """Tell what is there."""
        given = super().tokens(now_ms)
        self.peak -= 1
        self.committed -= 1
        return given
