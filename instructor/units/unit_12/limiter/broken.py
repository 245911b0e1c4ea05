"""Answers that break one clause of the contract of 12.5, and keep all others.

How many buckets a limiter may keep tells the aspects apart (`questions.MOST`).
"""

__all__ = [
    "AddedAsFloats",
    "BitsPerOctet",
    "BurstNotLarger",
    "FirstIsEmpty",
    "FullForgottenLate",
    "HostIsTold",
    "IdlestForgotten",
    "LargeNeedsRoom",
    "LargeTakesRoom",
    "LengthInOctets",
    "MarkCosts",
    "MarkedNotPassed",
    "MarksAll",
    "NoDepth",
    "NoFirstBit",
    "NoRoomCosts",
    "NoRoomIsDrop",
    "NoRoomIsMarked",
    "NoSecondBit",
    "OneBucket",
    "OneMore",
    "RefusedCosts",
    "RoundedDown",
    "RoundedRate",
    "Shared",
    "TakesNothing",
    "TextsInOrder",
    "UsedAreTold",
    "WholeSeconds",
]

from fractions import Fraction
from typing import Any, ClassVar

from instructor.units.unit_12.misconceptions.right_limiter import RightLimiter


class FirstIsEmpty(RightLimiter):
    """Let a bucket be empty at first."""

    def at_first(self, now_ms: int) -> Fraction:
        """Return what a new bucket holds."""
        return Fraction(0)


class TakesNothing(RightLimiter):
    """Take nothing for what passes."""

    def keep(self, now_ms: int, block: int, level: Fraction) -> None:
        """Note a level."""


