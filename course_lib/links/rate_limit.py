"""How much a link may send: a token bucket that refuses what finds too few tokens."""

__all__ = ["RateLimit"]

BURST_S = 0.25  # so much of a second may pass at once
_LEAST_BURST_OCTETS = 10 * 1500


class RateLimit:
    """At most `rate_bits_per_s` in the long run, in bursts of a quarter of a second.

    It does as the policer of `course_lib.queueing`. That one is asked with all that any rule for a
    buffer may want to know; to put this together would cost a frame a tenth of its time.

    >>> limit = RateLimit(8 * 15_000, now_s=0.0)
    >>> [limit.allows(0.0, 9000), limit.allows(0.0, 9000), limit.allows(0.5, 9000)]
    [True, False, True]
    """

    def __init__(self, rate_bits_per_s: float, now_s: float) -> None:
        self._octets_per_s = rate_bits_per_s / 8
        self._depth = max(self._octets_per_s * BURST_S, _LEAST_BURST_OCTETS)
        self._tokens, self._at_s = self._depth, now_s

    def allows(self, now_s: float, octets: int) -> bool:
        """Return whether so many octets may be sent now; if so, they count as sent."""
        tokens = self._tokens + (now_s - self._at_s) * self._octets_per_s
        if tokens > self._depth:
            tokens = self._depth
        self._at_s = now_s
        is_allowed = octets <= tokens
        self._tokens = tokens - octets if is_allowed else tokens
        return is_allowed
