"""Other right answers for exercise 12.5, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from fractions import Fraction
from ipaddress import IPv4Network, ip_network
from types import SimpleNamespace
from typing import Any


class LimiterOfMoments:
    """Remember of each bucket when it will be full: in ms, as a fraction."""

    def __init__(self, length: int, rate_bits_per_s: int, burst_octets: int, most: int) -> None:
        self.length, self.burst, self.most = length, burst_octets, most
        self.ms_an_octet = Fraction(8000, rate_bits_per_s)
        self.full_ms: dict[IPv4Network, Fraction] = {}

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> str:
        """Put the moment off at which it is full."""
        block = IPv4Network((source, self.length), strict=False)
        after = max(Fraction(now_ms), self.full_ms.get(block, Fraction(0)))
        after += octets * self.ms_an_octet
        if after - now_ms > self.burst * self.ms_an_octet:
            return ("drop", "mark", "mark", "mark")[ecn]
        others = [one for one, full in self.full_ms.items() if full > now_ms and one != block]
        if block not in self.full_ms or self.full_ms[block] <= now_ms:
            if len(others) >= self.most:
                return "no room"
            self.full_ms = {one: self.full_ms[one] for one in others}
        self.full_ms[block] = after
        return "pass"

    def waiting(self, now_ms: int) -> list[str]:
        """Compare moments."""
        return [str(one) for one, full in sorted(self.full_ms.items()) if full > now_ms]


def limiter_of_closures(
    length: int, rate_bits_per_s: int, burst_octets: int, most: int
) -> SimpleNamespace:
    """Keep levels in thousandths of bits, and times, as lists in a dictionary."""
    deep = burst_octets * 8 * 1000
    buckets: dict[str, list[int]] = {}

    def fill(now_ms: int) -> None:
        for name, bucket in list(buckets.items()):
            bucket[:] = min(deep, bucket[0] + rate_bits_per_s * (now_ms - bucket[1])), now_ms
            if bucket[0] == deep:
                buckets.pop(name)

    def take(now_ms: int, source: str, octets: int, ecn: int) -> str:
        fill(now_ms)
        name = str(ip_network(f"{source}/{length}", strict=False))
        bucket = buckets.get(name, [deep, now_ms])
        if bucket[0] < octets * 8000:
            return "drop" if ecn == 0 else "mark"
        if name not in buckets and len(buckets) >= most:
            return "no room"
        buckets[name] = [bucket[0] - octets * 8000, now_ms]
        return "pass"

    def waiting(now_ms: int) -> list[str]:
        fill(now_ms)
        return sorted(buckets, key=ip_network)

    return SimpleNamespace(take=take, waiting=waiting)


class LimiterOfHistory:
    """Remember what passed, and work each level out from it."""

    def __init__(self, length: int, rate_bits_per_s: int, burst_octets: int, most: int) -> None:
        self.settings = length, rate_bits_per_s, burst_octets
        self.most = most
        self.passed: list[tuple[int, int, int]] = []  # moments, blocks, octets

    def block(self, source: str) -> int:
        """Return the first address of a block: the other bits are cleared."""
        number = 0
        for part in source.split("."):
            number = number * 256 + int(part)
        return number - number % (1 << 32 - self.settings[0])

    def levels(self, now_ms: int) -> dict[int, Fraction]:
        """Return the levels of all buckets that are not full."""
        _, rate, burst = self.settings
        found: dict[int, tuple[int, Fraction]] = {}
        for moment, block, octets in [*self.passed, *((now_ms, one[1], 0) for one in self.passed)]:
            last, level = found.get(block, (moment, Fraction(burst)))
            level = min(level + Fraction(rate, 8000) * (moment - last), Fraction(burst))
            found[block] = (moment, level - octets)
        return {block: level for block, (_, level) in found.items() if level != burst}

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> str:
        """Look at all levels."""
        levels, block = self.levels(now_ms), self.block(source)
        if octets > levels.get(block, self.settings[2]):
            return "mark" if ecn > 0 else "drop"
        if len(levels.keys() | {block}) > self.most:
            return "no room"
        self.passed.append((now_ms, block, octets))
        return "pass"

    def waiting(self, now_ms: int) -> list[str]:
        """Write blocks octet by octet."""
        return [
            f"{one >> 24}.{one >> 16 & 255}.{one >> 8 & 255}.{one & 255}/{self.settings[0]}"
            for one in sorted(self.levels(now_ms))
        ]


OTHERS: tuple[Callable[..., Any], ...] = (
    LimiterOfMoments,
    limiter_of_closures,
    LimiterOfHistory,
)
