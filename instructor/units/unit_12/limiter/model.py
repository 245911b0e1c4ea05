"""The model answer to 12.5, a limiter with many buckets: to be read out in front of a class.

Sources: RFC 2697, section 3 (a bucket, and that what is refused takes nothing); RFC 3168, section 5
(who may be marked). That only full buckets may be forgotten follows: a new bucket is full, too.
"""

__all__ = ["new_limiter"]

from collections import Counter


def new_limiter(length: int, rate_bits_per_s: int, burst_octets: int, most: int) -> "Limiter":
    """Return a limiter: a bucket of tokens for each block of sources."""
    return Limiter(length, rate_bits_per_s, burst_octets, most)


class Limiter:
    """Keep for each bucket what it lacks, in thousandths of a bit: all stays whole."""

    def __init__(self, length: int, rate_bits_per_s: int, burst_octets: int, most: int) -> None:
        self.length, self.rate, self.most = length, rate_bits_per_s, most
        self.depth = burst_octets * 8000
        self.lacks: Counter[int] = Counter()  # by the first bits of a block; no full ones
        self.filled_ms = 0

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> str:
        """Say what becomes of a packet."""
        self.fill(now_ms)
        block = self.block_of(source)
        lack = self.lacks[block] + octets * 8000
        if lack > self.depth:
            return "mark" if ecn else "drop"
        if block not in self.lacks and len(self.lacks) == self.most:
            return "no room"
        self.lacks[block] = lack
        return "pass"

    def waiting(self, now_ms: int) -> list[str]:
        """Tell the blocks whose buckets are not full."""
        self.fill(now_ms)
        return [self.name_of(block) for block in sorted(self.lacks)]

    def fill(self, now_ms: int) -> None:
        """Fill all buckets, and forget the full ones."""
        gain = (now_ms - self.filled_ms) * self.rate
        left = {block: lack - gain for block, lack in self.lacks.items() if lack > gain}
        self.lacks = Counter(left)
        self.filled_ms = now_ms

    def block_of(self, source: str) -> int:
        """Return the first bits of an address."""
        a, b, c, d = (int(part) for part in source.split("."))
        return (a << 24 | b << 16 | c << 8 | d) >> 32 - self.length

    def name_of(self, block: int) -> str:
        """Write a block as text."""
        first = block << 32 - self.length
        return ".".join(str(octet) for octet in first.to_bytes(4, "big")) + f"/{self.length}"
