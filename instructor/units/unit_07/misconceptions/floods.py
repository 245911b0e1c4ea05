"""Misconceptions about copies, what to do with them, and whom to wait for: exercise 7.4."""

__all__ = ["NEW_FLOODER"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_07.misconceptions.right_flooder import Copy, RightFlooder


class UnsignedNumbers(RightFlooder):
    """Believe that 32 bits are a number from 0 on."""

    def signed(self, number: int) -> int:
        return number


class NumbersGoRound(RightFlooder):
    """Believe that sequence numbers go round, as TCP's do."""

    def order(self, one: Copy, other: Copy) -> int:
        ahead = (one[1] - other[1]) % (1 << 32)
        return (1 if ahead < 1 << 31 else -1) if ahead else super().order(one, other)


class YoungestIsNewest(RightFlooder):
    """Believe that the younger copy is the newer one."""

    def order(self, one: Copy, other: Copy) -> int:
        return other[3] - one[3] if one[3] != other[3] else super().order(one, other)


class LastIsNewest(RightFlooder):
    """Believe that what comes last is the newest, unless it is the same."""

    def order(self, one: Copy, other: Copy) -> int:
        return abs(super().order(one, other))


class ChecksumFirst(RightFlooder):
    """Believe that the checksum counts before the sequence number."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        sequence, checksum, dead = super().ranks(copy)
        return checksum, sequence, dead


class NoChecksum(RightFlooder):
    """Believe that a checksum says nothing about which copy is newer."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        return self.signed(copy[1]), copy[3] == 3600


class DeadIsOldest(RightFlooder):
    """Believe that a copy 3600 s old is older than any other."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        return self.signed(copy[1]), copy[2], copy[3] < 3600


class DeadIsOld(RightFlooder):
    """Believe that an age of 3600 s is an age like others."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        return self.signed(copy[1]), copy[2]


class AnyYounger(RightFlooder):
    """Believe that a second makes a copy newer."""

    def by_age(self, one: int, other: int) -> int:
        return other - one


class OlderIsNewer(RightFlooder):
    """Believe that of two ages the larger one is newer."""

    def by_age(self, one: int, other: int) -> int:
        return -super().by_age(one, other)


class AgesIgnored(RightFlooder):
    """Believe that ages are only for dying."""

    def by_age(self, one: int, other: int) -> int:
        return 0


class NineHundredIsFar(RightFlooder):
    """Believe that 900 s are far apart."""

    def by_age(self, one: int, other: int) -> int:
        return other - one if abs(one - other) >= 900 else 0


class SameMeansAlike(RightFlooder):
    """Believe that copies are the same only if all four numbers are."""

    def by_age(self, one: int, other: int) -> int:
        return super().by_age(one, other) or (-1 if one != other else 0)


class BackToTheSender(RightFlooder):
    """Believe that a new copy goes to everybody."""

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        return dict.fromkeys([*others, neighbour], copy)


class NewWithoutAck(RightFlooder):
    """Believe that only what is known already is confirmed."""

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        return dict.fromkeys(others, copy)


class SpreadAgain(RightFlooder):
    """Believe that all that comes is passed on."""

    def same(self, neighbour: str, copy: Copy) -> Any:
        self.open.discard((neighbour, copy[0]))
        return self.spread(neighbour, copy, self.others(neighbour))


class SameInSilence(RightFlooder):
    """Believe that what is known needs no answer."""

    def same(self, neighbour: str, copy: Copy) -> Any:
        super().same(neighbour, copy)
        return {}


class OldIsConfirmed(RightFlooder):
    """Believe that an older copy is confirmed like others."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        return {neighbour: "ack"}


class OldInSilence(RightFlooder):
    """Believe that an older copy is nothing to answer."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        return {}


class OldStirsAll(RightFlooder):
    """Believe that after an older copy all need the newer one again."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        return dict.fromkeys(self.neighbours, ours)


class SentBackIsWaitedFor(RightFlooder):
    """Believe that a copy that was sent back has to be confirmed."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        self.open.add((neighbour, copy[0]))
        return super().older(neighbour, copy, ours)


class DeadIsSpread(RightFlooder):
    """Believe that a dead copy is news even where the router is unknown."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        return self.newer(neighbour, copy)


class DeadInSilence(RightFlooder):
    """Believe that a dead copy of an unknown router needs no answer."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        return {} if copy[3] == 3600 else super().first(neighbour, copy)


class DeadIsKept(RightFlooder):
    """Believe that a dead copy of an unknown router is kept, and told to nobody."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        self.keep(copy)
        return super().first(neighbour, copy)


class DeadIsForgotten(RightFlooder):
    """Believe that with a dead copy the router is forgotten."""

    def keep(self, copy: Copy) -> None:
        if copy[3] == 3600:
            self.kept.pop(copy[0], None)
        else:
            super().keep(copy)


class FirstStays(RightFlooder):
    """Believe that the first copy is kept, and newer ones are only passed on."""

    def keep(self, copy: Copy) -> None:
        self.kept.setdefault(copy[0], copy)


class SameIsNoConfirmation(RightFlooder):
    """Believe that only an acknowledgement confirms."""

    def same(self, neighbour: str, copy: Copy) -> Any:
        return {neighbour: "ack"}


class ConfirmationIsConfirmed(RightFlooder):
    """Believe that a copy that confirms is confirmed in turn."""

    def implied(self, neighbour: str, copy: Copy) -> Any:
        super().implied(neighbour, copy)
        return {neighbour: "ack"}


class SenderIsWaitedFor(RightFlooder):
    """Believe that the one who sent a copy has to confirm it as well."""

    def newer(self, neighbour: str, copy: Copy) -> Any:
        given = super().newer(neighbour, copy)
        self.open.add((neighbour, copy[0]))
        return given


class AnyConfirmation(RightFlooder):
    """Believe that a confirmation is for whatever we keep about the router."""

    def confirms(self, copy: Copy, ours: Copy) -> bool:
        return True


class AlikeConfirms(RightFlooder):
    """Believe that only a copy of the same age confirms."""

    def confirms(self, copy: Copy, ours: Copy) -> bool:
        return copy == ours


class OneForAll(RightFlooder):
    """Believe that one confirmation is enough."""

    def confirm(self, neighbour: str, copy: Copy) -> Any:
        before = set(self.open)
        super().confirm(neighbour, copy)
        if before != self.open:
            self.open = {pair for pair in self.open if pair[1] != copy[0]}


class StillWaitedFor(RightFlooder):
    """Believe that a newer copy is no answer to the older one."""

    def newer(self, neighbour: str, copy: Copy) -> Any:
        open_before = (neighbour, copy[0]) in self.open
        given = super().newer(neighbour, copy)
        if open_before:
            self.open.add((neighbour, copy[0]))
        return given


class ByRouter(RightFlooder):
    """Believe that the list is in the order of the routers."""

    def waiting(self) -> Any:
        return sorted(self.open, key=lambda pair: (pair[1], pair[0]))


class RouterFirst(RightFlooder):
    """Believe that a pair begins with the router."""

    def waiting(self) -> Any:
        return sorted((router, neighbour) for neighbour, router in self.open)


NEW_FLOODER: dict[str, Callable[..., Any]] = {
    "unsigned-numbers": UnsignedNumbers,
    "numbers-go-round": NumbersGoRound,
    "youngest-is-newest": YoungestIsNewest,
    "last-is-newest": LastIsNewest,
    "checksum-first": ChecksumFirst,
    "no-checksum": NoChecksum,
    "dead-is-oldest": DeadIsOldest,
    "dead-is-an-age": DeadIsOld,
    "any-younger-is-newer": AnyYounger,
    "older-is-newer": OlderIsNewer,
    "ages-ignored": AgesIgnored,
    "nine-hundred-is-far": NineHundredIsFar,
    "same-means-alike": SameMeansAlike,
    "back-to-the-sender": BackToTheSender,
    "new-without-ack": NewWithoutAck,
    "spread-again": SpreadAgain,
    "same-in-silence": SameInSilence,
    "old-is-confirmed": OldIsConfirmed,
    "old-in-silence": OldInSilence,
    "old-stirs-all": OldStirsAll,
    "sent-back-is-waited-for": SentBackIsWaitedFor,
    "dead-is-spread": DeadIsSpread,
    "dead-in-silence": DeadInSilence,
    "dead-is-kept": DeadIsKept,
    "dead-is-forgotten": DeadIsForgotten,
    "first-stays": FirstStays,
    "same-is-no-confirmation": SameIsNoConfirmation,
    "confirmation-is-confirmed": ConfirmationIsConfirmed,
    "sender-is-waited-for": SenderIsWaitedFor,
    "any-confirmation": AnyConfirmation,
    "alike-confirms": AlikeConfirms,
    "one-for-all": OneForAll,
    "still-waited-for": StillWaitedFor,
    "by-router": ByRouter,
    "router-first": RouterFirst,
}
