"""A right limiter with a method for each thing that can be believed otherwise: 12.5."""

__all__ = ["RightLimiter"]

from fractions import Fraction
from typing import Any


class RightLimiter:
    """A level in octets for each block, and when it was worked out."""

    def __init__(self, length: int, rate_bits_per_s: int, burst_octets: int, most: int) -> None:
        self.length, self.burst, self.most = length, burst_octets, most
        self.rate_bits_per_s = rate_bits_per_s
        self.levels: dict[int, Fraction] = {}
        self.last_ms: dict[int, int] = {}

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Say what becomes of a packet."""
        block = self.block(source)
        level = self.level(now_ms, block)
        if not self.has_enough(level, octets):
            self.refuse(now_ms, block, level, octets, ecn)
            return self.refused(ecn)
        if not self.has_room(now_ms, block):
            return self.no_room(now_ms, source, octets, ecn)
        self.keep(now_ms, block, level - octets)
        return self.passed(ecn)

    def block(self, source: str) -> int:
        """Return the number of a block's first address."""
        number = int.from_bytes(bytes(map(int, source.split("."))), "big")
        return number >> (32 - self.bits()) << (32 - self.bits())

    def bits(self) -> int:
        """Return how many bits make a block."""
        return self.length

    def gain(self, elapsed_ms: int) -> Fraction:
        """Return how many octets come in a time."""
        return Fraction(self.rate_bits_per_s * elapsed_ms, 8000)

    def level(self, now_ms: int, block: int) -> Fraction:
        """Return what a bucket holds."""
        if block not in self.levels:
            return self.at_first(now_ms)
        return self.capped(self.levels[block] + self.gain(now_ms - self.last_ms[block]))

    def at_first(self, now_ms: int) -> Fraction:
        """Return what a new bucket holds."""
        return Fraction(self.burst)

    def capped(self, level: Fraction) -> Fraction:
        """Return what a bucket keeps."""
        return min(Fraction(self.burst), level)

    def keep(self, now_ms: int, block: int, level: Fraction) -> None:
        """Note a level."""
        self.levels[block] = level
        self.last_ms[block] = now_ms

    def has_enough(self, level: Fraction, octets: int) -> bool:
        """Tell whether a packet may take its tokens."""
        return level >= octets

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        """Refuse a packet; it takes nothing."""

    def refused(self, ecn: int) -> Any:
        """Return what becomes of a packet without tokens."""
        return "mark" if ecn in (1, 2, 3) else "drop"

    def passed(self, ecn: int) -> Any:
        """Return what becomes of a packet with tokens."""
        return "pass"

    def kept(self, now_ms: int) -> list[int]:
        """Return the blocks whose buckets are kept."""
        return [block for block in self.levels if self.level(now_ms, block) < self.burst]

    def has_room(self, now_ms: int, block: int) -> bool:
        """Tell whether a bucket can be kept."""
        kept = self.kept(now_ms)
        return block in kept or len(kept) < self.most

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Return what becomes of a packet whose bucket nobody can keep."""
        return "no room"

    def waiting(self, now_ms: int) -> Any:
        """Tell the blocks whose buckets are not full."""
        blocks = [block for block in self.levels if self.level(now_ms, block) < self.burst]
        return [self.text(block) for block in self.in_order(blocks)]

    def in_order(self, blocks: list[int]) -> list[int]:
        """Return blocks as they are told."""
        return sorted(blocks)

    def text(self, block: int) -> str:
        """Write a block."""
        return ".".join(map(str, block.to_bytes(4, "big"))) + f"/{self.length}"
