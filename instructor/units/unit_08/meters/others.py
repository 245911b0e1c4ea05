"""Other right answers for exercise 8.3: meters."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any


class FullAgain:
    """A bucket that knows only when it will be full again: less time, more tokens."""

    def __init__(self, kbit_s: int, depth: int) -> None:
        self.rate = kbit_s // 8
        self.depth = depth
        self.full_at = 0  # in ms times the rate, so that it stays whole

    def missing(self, now_ms: int) -> int:
        """Return how many tokens the bucket lacks."""
        return max(0, self.full_at - self.rate * now_ms)

    def level(self, now_ms: int) -> int:
        """Return how many tokens it has."""
        return self.depth - self.missing(now_ms)

    def take(self, now_ms: int, octets: int) -> None:
        """Put the time off at which it is full."""
        self.full_at = self.rate * now_ms + self.missing(now_ms) + octets


class MeterOfTimes:
    """Two buckets that know when they are full."""

    def __init__(self, peak: FullAgain, committed: FullAgain) -> None:
        self.peak, self.committed = peak, committed

    def colour(self, now_ms: int, octets: int) -> str:
        """Count how many buckets have enough; the peak one goes first."""
        paying = []
        for bucket in (self.peak, self.committed):
            if bucket.level(now_ms) < octets:
                break
            paying.append(bucket)
        for bucket in paying:
            bucket.take(now_ms, octets)
        return ("red", "yellow", "green")[len(paying)]

    def tokens(self, now_ms: int) -> tuple[int, int]:
        """Look into both."""
        return self.peak.level(now_ms), self.committed.level(now_ms)


def new_meter_of_times(
    peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
) -> MeterOfTimes:
    """Make a meter of moments."""
    return MeterOfTimes(
        FullAgain(peak_kbit_s, peak_octets), FullAgain(committed_kbit_s, committed_octets)
    )


def new_meter_of_functions(
    peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
) -> Any:
    """Keep all in a closure, in bits, and return a bare namespace."""
    bits = [8 * peak_octets, 8 * committed_octets]
    rates, depths = (peak_kbit_s, committed_kbit_s), tuple(bits)
    last_ms = 0

    def fill(now_ms: int) -> None:
        nonlocal last_ms
        for which, rate in enumerate(rates):
            bits[which] = min(depths[which], bits[which] + rate * (now_ms - last_ms))
        last_ms = now_ms

    def colour(now_ms: int, octets: int) -> str:
        fill(now_ms)
        if 8 * octets > bits[0]:
            return "red"
        bits[0] -= 8 * octets
        if 8 * octets > bits[1]:
            return "yellow"
        bits[1] -= 8 * octets
        return "green"

    def tokens(now_ms: int) -> tuple[int, int]:
        fill(now_ms)
        return bits[0] // 8, bits[1] // 8

    return SimpleNamespace(colour=colour, tokens=tokens)


class MeterOfHistory:
    """A meter that keeps who took what, and works all levels out anew."""

    def __init__(self, *given: int) -> None:
        self.buckets = (given[0] / 8, given[1]), (given[2] / 8, given[3])
        self.taken: tuple[list[tuple[int, int]], ...] = ([], [])

    def level(self, which: int, now_ms: int) -> float:
        """Return what a bucket holds after all that was taken."""
        rate, depth = self.buckets[which]
        level, before = float(depth), 0
        for moment, octets in [*self.taken[which], (now_ms, 0)]:
            level = min(depth, level + rate * (moment - before)) - octets
            before = moment
        return level

    def tokens(self, now_ms: int) -> tuple[float, float]:
        """Return both levels; they may be floats."""
        return self.level(0, now_ms), self.level(1, now_ms)

    def colour(self, now_ms: int, octets: int) -> str:
        """Compare, and note what is taken."""
        has_peak, has_committed = (level >= octets for level in self.tokens(now_ms))
        if has_peak:
            self.taken[0].append((now_ms, octets))
        if has_peak and has_committed:
            self.taken[1].append((now_ms, octets))
        return "red" if not has_peak else "green" if has_committed else "yellow"


OTHERS: tuple[Callable[..., Any], ...] = (
    new_meter_of_times,
    new_meter_of_functions,
    MeterOfHistory,
)
