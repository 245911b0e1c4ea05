"""One flow over a line that loses packets by itself: the scene of workbook 11, and its theory.

It is the line from Reed Pier to Lantern Pier: 50 Mbit/s, a round trip of 60 ms, packets of 1500
octets, and room for a whole pipe of them to wait. One packet in `every` gets lost behind it: on a
clock, at random, or in bursts. The flow is a clockwork by RFC 5681 with selective acknowledgements.
"""

__all__ = [
    "BURST",
    "PATTERNS",
    "LossyFlow",
    "line_mbit_s",
    "lossy_rate",
    "lost_packets",
    "rate_mbit_s",
    "run_lossy",
    "square_root_mbit_s",
    "timeouts_mbit_s",
]

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from course_lib.ferry.shared_line import PACKET_S, PIPE_PACKETS, RATE_BITS_PER_S, ROUND_TRIP_S
from course_lib.tcp.memory import Tcp
from course_lib.tcp.results import goodput_bits_per_s
from course_lib.tcp.simulation import TcpRun, simulate_tcp
from course_lib.tcp.theory import square_root_window, throughput_octets_per_s
from course_lib.tcp.traffic import Loss, flows

PATTERNS = ("on a clock", "at random", "in bursts")
BURST = 10  # packets in a row
_PACKET_OCTETS, _MEGA = 1500, 1e6
_WARM_UP_S = 20.0
_SHORTEST_TIMEOUT_S = 1.0  # RFC 6298, (2.4)


class LossyFlow(NamedTuple):
    """How packets get lost, one in `every`, and how many an acknowledgement is for, 1 or 2."""

    every: int
    pattern: str = PATTERNS[0]
    packets_per_ack: int = 1


def line_mbit_s() -> float:
    """Return what the line carries."""
    return RATE_BITS_PER_S / _MEGA


def lost_packets(every: int, pattern: str, count: int, seed: int = 0) -> list[int]:
    """Return which of the first `count` packets get lost, as their numbers from 0 on.

    One in `every` is, on average: each `every`-th; each by a chance of its own; or `BURST` in a
    row, at times that are left to chance. The seed draws the chances.

    >>> lost_packets(100, "on a clock", 350)
    [99, 199, 299]
    """
    if pattern not in PATTERNS:
        raise ValueError(f"there is no pattern {pattern!r}; there are {', '.join(PATTERNS)}")
    if pattern == PATTERNS[0]:
        return list(range(every - 1, count, every))
    random, in_a_row = np.random.default_rng(seed), BURST if pattern == PATTERNS[2] else 1
    begins = np.flatnonzero(random.random(count) < 1 / (every * in_a_row))
    lost = np.unique(begins[:, np.newaxis] + np.arange(in_a_row))
    return [int(number) for number in lost if number < count]


def run_lossy(
    flow: LossyFlow,
    *,
    to_s: float,
    from_s: float = 0.0,
    seed: int = 0,
    besides: Iterable[int] = (),
    sample_s: float | None = None,
) -> TcpRun:
    """Run the flow; the packets with the numbers `besides` get lost as well.

    `from_s` and `sample_s` are as in `simulate_tcp`.
    """
    count = int(to_s / PACKET_S) + PIPE_PACKETS  # more cannot leave the line
    lost = {*lost_packets(flow.every, flow.pattern, count, seed), *besides}
    return simulate_tcp(
        flows(1, ROUND_TRIP_S),
        RATE_BITS_PER_S,
        PIPE_PACKETS,
        to_s=to_s,
        from_s=from_s,
        loss=Loss(numbers=tuple(sorted(lost))),
        tcp=Tcp(delayed_acks=flow.packets_per_ack == 2, noticing_packets=0),
        watched=1,
        sample_s=sample_s,
    )


def rate_mbit_s(run: TcpRun) -> float:
    """Return the rate at which new packets came through."""
    return float(goodput_bits_per_s(run)[0]) / _MEGA


def lossy_rate(flow: LossyFlow, *, to_s: float, seed: int = 0) -> float:
    """Return the rate in Mbit/s that a run comes to, from 20 s on."""
    return rate_mbit_s(run_lossy(flow, from_s=_WARM_UP_S, to_s=to_s, seed=seed))


def square_root_mbit_s(flow: LossyFlow) -> float:
    """Return the rate of the square-root law; it knows neither time-outs nor the line's end.

    >>> round(square_root_mbit_s(LossyFlow(100)), 3)
    2.449
    """
    window = square_root_window(1 / flow.every, packets_per_ack=flow.packets_per_ack)
    return window * _PACKET_OCTETS * 8 / ROUND_TRIP_S / _MEGA


def timeouts_mbit_s(flow: LossyFlow) -> float:
    """Return the rate by the equation of RFC 5348, section 3.1, with a time-out of 1 s."""
    octets_per_s = throughput_octets_per_s(
        _PACKET_OCTETS,
        ROUND_TRIP_S,
        1 / flow.every,
        packets_per_ack=flow.packets_per_ack,
        timeout_s=_SHORTEST_TIMEOUT_S,
    )
    return octets_per_s * 8 / _MEGA
