"""Answers that break one clause of the contract of 7.4, and keep all others.

The number of neighbours tells what a row asks for (`questions.floods` says how); so most of these
break their clause for one number of them only.
"""

__all__ = [
    "AckForItself",
    "AlikeOnly",
    "AnyAgeCounts",
    "ChecksumTurned",
    "ConfirmTells",
    "DeadCounts",
    "DeadForAll",
    "DeadKept",
    "DeadSpread",
    "EqualIsNew",
    "ForgetsTheLast",
    "InPairs",
    "KeptAgain",
    "NeverConfirmed",
    "NoAckForOne",
    "NoAckForTheSame",
    "NothingForTheDead",
    "OfAnything",
    "OldConfirmed",
    "OldIgnored",
    "OldToAll",
    "OlderAge",
    "Replaced",
    "SenderStays",
    "SentBackStays",
    "Shared",
    "StillOpen",
    "ToTheSender",
    "TurnedForTwo",
    "Unsigned",
    "UntilSigned",
    "WrongWayRound",
]

from typing import Any, ClassVar

from instructor.units.unit_07.misconceptions.right_flooder import Copy, RightFlooder


class InPairs(RightFlooder):
    """Return pairs for a dictionary."""

    def receive(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy in."""
        return list(super().receive(neighbour, copy).items())


class WrongWayRound(RightFlooder):
    """Take the smaller of two sequence numbers that lie far apart."""

    def order(self, one: Copy, other: Copy) -> int:
        """Compare two copies."""
        far = abs(self.signed(one[1]) - self.signed(other[1])) > 100
        return -super().order(one, other) if far else super().order(one, other)


class ChecksumTurned(RightFlooder):
    """Take the smaller of two checksums."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        """Return what counts before ages."""
        sequence, checksum, dead = super().ranks(copy)
        return sequence, -checksum, dead


class DeadCounts(RightFlooder):
    """Let a dead copy be the older one, among the same."""

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        """Return what counts before ages."""
        sequence, checksum, dead = super().ranks(copy)
        return sequence, checksum, not dead


class OlderAge(RightFlooder):
    """Take the older one of two, for two neighbours."""

    def by_age(self, one: int, other: int) -> int:
        """Compare two ages."""
        right = super().by_age(one, other)
        return -right if len(self.neighbours) == 2 else right


class EqualIsNew(RightFlooder):
    """Take for newer what is the same, for two neighbours."""

    def order(self, one: Copy, other: Copy) -> int:
        """Compare two copies."""
        right = super().order(one, other)
        return 1 if right == 0 and len(self.neighbours) == 2 else right


class AnyAgeCounts(RightFlooder):
    """Take the younger one of two, for two neighbours."""

    def by_age(self, one: int, other: int) -> int:
        """Compare two ages."""
        return other - one if len(self.neighbours) == 2 else super().by_age(one, other)


class Unsigned(RightFlooder):
    """Read numbers without a sign."""

    def signed(self, number: int) -> int:
        """Read 32 bits."""
        return number


class UntilSigned(RightFlooder):
    """Read the highest bit as a sign alone."""

    def signed(self, number: int) -> int:
        """Read 32 bits."""
        return -(number - (1 << 31)) if number >> 31 else number


class ForgetsTheLast(RightFlooder):
    """Forget the last of four neighbours."""

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        """Say whom to send a copy."""
        return super().spread(neighbour, copy, others[: 2 if len(self.neighbours) == 4 else None])


class ToTheSender(RightFlooder):
    """Send a copy back, too, where four are."""

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        """Say whom to send a copy."""
        sent = super().spread(neighbour, copy, others)
        return sent | {neighbour: copy} if len(self.neighbours) == 4 else sent


class NoAckForOne(RightFlooder):
    """Confirm nothing to an only neighbour."""

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        """Say whom to send a copy."""
        return super().spread(neighbour, copy, others) if others else {}


class NoAckForTheSame(RightFlooder):
    """Confirm nothing that is known, where six are."""

    def same(self, neighbour: str, copy: Copy) -> Any:
        """Hear what is known."""
        return {} if len(self.neighbours) == 6 else super().same(neighbour, copy)


class Shared(RightFlooder):
    """Keep all copies in the object that was made last."""

    latest: ClassVar[list[RightFlooder]] = []

    def __init__(self, neighbours: list[str]) -> None:
        super().__init__(neighbours)
        self.latest[:] = [self]

    def receive(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy in."""
        self.kept = self.latest[0].kept
        return super().receive(neighbour, copy)


class Replaced(RightFlooder):
    """Keep the first copy for ever, where three are."""

    def keep(self, copy: Copy) -> None:
        """Keep a copy."""
        if len(self.neighbours) != 3 or copy[0] not in self.kept:
            super().keep(copy)


class KeptAgain(RightFlooder):
    """Keep the same copy again."""

    def same(self, neighbour: str, copy: Copy) -> Any:
        """Hear what is known."""
        if len(self.neighbours) == 3:
            self.keep(copy)
        return super().same(neighbour, copy)


class OldConfirmed(RightFlooder):
    """Confirm an older copy, where three are."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        """Hear what is out of date."""
        return {neighbour: "ack" if len(self.neighbours) == 3 else ours}


class OldIgnored(RightFlooder):
    """Send nothing for an older copy, where three are."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        """Hear what is out of date."""
        return {} if len(self.neighbours) == 3 else {neighbour: ours}


class OldToAll(RightFlooder):
    """Send ours to all after an older copy, where three are."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        """Hear what is out of date."""
        return dict.fromkeys(self.neighbours if len(self.neighbours) == 3 else [neighbour], ours)


class DeadKept(RightFlooder):
    """Keep a first copy that is dead."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        """Hear of a router for the first time."""
        self.keep(copy)
        return super().first(neighbour, copy)


class DeadSpread(RightFlooder):
    """Spread a first copy that is dead."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        """Hear of a router for the first time."""
        return self.newer(neighbour, copy)


class NothingForTheDead(RightFlooder):
    """Send nothing for the very first copy, if it is dead."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        """Hear of a router for the first time."""
        return {} if copy[3] == 3600 and not self.kept else super().first(neighbour, copy)


class DeadForAll(RightFlooder):
    """Tell others of the very first copy, if it is dead."""

    def first(self, neighbour: str, copy: Copy) -> Any:
        """Hear of a router for the first time."""
        if copy[3] == 3600 and not self.kept:
            return self.spread(neighbour, copy, self.others(neighbour))
        return super().first(neighbour, copy)


class TurnedForTwo(RightFlooder):
    """Name neighbours in another order, if they have two routers to confirm."""

    def waiting(self) -> Any:
        """Tell who has not confirmed."""
        right = super().waiting()
        return right[::-1] if len({router for _, router in right}) == 2 else right


class SentBackStays(RightFlooder):
    """Wait for who was sent a copy back."""

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        """Hear what is out of date."""
        self.open.add((neighbour, copy[0]))
        return super().older(neighbour, copy, ours)


class NeverConfirmed(RightFlooder):
    """Let nobody confirm."""

    def confirm(self, neighbour: str, copy: Copy) -> None:
        """Take a confirmation."""


class AlikeOnly(RightFlooder):
    """Let only a copy of the same age confirm."""

    def confirms(self, copy: Copy, ours: Copy) -> bool:
        """Tell whether a confirmation is for what we keep."""
        return copy == ours


class ConfirmTells(RightFlooder):
    """Tell that nothing is known of a router."""

    def confirm(self, neighbour: str, copy: Copy) -> Any:
        """Take a confirmation."""
        if copy[0] not in self.kept:
            return False
        return super().confirm(neighbour, copy)


class StillOpen(RightFlooder):
    """Wait on for who sends the same copy, a little older."""

    def implied(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy as a confirmation."""
        if copy == self.kept[copy[0]]:
            return super().implied(neighbour, copy)
        return {}


class AckForItself(RightFlooder):
    """Confirm a confirmation, if it is a copy of the same age."""

    def implied(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy as a confirmation."""
        super().implied(neighbour, copy)
        return {neighbour: "ack"} if copy == self.kept[copy[0]] else {}


class OfAnything(RightFlooder):
    """Let any copy confirm."""

    def confirms(self, copy: Copy, ours: Copy) -> bool:
        """Tell whether a confirmation is for what we keep."""
        return True


class SenderStays(RightFlooder):
    """Wait on for who sends a newer copy itself."""

    def newer(self, neighbour: str, copy: Copy) -> Any:
        """Keep a copy and spread it."""
        before = {(neighbour, copy[0])} & self.open
        sent = super().newer(neighbour, copy)
        self.open |= before
        return sent
