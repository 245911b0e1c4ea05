"""Rules that tie together a link, its buffer, a round trip, and the flows of TCP.

* A pipe holds rate x delay. A window smaller than that leaves the link idle.
* One flow fills a link if the buffer holds another rate x delay (C. Villamizar, C. Song, "High
  performance TCP in ANSNET", Computer Communication Review 24, 1994).
* n flows that are not in step need 1 / sqrt(n) of that (G. Appenzeller, I. Keslassy, N. McKeown,
  "Sizing router buffers", SIGCOMM 2004): their windows' sum varies less than each of them.
* A flow that loses a share p of its packets has a window of sqrt(3/2) / sqrt(p) (M. Mathis et al.,
  "The macroscopic behavior of the TCP congestion avoidance algorithm", CCR 27, 1997).
* The throughput equation of RFC 5348 adds time-outs, which rule when losses are many.
* CUBIC grows with time and not with round trips, so its window depends on both (RFC 9438).

Rates are in bit/s or octet/s, as the names say; mega is 10**6.
"""

__all__ = [
    "buffer_bits",
    "cubic_window",
    "one_flow_round_trip",
    "one_flow_utilisation",
    "rate_delay_bits",
    "square_root_window",
    "throughput_octets_per_s",
    "window_limited_bits_per_s",
]

import math

from course_lib.queueing.checks import at_least, chance, positive, whole

_CUBIC = math.sqrt(math.sqrt(0.4 * (3 + 0.7) / (4 * (1 - 0.7))))  # C = 0.4, beta = 0.7
_MATHIS = math.sqrt(3 / 2)  # each segment acknowledged; sqrt(3/4) if every second one is


def rate_delay_bits(rate_bits_per_s: float, round_trip_s: float) -> float:
    """Return how many bits fill the path: sent, and not yet acknowledged.

    >>> rate_delay_bits(10e9, 0.25)
    2500000000.0
    """
    return positive("rate_bits_per_s", rate_bits_per_s) * positive("round_trip_s", round_trip_s)


def buffer_bits(rate_bits_per_s: float, round_trip_s: float, flows: int = 1) -> float:
    """Return the buffer that keeps the link busy: rate x delay / sqrt(flows).

    The root holds for many flows that are not in step, as on a backbone. For a few flows, or flows
    in step, it promises too little.

    >>> buffer_bits(10e9, 0.25, flows=10_000)
    25000000.0
    """
    return rate_delay_bits(rate_bits_per_s, round_trip_s) / math.sqrt(whole(1, "flows", flows))


def one_flow_utilisation(buffer_share: float, *, kept_share: float = 0.5) -> float:
    """Return the share of the link that one flow fills; the buffer is in rate x delay.

    From the saw-tooth as a fluid: the window grows by the same each round trip, and keeps
    `kept_share` of itself when the buffer overflows: half with Reno; 0.7 with CUBIC, which grows so
    as long as it is friendly to Reno (RFC 9438, sections 4.3 and 4.6). While packets wait, a round
    trip takes longer by the wait.

    >>> one_flow_utilisation(0.0), one_flow_utilisation(1.0)
    (0.75, 1.0)
    """
    top, bottom = _tooth(buffer_share, kept_share)
    if bottom >= 1:
        return 1.0  # the buffer never runs empty
    queueing = (top**2 - 1) / 2  # time during which the link is full
    filling = 1 - bottom  # time during which it is not
    sent = (1 - bottom**2) / 2 + queueing
    return sent / (filling + queueing)


def one_flow_round_trip(buffer_share: float, *, kept_share: float = 0.5) -> float:
    """Return the mean round trip over time of that flow, in round trips without a queue.

    >>> one_flow_round_trip(0.0), round(one_flow_round_trip(1.0), 4)
    (1.0, 1.5556)
    """
    top, bottom = _tooth(buffer_share, kept_share)
    full_from = max(bottom, 1.0)
    filling = full_from - bottom  # each round trip in this time is 1
    queueing = (top**2 - full_from**2) / 2
    return (filling + (top**3 - full_from**3) / 3) / (filling + queueing)


def _tooth(buffer_share: float, kept_share: float) -> tuple[float, float]:
    """Return the window at a loss and behind it, in rate x delay."""
    top = 1 + at_least(0, "buffer_share", buffer_share)
    return top, top * chance("kept_share", kept_share)


def window_limited_bits_per_s(window_octets: float, round_trip_s: float) -> float:
    """Return the most that a window allows: one window in a round trip.

    >>> window_limited_bits_per_s(65_535, 0.1)
    5242800.0
    """
    return 8 * positive("window_octets", window_octets) / positive("round_trip_s", round_trip_s)


def square_root_window(loss: float, *, packets_per_ack: int = 1) -> float:
    """Return the mean window in packets of a flow that loses this share: sqrt(3 / (2 b p)).

    Periodic loss, no time-outs (Mathis et al. 1997). `packets_per_ack` is b.

    >>> round(square_root_window(0.015), 6)
    10.0
    """
    share = chance("loss", loss)
    return _MATHIS / math.sqrt(
        whole(1, "packets_per_ack", packets_per_ack) * positive("loss", share)
    )


def cubic_window(loss: float, round_trip_s: float) -> float:
    """Return the mean window in packets of a CUBIC flow (RFC 9438, section 5).

    Periodic loss, each segment acknowledged. Where Reno's window would be larger, it is Reno's.

    >>> round(cubic_window(1e-4, 0.1)), round(cubic_window(1e-3, 0.1))
    (187, 39)
    """
    share = positive("loss", chance("loss", loss))
    trips = math.pow(positive("round_trip_s", round_trip_s) / share, 0.75)
    return max(_CUBIC * trips, square_root_window(share))


def throughput_octets_per_s(
    segment_octets: float,
    round_trip_s: float,
    loss: float,
    *,
    packets_per_ack: int = 1,
    timeout_s: float | None = None,
) -> float:
    """Return the throughput of a Reno flow with time-outs (RFC 5348, section 3.1).

    The first time-out is four round trips, as section 3.1 recommends, or `timeout_s`. `loss` counts
    loss events.
    """
    share = positive("loss", chance("loss", loss))
    acked = whole(1, "packets_per_ack", packets_per_ack)
    trip_s = positive("round_trip_s", round_trip_s)
    wait_s = 4 * trip_s if timeout_s is None else positive("timeout_s", timeout_s)
    halvings = trip_s * math.sqrt(2 * acked * share / 3)
    timeouts = wait_s * 3 * math.sqrt(3 * acked * share / 8) * share * (1 + 32 * share**2)
    return positive("segment_octets", segment_octets) / (halvings + timeouts)
