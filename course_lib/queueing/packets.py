"""Traffic: when packets come, how large they are, and which flow they belong to.

Everything random is drawn here, before a loop starts, from a generator that the caller seeds. So a
run can be repeated exactly, and compiled and plain loops see the same packets.

Times are in seconds from 0 on, never decreasing. Sizes are in octets, and need not be whole: the
exponential sizes of M/M/1 are a model.
"""

__all__ = [
    "Packets",
    "checked",
    "constant_times",
    "exponential_sizes",
    "merged",
    "mixed_sizes",
    "on_off_times",
    "poisson_times",
    "trace",
]

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.queueing.checks import at_least, positive, whole

_EMPTY_PERIODS = 100  # bursts per packet


class Packets(NamedTuple):
    """One entry for each packet, in the order in which they come. Make it with `trace`."""

    came_s: Numbers
    octets: Numbers
    flow: Counts


def trace(came_s: ArrayLike, octets: ArrayLike, flow: int | ArrayLike = 0) -> Packets:
    """Put together a trace; a single size or flow number stands for all packets.

    Raises ValueError if a time runs backwards, or a value is missing, infinite or not positive.

    >>> trace([0.0, 0.5], 1500, flow=3).flow
    array([3, 3])
    """
    times = np.array(came_s, dtype=np.float64)
    if times.ndim != 1 or not len(times):
        raise ValueError("came_s must be a row of at least one time")
    return checked(Packets(times, _row("octets", octets, times), _row("flow", flow, times)))


def checked(packets: Packets) -> Packets:
    """Return the packets as loops need them: each entry possible, each row in one piece of memory.

    Rows that are so already are not copied. Raises ValueError like `trace`.
    """
    if packets.flow.dtype.kind not in "iu":
        raise TypeError(f"flow must be whole numbers, not {packets.flow.dtype}")
    times: Numbers = np.require(packets.came_s, np.float64, ["C", "W"])
    sizes: Numbers = np.require(packets.octets, np.float64, ["C", "W"])
    flows: Counts = np.require(packets.flow, np.int64, ["C", "W"])
    if times.ndim != 1 or not times.shape == sizes.shape == flows.shape:
        shapes = f"{times.shape}, {sizes.shape} and {flows.shape}"
        raise ValueError(f"rows of one length are needed, not {shapes}")
    _refuse("came_s", times, ~np.isfinite(times) | (times < 0), "must be a time of 0 s or later")
    _refuse("came_s", times[1:], times[1:] < times[:-1], "lies before the packet ahead of it", 1)
    _refuse("octets", sizes, ~np.isfinite(sizes) | (sizes <= 0), "must be a size above 0")
    _refuse("flow", flows, flows < 0, "must be a flow number, 0 or more")
    return Packets(times, sizes, flows)


def merged(*flows: Packets) -> Packets:
    """Return the packets of all flows in order of time; of equal times the flow named first."""
    came_s = np.concatenate([flow.came_s for flow in flows])
    order = np.argsort(came_s, kind="stable")
    octets = np.concatenate([flow.octets for flow in flows])
    number = np.concatenate([flow.flow for flow in flows])
    return trace(came_s[order], octets[order], number[order])


def poisson_times(per_s: float, count: int, random: np.random.Generator) -> Numbers:
    """Return times with independent exponential gaps: many senders, none aware of the others."""
    gap_s = 1 / positive("per_s", per_s)
    return np.cumsum(random.exponential(gap_s, whole(1, "count", count)))


def constant_times(per_s: float, count: int, start_s: float = 0.0) -> Numbers:
    """Return times at equal distances: a clock, such as a voice codec."""
    gap_s = 1 / positive("per_s", per_s)
    steps = np.arange(whole(1, "count", count), dtype=np.float64)
    return at_least(0, "start_s", start_s) + steps * gap_s


def on_off_times(
    per_s: float, on_s: float, off_s: float, count: int, random: np.random.Generator
) -> Numbers:
    """Return bursts: equal distances while "on", nothing while "off".

    `on_s` and `off_s` are the means of the periods' exponential lengths; it starts "on". In the
    long run per_s * on_s / (on_s + off_s) packets come in a second.
    """
    active = constant_times(per_s, count)  # on a clock that stands still while "off"
    periods = int(active[-1] / positive("on_s", on_s)) + 1
    if periods > _EMPTY_PERIODS * count:
        raise ValueError(f"on_s ({on_s:g}) is so short that nearly every burst would be empty")
    ends: Numbers = np.zeros(0)
    while not len(ends) or ends[-1] <= active[-1]:
        last = ends[-1:].sum()
        ends = np.concatenate([ends, last + np.cumsum(random.exponential(on_s, periods))])
    pauses = np.cumsum(random.exponential(at_least(0, "off_s", off_s), len(ends)))
    finished = np.searchsorted(ends, active, side="right")  # "on" periods that are over
    times: Numbers = active + np.concatenate([[0.0], pauses])[finished]
    return times


def exponential_sizes(mean_octets: float, count: int, random: np.random.Generator) -> Numbers:
    """Return sizes that make the service times of M/M/1."""
    mean = positive("mean_octets", mean_octets)
    drawn = np.array(random.exponential(mean, whole(1, "count", count)), np.float64)
    # The generator may give a 0, which is no size.
    drawn[drawn == 0] = np.finfo(float).tiny
    return drawn


def mixed_sizes(
    octets: ArrayLike, weights: ArrayLike, count: int, random: np.random.Generator
) -> Numbers:
    """Return sizes drawn from a list, each as often as its weight says."""
    sizes, shares = np.asarray(octets, float), np.asarray(weights, float)
    if sizes.shape != shares.shape or sizes.ndim != 1 or not len(sizes):
        raise ValueError(f"give as many weights ({shares.size}) as octets ({sizes.size})")
    _refuse("weights", shares, ~np.isfinite(shares) | (shares < 0), "must be 0 or more")
    total = positive("the sum of the weights", shares.sum())
    chosen: Numbers = random.choice(sizes, whole(1, "count", count), p=shares / total)
    return chosen


def _row(name: str, values: ArrayLike, like: Numbers) -> Any:
    given = np.asarray(values)
    if given.ndim and given.shape != like.shape:
        raise ValueError(f"{name} has {given.size} entries for {len(like)} packets")
    return np.broadcast_to(given, like.shape)


def _refuse(name: str, values: Any, bad: Any, why: str, first: int = 0) -> None:
    if bad.any():
        place = int(np.argmax(bad))
        raise ValueError(f"{name}[{place + first}] is {values[place]}: it {why}")
