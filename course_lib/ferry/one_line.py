"""One line and who comes to it: the scene of workbook 08, with what theory says of its waits.

All times are in *packet times*: as long as a packet of mean size is on the line. So the numbers
hold for every rate. What varies is a `LineTraffic`: when packets come, and how large they are.
"""

__all__ = [
    "ARRIVALS",
    "RANDOM_MIX",
    "SIZES",
    "Expected",
    "LineRun",
    "LineTraffic",
    "SoFar",
    "expected_wait",
    "prepare_line",
    "progress",
    "run_line",
]

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.engine.compiled import Prepared, prepare
from course_lib.experiments.intervals import Band, confidence_band
from course_lib.queueing.drop_policies import DropRule
from course_lib.queueing.one_queue import PARTS, simulate
from course_lib.queueing.packets import (
    constant_times,
    exponential_sizes,
    mixed_sizes,
    poisson_times,
    trace,
)
from course_lib.queueing.theory import dm1, mg1, wait_bound_s
from course_lib.queueing.token_buckets import police_on_arrival

ARRIVALS = ("at random", "on a clock")
SIZES = ("exponential", "Internet mix", "all alike")
_LETTERS = dict(zip((*ARRIVALS, *SIZES), "MDMGD", strict=True))  # Kendall's

# Octets, and how often they come: a customary mix, common practice, no published source.
_MIX, _WEIGHTS = np.array([40.0, 576.0, 1500.0]), np.array([7.0, 4.0, 1.0])
_MIX_MEAN = float(np.average(_MIX, weights=_WEIGHTS))
_MIX_VARIATION = float(np.average((_MIX / _MIX_MEAN - 1) ** 2, weights=_WEIGHTS))
_VARIATION = dict(zip(SIZES, (1.0, _MIX_VARIATION, 0.0), strict=True))

_LINK = 8.0  # bits in a packet time: a packet of one "octet" takes one
_BATCHES, _WARM_UP = 20, 2  # batches that count, and as many packets before them


class LineTraffic(NamedTuple):
    """When packets come, and how large they are."""

    arrivals: str = ARRIVALS[0]
    sizes: str = SIZES[0]

    @property
    def kendall(self) -> str:
        """Return the short name of the queue.

        >>> LineTraffic().kendall, LineTraffic("on a clock", "Internet mix").kendall
        ('M/M/1', 'D/G/1')
        """
        return f"{_LETTERS[self.arrivals]}/{_LETTERS[self.sizes]}/1"


RANDOM_MIX = LineTraffic(ARRIVALS[0], SIZES[1])


class Expected(NamedTuple):
    """The mean wait by theory in packet times; or what it is at most, where no more is known."""

    wait: float
    is_bound: bool = False


class LineRun(NamedTuple):
    """A run: when each packet came, its size and its wait, all in packet times."""

    load: float
    came: NDArray[np.float64]
    size: NDArray[np.float64]
    wait: NDArray[np.float64]


class SoFar(NamedTuple):
    """What a run says after so many packets; `came` is the time of the last of them."""

    packets: int
    wait: Band
    came: float


def prepare_line() -> Prepared:
    """Make machine code of the line, and of all rules that the workbook asks for."""
    loops_and_rules: Any = (*PARTS, (police_on_arrival, DropRule))
    return prepare(loops_and_rules)


def expected_wait(traffic: LineTraffic, load: float) -> Expected:
    """Return what theory says of the mean wait; `load` is below 1.

    >>> expected_wait(LineTraffic(), 0.5)
    Expected(wait=1.0, is_bound=False)
    """
    variation = _VARIATION[traffic.sizes]
    if traffic.arrivals == ARRIVALS[0]:
        return Expected(mg1(load, 1.0, variation).wait_s)
    if traffic.sizes == SIZES[0]:
        return Expected(dm1(load, 1.0).wait_s)
    return Expected(wait_bound_s(load, 1.0, 0.0, variation), is_bound=variation > 0)


def run_line(traffic: LineTraffic, load: float, batch: int, seed: int) -> LineRun:
    """Send packets through the line: 2 batches of so many to warm up, and 20 that count."""
    count, random = batch * (_BATCHES + _WARM_UP), np.random.default_rng(seed)
    at_random = traffic.arrivals == ARRIVALS[0]
    came = poisson_times(load, count, random) if at_random else constant_times(load, count)
    sizes: NDArray[np.float64] = np.ones(count)
    if traffic.sizes == SIZES[0]:
        sizes = exponential_sizes(1.0, count, random)
    elif traffic.sizes == SIZES[1]:
        sizes = mixed_sizes(_MIX / _MIX_MEAN, _WEIGHTS, count, random)
    run = simulate(trace(came, sizes), _LINK)
    return LineRun(load, came, sizes, run.began_s - came)


def progress(run: LineRun, every: int = 2) -> list[SoFar]:
    """Return what a run says after 2 batches and after each `every` more, up to its end.

    The interval is that of the means of batches: waits one after the other are far from
    independent, means of long batches nearly are.
    """
    batch = len(run.wait) // (_BATCHES + _WARM_UP)
    means = run.wait.reshape(_BATCHES + _WARM_UP, batch).mean(axis=1)[_WARM_UP:]
    steps = [*range(2, _BATCHES, every), _BATCHES]
    return [
        SoFar(
            batch * done,
            confidence_band(run.load, means[:done].tolist()),
            float(run.came[batch * (_WARM_UP + done) - 1]),
        )
        for done in steps
    ]
