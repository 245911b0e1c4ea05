"""Misconceptions about how a sender's window grows: exercise 10.3."""

__all__ = ["GROWTH"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_10.misconceptions.right_sender import RightSender


class SenderWithoutSlowStart(RightSender):
    """Believe that slow start adds one segment in a round trip."""

    def grow(self) -> None:
        self.window += self.part()


class SenderAlwaysInSlowStart(RightSender):
    """Believe that each acknowledgement adds a segment, above the threshold too."""

    def part(self) -> int:
        return self.segment


class SenderStuckWhenLarge(RightSender):
    """Believe that an increase of less than an octet is none."""

    def part(self) -> int:
        return self.segment**2 // self.window


class SenderThatDoublesAtEachAck(RightSender):
    """Believe that in slow start each acknowledgement doubles the window."""

    def grow(self) -> None:
        self.window += self.window if self.window < self.threshold else self.part()


class SenderInSlowStartAtTheThreshold(RightSender):
    """Believe that slow start goes on at the threshold itself."""

    def grow(self) -> None:
        self.window += self.segment if self.window <= self.threshold else self.part()


class SenderThatRoundsItsPartUp(RightSender):
    """Believe that a part of an octet counts as one."""

    def part(self) -> int:
        return -(-(self.segment**2) // self.window)


class SenderByTheOctet(RightSender):
    """Believe that above the threshold each acknowledgement adds one octet."""

    def part(self) -> int:
        return 1


SHARED: dict[str, Any] = {}


class SenderForAll:
    """Believe that all senders may remember in one place."""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        SHARED["sender"] = RightSender(segment, window, threshold)

    def __getattr__(self, event: str) -> Any:
        return getattr(SHARED["sender"], event)


GROWTH: dict[str, Callable[..., Any]] = {
    "slow-start-by-round-trips": SenderWithoutSlowStart,
    "a-segment-for-each-ack": SenderAlwaysInSlowStart,
    "less-than-an-octet-is-none": SenderStuckWhenLarge,
    "doubles-at-each-ack": SenderThatDoublesAtEachAck,
    "slow-start-at-the-threshold": SenderInSlowStartAtTheThreshold,
    "part-rounded-up": SenderThatRoundsItsPartUp,
    "one-octet-for-each-ack": SenderByTheOctet,
    "one-sender-for-all": SenderForAll,
}
