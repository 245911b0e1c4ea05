"""What theory says about a single queue, to be drawn beside what was measured.

The names follow Kendall: arrivals / service / servers / places. M is "memoryless" (times between
events are exponential), D "the same every time", G "any distribution". Three facts carry the page:

* Little: number in the system = arrival rate x time in the system, whatever the distributions;
* the wait grows like 1 / (1 - load): half the load is half a service time, nine tenths is nine;
* it also grows with the *variation* of the service times (Pollaczek-Khinchine): M/D/1 waits half
  as long as M/M/1. For arrivals that are not at random there is D/M/1, and a bound for all others.

"In the system" counts the packet that is being sent, "waiting" does not.

Sources: L. Kleinrock, Queueing Systems vol. 1 (1975), chapters 3 and 5; J. D. C. Little, Operations
Research 9 (1961); A. Cobham, Operations Research 2 (1954); A. K. Erlang (1917); J. F. C. Kingman,
Proc. Cambridge Phil. Soc. 58 (1962).
"""

__all__ = [
    "FiniteState",
    "SteadyState",
    "dm1",
    "erlang_b",
    "erlang_c",
    "little_number",
    "md1",
    "mg1",
    "mm1",
    "mm1_finite",
    "mmc",
    "priority_waits_s",
    "wait_bound_s",
]

import math
from collections.abc import Sequence
from typing import NamedTuple

from course_lib.queueing.checks import at_least, positive, stable_load, whole

_STEPS = 60  # of bisection: as fine as numbers are


class SteadyState(NamedTuple):
    """Long-run means of a queue without limit. `utilisation` is the share of time spent sending."""

    utilisation: float
    in_system: float
    waiting: float
    delay_s: float  # waiting and service
    wait_s: float


class FiniteState(NamedTuple):
    """Long-run means of a queue with a limit; delay and wait are those of accepted packets."""

    loss: float
    utilisation: float
    in_system: float
    waiting: float
    delay_s: float
    wait_s: float


def mg1(arrivals_per_s: float, service_s: float, variation: float) -> SteadyState:
    """Return the means of M/G/1 (Pollaczek-Khinchine).

    `variation` is the squared coefficient of variation of the service time: variance / mean**2.

    >>> mg1(0.5, 1.0, variation=3.0).waiting
    1.0
    """
    load = stable_load(
        positive("arrivals_per_s", arrivals_per_s) * positive("service_s", service_s)
    )
    spread = 1 + at_least(0, "variation", variation)
    waiting = load**2 * spread / (2 * (1 - load))
    wait_s = waiting / arrivals_per_s
    return SteadyState(load, waiting + load, waiting, wait_s + service_s, wait_s)


def mm1(arrivals_per_s: float, service_s: float) -> SteadyState:
    """Return the means of M/M/1: the service time is exponential, its `variation` 1.

    >>> round(mm1(0.9, 1.0).in_system, 6)
    9.0
    """
    return mg1(arrivals_per_s, service_s, variation=1.0)


def md1(arrivals_per_s: float, service_s: float) -> SteadyState:
    """Return the means of M/D/1: all packets have one size, so the `variation` is 0.

    >>> round(md1(0.9, 1.0).waiting, 6), round(mm1(0.9, 1.0).waiting, 6)
    (4.05, 8.1)
    """
    return mg1(arrivals_per_s, service_s, variation=0.0)


def dm1(arrivals_per_s: float, service_s: float) -> SteadyState:
    """Return the means of D/M/1: packets come on a clock, the service time is exponential.

    A packet finds n others with the chance (1 - s) s**n, where s solves s = exp((s - 1) / load)
    (Kleinrock, chapter 6, from memory).

    >>> round(dm1(0.9, 1.0).wait_s, 2), round(mm1(0.9, 1.0).wait_s, 2)
    (4.18, 9.0)
    """
    load = stable_load(
        positive("arrivals_per_s", arrivals_per_s) * positive("service_s", service_s)
    )
    low, high = 0.0, 1.0  # 1 solves it too, and every s between the two lies above its power
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if middle < math.exp((middle - 1) / load):
            low = middle
        else:
            high = middle
    wait_s = service_s * low / (1 - low)
    waiting = little_number(arrivals_per_s, wait_s)
    return SteadyState(load, waiting + load, waiting, wait_s + service_s, wait_s)


