"""Answers that break one clause of a contract, and keep all others: 8.4.

Some look contrived: they fall only where no other clause can, by whether all quanta are the same.
"""

__all__ = [
    "RoundOfFourThatMovesAtOnce",
    "RoundOfOnePacketEachIfUneven",
    "RoundOfTheNewestOfFour",
    "RoundThatEarnsForEachIfUneven",
    "RoundThatFailsWhenEmpty",
    "RoundThatForgetsIfEven",
    "RoundThatTellsHowMany",
]

from instructor.units.unit_08.misconceptions.right_round import Packet, RightRound
from instructor.units.unit_08.misconceptions.rounds import (
    RoundOfOnePacketEach,
    RoundOfTheNewest,
    RoundThatEarnsForEachPacket,
    RoundThatMovesAtOnce,
)


def is_even(quanta: list[int]) -> bool:
    """Tell whether all quanta are the same."""
    return len(set(quanta)) == 1


class RoundThatTellsHowMany(RightRound):
    """Return something from `join`."""

    def join(self, queue: int, octets: int) -> int:  # type: ignore[override]
        """Take a packet in."""
        super().join(queue, octets)
        return len(self.sizes[queue])


class RoundThatFailsWhenEmpty(RightRound):
    """Raise where nothing waits."""

    def send(self) -> Packet | None:
        """Choose a packet."""
        given = super().send()
        if given is None:
            raise LookupError("no packet waits")
        return given


class RoundThatEarnsForEachIfUneven(RoundThatEarnsForEachPacket):
    """Earn for every packet, if quanta differ."""

    def earn(self) -> None:
        """Let the head earn."""
        (RightRound if is_even(self.quanta) else RoundThatEarnsForEachPacket).earn(self)


class RoundOfOnePacketEachIfUneven(RoundOfOnePacketEach):
    """End a turn with one packet, if quanta differ."""

    def send(self) -> Packet | None:
        """Choose a packet."""
        if is_even(self.quanta):
            self.has_sent = False
        return super().send()


class RoundThatForgetsIfEven(RightRound):
    """Forget what is left of a credit, if quanta are the same and the packet fits into one."""

    def move_on(self) -> None:
        """Put the head at the end."""
        queue = self.line[0]
        if is_even(self.quanta) and self.sizes[queue][0] <= self.quanta[queue]:
            self.credit[queue] = 0
        super().move_on()


class RoundOfTheNewestOfFour(RoundOfTheNewest):
    """Send the newest packet of a queue first, if there are four queues."""

    def join(self, queue: int, octets: int) -> None:
        """Take a packet in."""
        (RoundOfTheNewest if len(self.quanta) == 4 else RightRound).join(self, queue, octets)


class RoundOfFourThatMovesAtOnce(RoundThatMovesAtOnce):
    """Move a queue as soon as it cannot pay, if there are four."""

    def sent(self, queue: int) -> Packet:
        """Take a packet out, and pay for it."""
        return (RoundThatMovesAtOnce if len(self.quanta) == 4 else RightRound).sent(self, queue)
