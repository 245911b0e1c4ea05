"""What a run of TCP flows says: use of the link, goodput, loss, queue, delay, fairness.

All is counted between the run's `from_s` and `to_s`. Goodput counts packets that the receiver did
not have yet, headers included; so it stays below the use of the link by what was sent in vain.
"""

__all__ = [
    "RunSummary",
    "fairness",
    "goodput_bits_per_s",
    "loss",
    "mean_wait_s",
    "mean_waiting",
    "mean_window",
    "summary",
    "utilisation",
    "wait_quantile_s",
    "waiting_quantile",
]

from typing import Any, NamedTuple

import numpy as np

from course_lib.engine.machine_types import Numbers
from course_lib.queueing.checks import chance
from course_lib.tcp.simulation import TcpRun


class RunSummary(NamedTuple):
    """The figures of a run that one looks at first."""

    utilisation: float
    goodput_bits_per_s: float
    loss: float
    mean_waiting: float
    mean_wait_s: float
    wait_99_s: float
    fairness: float
    timeouts: int


def summary(run: TcpRun) -> RunSummary:
    """Return the figures of all flows together.

    >>> from course_lib.tcp import flows, simulate_tcp
    >>> figures = summary(simulate_tcp(flows(1, 0.06), 5e6, 10, to_s=5, compiled=False))
    >>> round(figures.utilisation, 3), round(figures.mean_waiting, 2), figures.fairness
    (0.851, 2.71, 1.0)
    """
    return RunSummary(
        utilisation(run),
        float(goodput_bits_per_s(run).sum()),
        loss(run),
        mean_waiting(run),
        mean_wait_s(run),
        wait_quantile_s(run, 0.99),
        fairness(run),
        int(run.per_flow.timeouts.sum()),
    )


def utilisation(run: TcpRun) -> float:
    """Return the share of the time during which the link sends."""
    return 1 - run.idle_s / _length_s(run)


def goodput_bits_per_s(run: TcpRun) -> Numbers:
    """Return what each flow's receiver gained."""
    bits = run.per_flow.delivered * run.packet_octets * 8
    return np.array(bits / _length_s(run), float)


def mean_window(run: TcpRun) -> Numbers:
    """Return how many packets each flow delivered in one round trip, without queueing.

    What the laws of `tcp.theory` promise, if the link is fast enough that hardly a packet waits.
    """
    return np.array(run.per_flow.delivered * run.flows.round_trip_s / _length_s(run), float)


def loss(run: TcpRun) -> float:
    """Return the share of the packets sent that never arrived; "not a number" if none was sent."""
    gone, sent = run.per_flow.dropped.sum() + run.per_flow.lost.sum(), run.per_flow.sent.sum()
    return float(gone / sent) if sent else float("nan")


def mean_waiting(run: TcpRun) -> float:
    """Return how many packets wait, on average over the time."""
    return float(np.arange(len(run.waiting_s)) @ run.waiting_s / run.waiting_s.sum())


def waiting_quantile(run: TcpRun, share: float) -> int:
    """Return the number of waiting packets that is not exceeded during this share of the time."""
    return _place(run.waiting_s, share)


def mean_wait_s(run: TcpRun) -> float:
    """Return how long a packet that was sent waited, on average; within half a `wait_step_s`."""
    middles_s = _middles_s(run)
    packets = run.waits.sum()
    return float(middles_s @ run.waits / packets) if packets else float("nan")


def wait_quantile_s(run: TcpRun, share: float) -> float:
    """Return the wait that this share of the packets did not exceed; within half a step."""
    return float(_middles_s(run)[_place(run.waits, share)]) if run.waits.any() else float("nan")


def fairness(run: TcpRun) -> float:
    """Return Jain's index of the flows' goodputs: 1 if all are equal, 1/n if one has everything.

    R. Jain, D. Chiu, W. Hawe, "A quantitative measure of fairness" (DEC-TR-301, 1984).
    """
    goodputs = goodput_bits_per_s(run)
    squares = float((goodputs**2).sum())
    return float(goodputs.sum() ** 2 / (len(goodputs) * squares)) if squares else float("nan")


def _length_s(run: TcpRun) -> float:
    return run.to_s - run.from_s


def _middles_s(run: TcpRun) -> Numbers:
    """Return the wait that each count of `waits` stands for; who finds the link free waits 0 s."""
    middles: Numbers = np.asarray((np.arange(len(run.waits)) + 0.5) * run.wait_step_s, np.float64)
    middles[0] = 0.0
    return middles


def _place(weights: "np.ndarray[tuple[int], np.dtype[Any]]", share: float) -> int:
    """Return the first place up to which the weights hold this share of their sum."""
    reached = np.cumsum(weights) >= chance("share", share) * weights.sum()
    return int(np.argmax(reached))