def wait_bound_s(
    arrivals_per_s: float, service_s: float, arrival_variation: float, variation: float
) -> float:
    """Return what the mean wait before one server is at most, whatever the distributions (Kingman).

    Both variations are squared coefficients of variation: of the gaps between arrivals, and of the
    service times.

    >>> round(wait_bound_s(0.9, 1.0, arrival_variation=0.0, variation=1.0), 6)
    4.5
    """
    load = stable_load(
        positive("arrivals_per_s", arrivals_per_s) * positive("service_s", service_s)
    )
    gaps = at_least(0, "arrival_variation", arrival_variation) / arrivals_per_s**2
    services = at_least(0, "variation", variation) * service_s**2
    return arrivals_per_s * (gaps + services) / (2 * (1 - load))


def mm1_finite(arrivals_per_s: float, service_s: float, places: int) -> FiniteState:
    """Return the means of M/M/1/K. `places` (K) counts the packet that is being sent.

    Any load is allowed, 1 and more too: what does not fit is lost.

    >>> round(mm1_finite(1.0, 1.0, places=10).loss, 6)
    0.090909
    """
    load = positive("arrivals_per_s", arrivals_per_s) * positive("service_s", service_s)
    places = whole(1, "places", places)
    # Weights of 0 to K packets, largest set to 1, so that no power overflows.
    exponents = range(places + 1) if load <= 1 else range(-places, 1)
    weights = [load**exponent for exponent in exponents]
    total = sum(weights)
    loss, empty = weights[-1] / total, weights[0] / total
    in_system = sum(number * weight for number, weight in enumerate(weights)) / total
    accepted_per_s = arrivals_per_s * (1 - loss)
    utilisation = 1 - empty
    delay_s = in_system / accepted_per_s
    return FiniteState(
        loss, utilisation, in_system, in_system - utilisation, delay_s, delay_s - service_s
    )


def erlang_b(offered: float, servers: int) -> float:
    """Return the share of calls that find all servers busy and are lost (Erlang's loss formula).

    `offered` is the load in erlang: arrival rate x service time.

    >>> erlang_b(1.0, 2)
    0.2
    """
    offered = positive("offered", offered)
    blocked = 1.0
    for number in range(1, whole(1, "servers", servers) + 1):
        blocked = offered * blocked / (number + offered * blocked)
    return blocked


def erlang_c(offered: float, servers: int) -> float:
    """Return the share of calls that must wait if none is lost (Erlang's delay formula).

    >>> round(erlang_c(1.0, 2), 6)
    0.333333
    """
    blocked = erlang_b(offered, servers)
    stable_load(offered, servers)
    return servers * blocked / (servers - offered * (1 - blocked))


def mmc(arrivals_per_s: float, service_s: float, servers: int) -> SteadyState:
    """Return the means of M/M/c: one queue in front of several servers.

    `utilisation` is that of one server.
    """
    offered = positive("arrivals_per_s", arrivals_per_s) * positive("service_s", service_s)
    wait_s = erlang_c(offered, servers) * service_s / (servers - offered)
    waiting = little_number(arrivals_per_s, wait_s)
    return SteadyState(offered / servers, waiting + offered, waiting, wait_s + service_s, wait_s)


def little_number(arrivals_per_s: float, time_s: float) -> float:
    """Return how many are inside on average: rate x time (Little 1961).

    Holds for the system, for its waiting room alone, for a whole network: for anything into which
    things come at this rate and in which each stays for this time on average.

    >>> little_number(100, 0.05)
    5.0
    """
    return at_least(0, "arrivals_per_s", arrivals_per_s) * at_least(0, "time_s", time_s)


def priority_waits_s(
    arrivals_per_s: Sequence[float], service_s: float, variation: float
) -> list[float]:
    """Return the mean wait in each class, most urgent first (Cobham 1954).

    Strict priority among waiting packets; the one on the link is never interrupted, and that is why
    even the first class waits. All classes have the same service times.

    >>> [round(wait_s, 3) for wait_s in priority_waits_s([0.3, 0.3], 1.0, variation=1.0)]
    [0.857, 2.143]
    """
    rates = [positive("arrivals_per_s", rate) for rate in arrivals_per_s]
    spread = 1 + at_least(0, "variation", variation)
    stable_load(sum(rates) * positive("service_s", service_s))
    rest_s = sum(rates) * service_s**2 * spread / 2  # what is left of the packet on the link
    waits, more_urgent = [], 0.0
    for rate in rates:
        this_or_more = more_urgent + rate * service_s
        waits.append(rest_s / ((1 - more_urgent) * (1 - this_or_more)))
        more_urgent = this_or_more
    return waits
