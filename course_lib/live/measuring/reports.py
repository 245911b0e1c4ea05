"""What is made of the rows of a measurement: values that do not change any more."""

__all__ = [
    "Arrival",
    "BulkReport",
    "BulkSample",
    "RoundTrips",
    "arrivals_of",
    "round_trips",
    "samples_of",
]

import statistics
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.live.measuring.tcp_info import TCPInfo

_PARTS = 6  # of the steady part of a transfer, for its band


class RoundTrips(NamedTuple):
    """Echoes in a few numbers; times are None if none was answered."""

    asked: int
    answered: int
    least_s: float | None
    median_s: float | None
    most_s: float | None

    @property
    def lost_share(self) -> float:
        """The share of the questions that nobody answered."""
        return 1 - self.answered / self.asked

    def __str__(self) -> str:
        lost = f"{self.answered} of {self.asked} answered, {100 * self.lost_share:.3g} % lost"
        if self.least_s is None or self.median_s is None or self.most_s is None:
            return lost
        times = (1e3 * one for one in (self.least_s, self.median_s, self.most_s))
        return "{}; round trip {:.3f} ms at least, {:.3f} median, {:.3f} at most".format(
            lost, *times
        )


class BulkSample(NamedTuple):
    """What the sender's kernel knew at a moment of a transfer; the transfer begins at 0 s."""

    at_s: float
    info: TCPInfo


class Arrival(NamedTuple):
    """How many octets of data had arrived at a moment, the same time as that of the samples."""

    at_s: float
    octets: int


class BulkReport(NamedTuple):
    """A transfer over TCP. `rate_bits_per_s` and the like look at its steady part alone."""

    control: str
    samples: tuple[BulkSample, ...]
    arrivals: tuple[Arrival, ...]
    from_s: float  # where the steady part begins

    @property
    def rate_bits_per_s(self) -> float:
        """Data that arrived, without any header, over the time of the steady part."""
        return self._rate(self.from_s, self.arrivals[-1].at_s)

    @property
    def rate_band(self) -> Band:
        """The mean rate over equal parts of the steady part, and its 95 % band, in bit/s.

        A part that sees less of a saw-tooth is followed by one that sees more. So parts are spread
        more widely than independent ones, and the band is rather too wide than too narrow.
        """
        return confidence_band(0.0, [self._rate(*part) for part in self._parts()])

    @property
    def round_trip_s(self) -> float:
        """The mean of the kernel's smoothed round-trip time."""
        return statistics.fmean(one.round_trip_s for one in self._steady())

    @property
    def pace_s(self) -> float:
        """The round trip that counts for the rate, a window in each: their harmonic mean.

        It is the mean again where all are alike. Where few are very long, they hardly count: little
        is sent in them.
        """
        return statistics.harmonic_mean(one.round_trip_s for one in self._steady())

    @property
    def round_trip_band(self) -> Band:
        """The mean round trip over the same parts, and its 95 % band, in seconds."""
        means = []
        for from_s, to_s in self._parts():
            there = [one.info.round_trip_s for one in self.samples if from_s <= one.at_s < to_s]
            means.append(statistics.fmean(there or [self.round_trip_s]))
        return confidence_band(0.0, means)

    @property
    def least_round_trip_s(self) -> float:
        """The shortest round trip of the whole transfer: that of the way without a queue."""
        return min(one.info.least_round_trip_s for one in self.samples if one.info.round_trip_s)

    @property
    def window_packets(self) -> float:
        """The mean congestion window, in full segments."""
        return statistics.fmean(one.window_packets for one in self._steady())

    @property
    def sent_again(self) -> int:
        """How many segments were sent again."""
        steady = self._steady()
        return steady[-1].sent_again - steady[0].sent_again

    @property
    def segment_octets(self) -> int:
        """The data of a full segment."""
        return self.samples[-1].info.segment_octets

    def _steady(self) -> Sequence[TCPInfo]:
        return [one.info for one in self.samples if one.at_s >= self.from_s]

    def _parts(self) -> list[tuple[float, float]]:
        step_s = (self.arrivals[-1].at_s - self.from_s) / _PARTS
        return [(self.from_s + n * step_s, self.from_s + (n + 1) * step_s) for n in range(_PARTS)]

    def _rate(self, from_s: float, to_s: float) -> float:
        return 8 * (self._octets_at(to_s) - self._octets_at(from_s)) / (to_s - from_s)

    def _octets_at(self, at_s: float) -> float:
        """Return how much had arrived by then, by a straight line between two counts."""
        before = self.arrivals[0]
        for one in self.arrivals:
            if one.at_s >= at_s:
                span_s = one.at_s - before.at_s
                share = (at_s - before.at_s) / span_s if span_s > 0 else 0.0
                return before.octets + min(1.0, max(0.0, share)) * (one.octets - before.octets)
            before = one
        return before.octets


def round_trips(delays_s: Sequence[float | None]) -> RoundTrips:
    """Return echoes in a few numbers; None stands for one without an answer.

    >>> print(round_trips([0.004, None, 0.002, 0.003]))
    3 of 4 answered, 25 % lost; round trip 2.000 ms at least, 3.000 median, 4.000 at most
    """
    if not delays_s:
        raise ValueError("no echo was asked for, so there is nothing to tell of them")
    came = [one for one in delays_s if one is not None]
    if not came:
        return RoundTrips(len(delays_s), 0, None, None, None)
    middle = statistics.median(came)
    return RoundTrips(len(delays_s), len(came), min(came), middle, max(came))


def samples_of(rows: Iterable[dict[str, Any]]) -> tuple[float, tuple[BulkSample, ...]]:
    """Return when a transfer began, by the clock of the rows, and its samples."""
    samples: list[tuple[float, TCPInfo]] = []
    for row in rows:
        fields = {name: row[name] for name in TCPInfo._fields}
        samples.append((row["clock_s"], TCPInfo(**fields)))
    begun_s = samples[0][0]
    return begun_s, tuple(BulkSample(clock_s - begun_s, info) for clock_s, info in samples)


def arrivals_of(rows: Iterable[dict[str, Any]], begun_s: float) -> tuple[Arrival, ...]:
    """Return what the receiver counted, in the time of the sender."""
    return tuple(Arrival(row["clock_s"] - begun_s, row["octets"]) for row in rows)