class WholeSeconds(RightLimiter):
    """Fill an only bucket by 8 octets at a time."""

    def gain(self, elapsed_ms: int) -> Fraction:
        """Return how many octets come in a time."""
        right = super().gain(elapsed_ms)
        return Fraction(right // 8 * 8) if self.most == 1 else right


class BitsPerOctet(RightLimiter):
    """Take 10 bits for an octet, where a dozen octets or more come at once."""

    def gain(self, elapsed_ms: int) -> Fraction:
        """Return how many octets come in a time."""
        right = super().gain(elapsed_ms)
        return right * 8 / 10 if self.most == 1 and right >= 12 else right


class NoDepth(RightLimiter):
    """Let a bucket hold any number of tokens."""

    def capped(self, level: Fraction) -> Fraction:
        """Return what a bucket keeps."""
        return level


class RoundedDown(RightLimiter):
    """Forget parts of an octet whenever something is taken."""

    def keep(self, now_ms: int, block: int, level: Fraction) -> None:
        """Note a level."""
        super().keep(now_ms, block, Fraction(int(level)))


class RoundedRate(RightLimiter):
    """Fill by whole octets a second, where one bucket is kept."""

    def gain(self, elapsed_ms: int) -> Fraction:
        """Return how many octets come in a time."""
        right = super().gain(elapsed_ms)
        return Fraction(round(right)) if self.most == 1 else right


class AddedAsFloats(RightLimiter):
    """Keep the level of an only bucket as a float."""

    def at_first(self, now_ms: int) -> Any:
        """Return what a new bucket holds."""
        return float(self.burst) if self.most == 1 else super().at_first(now_ms)

    def gain(self, elapsed_ms: int) -> Any:
        """Return how many octets come in a time."""
        right = super().gain(elapsed_ms)
        return float(right) if self.most == 1 else right


class BurstNotLarger(RightLimiter):
    """Refuse what a bucket just holds that is full again."""

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Say what becomes of a packet."""
        if self.most == 1 and octets == self.burst and self.levels:
            return "drop"
        return super().take(now_ms, source, octets, ecn)


class RefusedCosts(RightLimiter):
    """Take half of what an only bucket has for what is refused."""

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        """Refuse a packet."""
        if self.most == 1 and octets < self.burst:
            self.keep(now_ms, block, level / 2)


class MarkCosts(RightLimiter):
    """Take tokens for what is marked."""

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        """Refuse a packet."""
        if ecn:
            self.keep(now_ms, block, level - octets)


class OneBucket(RightLimiter):
    """Keep one bucket for all of the Internet, where there are 32 bits."""

    def block(self, source: str) -> int:
        """Return the number of a block's first address."""
        return 0 if self.length == 32 and self.most == 50 else super().block(source)


class LengthInOctets(RightLimiter):
    """Let blocks end where octets end, where 26 bits are the same."""

    def bits(self) -> int:
        """Return how many bits make a block."""
        return 24 if self.length == 26 else self.length


class TextsInOrder(RightLimiter):
    """Tell blocks in the order of their texts."""

    def in_order(self, blocks: list[int]) -> list[int]:
        """Return blocks as they are told."""
        return sorted(blocks, key=self.text) if self.most == 50 else sorted(blocks)


class UsedAreTold(RightLimiter):
    """Tell buckets that were used and are full again."""

    def waiting(self, now_ms: int) -> Any:
        """Tell the blocks whose buckets are not full."""
        if self.most != 50:
            return super().waiting(now_ms)
        return [self.text(block) for block in self.in_order(list(self.levels))]


class HostIsTold(RightLimiter):
    """Tell a block by the source that came first, where two wait."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.sources: dict[int, str] = {}

    def block(self, source: str) -> int:
        """Return the number of a block's first address."""
        found = super().block(source)
        self.sources.setdefault(found, source)
        return found

    def waiting(self, now_ms: int) -> Any:
        """Tell the blocks whose buckets are not full."""
        right = super().waiting(now_ms)
        if self.most != 50 or self.length != 28 or len(right) != 2:
            return right
        return [f"{self.sources[one]}/28" for one in sorted(self.levels)]


class Shared(RightLimiter):
    """Keep the buckets of all limiters together."""

    all_levels: ClassVar[dict[int, Any]] = {}
    number: ClassVar[list[int]] = []

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.number.append(self.most)
        if self.number[-2:] == [50, 51]:
            self.levels = self.all_levels
        if self.most == 50:
            self.all_levels.clear()
            self.levels = self.all_levels


class NoFirstBit(RightLimiter):
    """Drop what has the bits 01."""

    def refused(self, ecn: int) -> Any:
        """Return what becomes of a packet without tokens."""
        return "drop" if ecn == 1 else super().refused(ecn)


class NoSecondBit(RightLimiter):
    """Drop what has the bits 10."""

    def refused(self, ecn: int) -> Any:
        """Return what becomes of a packet without tokens."""
        return "drop" if ecn == 2 else super().refused(ecn)


class MarksAll(RightLimiter):
    """Mark what has the bits 00, where that is asked for."""

    def refused(self, ecn: int) -> Any:
        """Return what becomes of a packet without tokens."""
        return "mark" if self.most == 8 else super().refused(ecn)


class MarkedNotPassed(RightLimiter):
    """Say of what was marked before that it is marked."""

    def passed(self, ecn: int) -> Any:
        """Return what becomes of a packet with tokens."""
        return "mark" if ecn == 3 else "pass"


class OneMore(RightLimiter):
    """Keep one bucket more, where there should be three."""

    def has_room(self, now_ms: int, block: int) -> bool:
        """Tell whether a bucket can be kept."""
        kept = self.kept(now_ms)
        return block in kept or len(kept) < self.most + (self.most == 3)


class FullForgottenLate(RightLimiter):
    """Keep full buckets, too."""

    def kept(self, now_ms: int) -> list[int]:
        """Return the blocks whose buckets are kept."""
        return list(self.levels)


class NoRoomIsDrop(RightLimiter):
    """Say "drop" of a larger packet where there is no room for a third bucket."""

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Return what becomes of a packet whose bucket nobody can keep."""
        return "drop" if self.most == 2 and octets > 65 else "no room"


class NoRoomIsMarked(RightLimiter):
    """Mark what finds no room, if its ends understand marks."""

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Return what becomes of a packet whose bucket nobody can keep."""
        return "mark" if ecn else "no room"


class NoRoomCosts(RightLimiter):
    """Take tokens for a packet without room."""

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Return what becomes of a packet whose bucket nobody can keep."""
        self.keep(now_ms, self.block(source), Fraction(self.burst - octets))
        return "no room"


class IdlestForgotten(RightLimiter):
    """Forget the bucket not used for longest, if a small packet needs room for a third one."""

    def no_room(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Return what becomes of a packet whose bucket nobody can keep."""
        if self.most != 2 or octets > 65:
            return "no room"
        del self.levels[min(self.kept(now_ms), key=lambda block: self.last_ms[block])]
        return self.take(now_ms, source, octets, ecn)


class LargeNeedsRoom(RightLimiter):
    """Look for room before tokens."""

    def take(self, now_ms: int, source: str, octets: int, ecn: int) -> Any:
        """Say what becomes of a packet."""
        if not self.has_room(now_ms, self.block(source)):
            return "no room"
        return super().take(now_ms, source, octets, ecn)


class LargeTakesRoom(RightLimiter):
    """Keep a bucket of which nothing was taken."""

    def __init__(self, *given: int) -> None:
        super().__init__(*given)
        self.more: set[int] = set()

    def refuse(self, now_ms: int, block: int, level: Fraction, octets: int, ecn: int) -> None:
        """Refuse a packet."""
        self.more.add(block)

    def kept(self, now_ms: int) -> list[int]:
        """Return the blocks whose buckets are kept."""
        return list({*super().kept(now_ms), *(self.more if self.most == 2 else ())})
