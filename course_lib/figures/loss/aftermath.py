"""What follows when one more packet of a flow is lost: two runs compared, sample by sample."""

__all__ = ["PLACES", "Aftermath", "Stretch", "aftermath_of", "packet_at", "stretch_of"]

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from course_lib.tcp.simulation import TcpRun

PLACES = 200  # of a stretch, at which a packet can be taken out; at 0 none is
_FALL = 0.8  # a window that shrinks to less than that from one sample to the next has fallen


class Stretch(NamedTuple):
    """A part of a run: times, windows in packets, how many packets have left, when some got lost.

    Times count from the begin of the stretch.
    """

    times_s: tuple[float, ...]
    windows: tuple[float, ...]
    left: tuple[int, ...]
    lost_s: tuple[float, ...]

    @property
    def end_s(self) -> float:
        """Return how long it is."""
        return self.times_s[-1]


class Aftermath(NamedTuple):
    """The same stretch, with the packet lost that left at a place of `PLACES`.

    `moments` are what there is to see, each with its sample and a sentence.
    """

    number: int
    place: int
    stretch: Stretch
    moments: tuple[tuple[int, str], ...]

    @property
    def cost_words(self) -> str:
        """Return what the loss has cost by the end."""
        return self.moments[-1][1]


def stretch_of(run: TcpRun, lost: list[int], from_s: float, samples: int) -> Stretch:
    """Read a stretch of so many samples of a run; `lost` are the numbers of lost packets."""
    trace = run.trace
    first = int(np.searchsorted(trace.at_s, from_s - 1e-9))
    shown = slice(first, first + samples + 1)
    times, left = trace.at_s[shown] - trace.at_s[first], trace.left[shown]
    inside = [number for number in lost if left[0] <= number < left[-1]]
    places = np.searchsorted(left, inside, side="right")
    return Stretch(
        tuple(times.round(6).tolist()),
        tuple(trace.windows[shown, 0].tolist()),
        tuple(left.tolist()),
        tuple(times[places].tolist()),
    )


def packet_at(stretch: Stretch, place: int) -> int:
    """Return the number of the packet that leaves next at a place."""
    return stretch.left[_sample(stretch, place)]


def aftermath_of(before: Stretch, stretch: Stretch, place: int) -> Aftermath:
    """Compare a stretch with the same one in which the packet at a place was lost as well."""
    number = packet_at(before, place)
    return Aftermath(number, place, stretch, tuple(_moments(before, stretch, place, number)))


def _sample(stretch: Stretch, place: int) -> int:
    last = len(stretch.times_s) - 1
    return min(round(place / PLACES * last), last - 1)


def _moments(before: Stretch, after: Stretch, place: int, number: int) -> Iterator[tuple[int, str]]:
    begin, last, windows = _sample(before, place), len(before.times_s) - 1, after.windows
    yield begin, f"Packet {number:,} is lost; the window is {windows[begin]:.1f}."
    falls = (n for n in range(begin + 1, last + 1) if windows[n] < _FALL * windows[n - 1])
    fell = next(falls, None)
    if fell is not None:
        high, low = windows[fell - 1], windows[fell]
        if low < 1.5:
            yield fell, f"Nothing comes back until the time-out: from {high:.1f} to {low:.1f}."
        else:
            yield fell, f"Third duplicate: the window falls from {high:.1f} to {low:.1f}."
        again = (n for n in range(fell + 1, last) if windows[n] >= before.windows[n])
        level = next(again, None)
        if level is not None:
            waited_s = before.times_s[level] - before.times_s[fell]
            yield level, f"After {waited_s:.2f} s the window is what it would have been."
    fewer = before.left[-1] - after.left[-1]
    how = (
        f"{abs(fewer):,} packets {'fewer' if fewer > 0 else 'more'}"
        if fewer
        else "no fewer packets"
    )
    yield last, f"The loss of packet {number:,}: {how} have been sent by the end."
