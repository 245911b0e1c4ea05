"""Misconceptions about a limiter with many buckets: exercise 12.5."""

__all__ = ["NEW_LIMITER"]

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from instructor.units.unit_12.misconceptions.right_limiter import RightLimiter


class BitsAreOctets(RightLimiter):
    """Believe that a token is good for a bit of the rate and an octet of the packet."""

    def gain(self, elapsed_ms: int) -> Fraction:
        return Fraction(self.rate_bits_per_s * elapsed_ms, 1000)


class StartsEmpty(RightLimiter):
    """Believe that a bucket is empty at first."""

    def level(self, now_ms: int, block: int) -> Fraction:
        self.levels.setdefault(block, Fraction(0))
        self.last_ms.setdefault(block, 0)
        return super().level(now_ms, block)


class NoDepth(RightLimiter):
    """Believe that a bucket that was used may hold any number of tokens."""

    def capped(self, level: Fraction) -> Fraction:
        return level


class RefusedCosts(RightLimiter):
    """Believe that a packet takes what there is, even if that is not enough."""

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        self.keep(now_ms, block, Fraction(0))


class RoundedDown(RightLimiter):
    """Believe that what is less than an octet may be forgotten."""

    def capped(self, level: Fraction) -> Fraction:
        return Fraction(int(super().capped(level)))


class WholeSeconds(RightLimiter):
    """Believe that tokens come once a second."""

    def gain(self, elapsed_ms: int) -> Fraction:
        return super().gain(elapsed_ms // 1000 * 1000)


class MustBeMore(RightLimiter):
    """Believe that a bucket must hold more than the packet needs."""

    def has_enough(self, level: Fraction, octets: int) -> bool:
        return level > octets


class OneForAll(RightLimiter):
    """Believe that all sources share one bucket."""

    def block(self, source: str) -> int:
        return 0


class OneForEach(RightLimiter):
    """Believe that each address has a bucket of its own."""

    def bits(self) -> int:
        return 32


class WholeOctets(RightLimiter):
    """Believe that blocks end where an octet of the address ends."""

    def bits(self) -> int:
        return self.length // 8 * 8


class TextsInOrder(RightLimiter):
    """Believe that addresses stand in the order of their texts."""

    def in_order(self, blocks: list[int]) -> list[int]:
        return sorted(blocks, key=self.text)


class UsedAreTold(RightLimiter):
    """Believe that a bucket that was used once is never full again."""

    def waiting(self, now_ms: int) -> Any:
        return [self.text(block) for block in self.in_order(list(self.levels))]


class MarkedIsMarked(RightLimiter):
    """Believe that what was marked on its way here is told as marked."""

    def passed(self, ecn: int) -> Any:
        return "mark" if ecn == 3 else "pass"


class OnlyOneBit(RightLimiter):
    """Believe that one bit says whether a packet can be marked: the first."""

    def refused(self, ecn: int) -> Any:
        return "mark" if ecn & 2 else "drop"


class MarksAll(RightLimiter):
    """Believe that everybody understands a mark."""

    def refused(self, ecn: int) -> Any:
        return "mark"


class DropsAll(RightLimiter):
    """Believe that whatever is too much is dropped."""

    def refused(self, ecn: int) -> Any:
        return "drop"


class MarkTakesTheRest(RightLimiter):
    """Believe that a marked packet, which goes on, takes what tokens there are."""

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        if ecn:
            self.keep(now_ms, block, Fraction(0))


class IdlestForgotten(RightLimiter):
    """Believe that the bucket not used for longest may be forgotten."""

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        kept = self.kept(now_ms)
        del self.levels[min(kept, key=lambda block: self.last_ms[block])]
        return self.take(now_ms, source, octets, ecn)


class UsedAreKept(RightLimiter):
    """Believe that a bucket that was used once keeps its place."""

    def kept(self, now_ms: int) -> list[int]:
        return list(self.levels)


class NoBound(RightLimiter):
    """Believe that there is room for everybody."""

    def has_room(self, now_ms: int, block: int) -> bool:
        return True


class FullForAll(RightLimiter):
    """Believe that nobody gets anything while there is no room."""

    def has_room(self, now_ms: int, block: int) -> bool:
        return len(self.kept(now_ms)) < self.most


NEW_LIMITER: dict[str, Callable[..., Any]] = {
    "bits-are-octets": BitsAreOctets,
    "starts-empty": StartsEmpty,
    "no-depth": NoDepth,
    "refused-costs": RefusedCosts,
    "rounded-down": RoundedDown,
    "whole-seconds": WholeSeconds,
    "must-be-more": MustBeMore,
    "one-for-all": OneForAll,
    "one-for-each": OneForEach,
    "whole-octets": WholeOctets,
    "texts-in-order": TextsInOrder,
    "used-are-told": UsedAreTold,
    "marked-is-marked": MarkedIsMarked,
    "only-one-bit": OnlyOneBit,
    "marks-all": MarksAll,
    "drops-all": DropsAll,
    "mark-takes-the-rest": MarkTakesTheRest,
    "idlest-forgotten": IdlestForgotten,
    "used-are-kept": UsedAreKept,
    "no-bound": NoBound,
    "full-for-all": FullForAll,
}
