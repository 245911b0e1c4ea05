"""One line that many TCP flows share: the scene of workbook 10, and its measures.

The line from Reed Pier to Lantern Pier carries 50 Mbit/s; a round trip takes 60 ms without a queue.
So 250 packets of 1500 octets fill the pipe. What varies is a `Sharing`: how many flows there are,
how far their round trips differ, and which packets the buffer gives up.

Flows that share the line are as hosts have them: with selective acknowledgements, and senders that
take a moment to notice. A flow alone is a clockwork by RFC 5681, as theory has it: nobody is there
with whom it could fall into a rhythm.
"""

__all__ = [
    "PACKET_S",
    "PIPE_PACKETS",
    "POLICIES",
    "RATE_BITS_PER_S",
    "ROUND_TRIP_S",
    "Measured",
    "Sharing",
    "expected_use",
    "measure_sharing",
    "root_packets",
    "run_sharing",
]

import math
from typing import NamedTuple

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.queueing.drop_policies import TAIL_DROP, controlled_delay, random_early
from course_lib.tcp.memory import Tcp
from course_lib.tcp.results import loss, mean_wait_s, utilisation, wait_quantile_s
from course_lib.tcp.simulation import TcpRun, simulate_tcp
from course_lib.tcp.theory import buffer_bits, one_flow_utilisation, rate_delay_bits
from course_lib.tcp.traffic import Flows, flows, spread_flows

RATE_BITS_PER_S = 50e6
ROUND_TRIP_S = 0.06
_PACKET_BITS = 12_000
PACKET_S = _PACKET_BITS / RATE_BITS_PER_S
PIPE_PACKETS = round(rate_delay_bits(RATE_BITS_PER_S, ROUND_TRIP_S) / _PACKET_BITS)

# RED between a tenth and a third of a pipe; CoDel with the values of RFC 8289.
_POLICIES = {
    "when it is full": TAIL_DROP,
    "at random, early": random_early(PIPE_PACKETS / 10, PIPE_PACKETS / 3, PACKET_S, top_chance=0.1),
    "by waiting time": controlled_delay(),
}
POLICIES = tuple(_POLICIES)
_STARTS_S = (0.0, 2.0)
_CLOCKWORK, _HOSTS = Tcp(sack=False, noticing_packets=0), Tcp()


class Sharing(NamedTuple):
    """Who shares the line. Round trips lie within `spread_ms` of 60 ms; 0 keeps flows in step."""

    flows: int = 25
    spread_ms: int = 30
    policy: str = POLICIES[0]

    @property
    def in_step(self) -> bool:
        """Tell whether all flows have one round trip and one start."""
        return self.spread_ms == 0


class Measured(NamedTuple):
    """What came out for one size of the buffer, which is `x` of each band; waits are in ms."""

    utilisation: Band
    wait_ms: Band
    wait_99_ms: Band
    loss: Band


def run_sharing(
    sharing: Sharing,
    buffer_packets: int,
    *,
    to_s: float,
    from_s: float = 0.0,
    seed: int = 0,
    watched: int = 3,
    sample_s: float | None = None,
) -> TcpRun:
    """Run the flows through the line; the seed draws round trips, starts and chances.

    `watched` and `sample_s` say what is in the trace; see `simulate_tcp`.
    """
    if sharing.policy not in _POLICIES:
        known = ", ".join(POLICIES)
        raise ValueError(f"there is no policy {sharing.policy!r}; there are {known}")
    return simulate_tcp(
        _flows(sharing, seed),
        RATE_BITS_PER_S,
        buffer_packets,
        to_s=to_s,
        from_s=from_s,
        drop=_POLICIES[sharing.policy],
        tcp=_CLOCKWORK if sharing.flows == 1 else _HOSTS,
        watched=watched,
        sample_s=sample_s,
        seed=seed,
    )


def measure_sharing(buffer_packets: int, runs: list[TcpRun]) -> Measured:
    """Return means and bands of runs with different seeds; a single run has bands of no width."""
    rows = (
        [utilisation(run) for run in runs],
        [1000 * mean_wait_s(run) for run in runs],
        [1000 * wait_quantile_s(run, 0.99) for run in runs],
        [loss(run) for run in runs],
    )
    return Measured(*(_band(buffer_packets, row) for row in rows))


def expected_use(buffer_packets: float) -> float:
    """Return the share of the line that one flow fills, or any number of flows in step."""
    return one_flow_utilisation(buffer_packets / PIPE_PACKETS)


def root_packets(count: int) -> int:
    """Return the buffer of the square-root rule for so many flows, in packets, rounded up.

    >>> root_packets(1), root_packets(25)
    (250, 50)
    """
    return math.ceil(buffer_bits(RATE_BITS_PER_S, ROUND_TRIP_S, count) / _PACKET_BITS - 1e-9)


def _flows(sharing: Sharing, seed: int) -> Flows:
    if sharing.in_step:
        return flows(sharing.flows, ROUND_TRIP_S)
    spread_s = sharing.spread_ms / 1000
    bounds = (ROUND_TRIP_S - spread_s, ROUND_TRIP_S + spread_s)
    return spread_flows(sharing.flows, bounds, _STARTS_S, seed=seed)


def _band(x: float, results: list[float]) -> Band:
    if len(results) > 1:
        return confidence_band(x, results)
    return Band(float(x), results[0], results[0], results[0], 1)
