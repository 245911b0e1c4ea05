"""How long a sender waits for an acknowledgement before it sends again (RFC 6298).

The wait follows the round trips that were measured: their smoothed mean, plus four times how much
they vary. A packet that was sent twice is never measured, since nobody can tell which of the two
was acknowledged (P. Karn, C. Partridge, SIGCOMM 1987).
"""

__all__ = ["back_off", "measured"]

from course_lib.queueing.tcp_state import SECOND, Sender

_GRANULARITY_NS = 1e6  # G, of the sender's clock; (2.3)
_LONGEST_NS = 60 * SECOND  # (2.5)


def measured(sender: Sender, round_trip_ns: int, shortest_ns: int) -> None:
    """Learn from a round trip (rules 2.2 to 2.5): first the variation, then the mean."""
    if sender.smoothed_ns == 0.0:
        sender.smoothed_ns = float(round_trip_ns)
        sender.variation_ns = round_trip_ns / 2
    else:
        error_ns = abs(sender.smoothed_ns - round_trip_ns)
        sender.variation_ns = 0.75 * sender.variation_ns + 0.25 * error_ns
        sender.smoothed_ns = 0.875 * sender.smoothed_ns + 0.125 * round_trip_ns
    margin_ns = max(_GRANULARITY_NS, 4 * sender.variation_ns)
    timeout_ns = int(sender.smoothed_ns + margin_ns)
    sender.timeout_ns = min(max(timeout_ns, shortest_ns), _LONGEST_NS)


def back_off(sender: Sender) -> None:
    """Double the wait after it was in vain (rule 5.5)."""
    sender.timeout_ns = min(2 * sender.timeout_ns, _LONGEST_NS)
