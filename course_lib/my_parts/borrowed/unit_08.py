"""Borrowed part of unit 08: a meter that is asked packet by packet, by way of the library's own.

The library colours whole lists of packets; so this one keeps what has come, and has all of it
coloured anew each time.

Not here: `new_round_robin` and `new_urgent_first`, whose order the library's schedulers do not
keep; `waits_in_line`, `three_means` and `compare_with_theory`, which measure and are no part of a
router.
"""

__all__ = ["new_meter"]

from course_lib.queueing.packets import trace
from course_lib.queueing.token_buckets import COLOURS, Metered, two_rate_colours


def new_meter(
    peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
) -> "KeepingMeter":
    """Return a meter with two buckets, both full: exercise 8.3."""
    return KeepingMeter(peak_kbit_s, peak_octets, committed_kbit_s, committed_octets)


class KeepingMeter:
    """All packets so far; times are in ms, and so are the rates: 8 kbit/s are an octet each ms."""

    def __init__(
        self, peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
    ) -> None:
        self._buckets = (peak_kbit_s / 8, peak_octets, committed_kbit_s / 8, committed_octets)
        self._packets: list[tuple[int, int]] = []

    def colour(self, now_ms: int, octets: int) -> str:
        """Colour a packet, and keep it."""
        self._packets.append((now_ms, octets))
        return COLOURS[self._metered(self._packets).colour[-1]]

    def tokens(self, now_ms: int) -> tuple[int, int]:
        """Return what both buckets hold: what a packet that is too large for ever leaves there."""
        too_large = (now_ms, 1 + int(self._buckets[1]))
        metered = self._metered([*self._packets, too_large])
        return int(metered.first[-1]), int(metered.second[-1])

    def _metered(self, packets: list[tuple[int, int]]) -> Metered:
        times, sizes = zip(*packets, strict=True)
        return two_rate_colours(trace(times, sizes), *self._buckets, compiled=False)
