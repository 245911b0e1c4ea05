"""How much a link may send: a token bucket, that of `course_lib.queueing`, as a policer."""

__all__ = ["RateLimit"]

from typing import Any

from course_lib.queueing.drop_policies import PacketView
from course_lib.queueing.token_buckets import police_on_arrival

BURST_S = 0.25  # so much of a second may pass at once
_LEAST_BURST_OCTETS = 10 * 1500


class RateLimit:
    """At most `rate_bits_per_s` in the long run, in bursts of a quarter of a second.

    >>> limit = RateLimit(8 * 15_000, now_s=0.0)
    >>> [limit.allows(0.0, 9000), limit.allows(0.0, 9000), limit.allows(0.5, 9000)]
    [True, False, True]
    """

    def __init__(self, rate_bits_per_s: float, now_s: float) -> None:
        octets_per_s = rate_bits_per_s / 8
        depth = max(octets_per_s * BURST_S, _LEAST_BURST_OCTETS)
        # The rule takes what has places; for one number at a time, lists are faster than arrays.
        self._settings: Any = [octets_per_s, depth]
        self._memory: Any = [depth, now_s]

    def allows(self, now_s: float, octets: int) -> bool:
        """Return whether so many octets may be sent now; if so, they count as sent."""
        view = PacketView(now_s, octets, 0.0, 0, 0.0, 0.0, 0.0)
        return not police_on_arrival(view, self._settings, self._memory)
