"""Misconceptions about how a sender's window grows: exercise 10.3."""

__all__ = ["GROWTH"]

from collections.abc import Callable
from typing import Any

Windows = tuple[int, int]


class RightSender:
    """A sender as RFC 5681 has it, in small parts, of which others get one wrong."""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        self.segment, self.window, self.threshold = segment, window, threshold
        self.duplicates = 0

    def ack(self) -> Windows:
        """Take in an acknowledgement of something new."""
        if self.duplicates >= 3:
            self.deflate()
        else:
            self.grow()
        self.duplicates = 0
        return self.window, self.threshold

    def duplicate(self, flight: int) -> Windows:
        """Take in an acknowledgement of nothing new."""
        self.duplicates += 1
        if self.duplicates == 3:
            self.lose(flight)
        elif self.duplicates > 3:
            self.inflate()
        return self.window, self.threshold

    def timeout(self, flight: int) -> Windows:
        """Begin again."""
        self.threshold = self.half(flight)
        self.window = self.segment
        self.duplicates = 0
        return self.window, self.threshold

    def grow(self) -> None:
        """Grow by a segment, or by a part of one."""
        slow_start = self.window < self.threshold
        self.window += self.segment if slow_start else self.part()

    def part(self) -> int:
        """Return what makes a segment in a round trip."""
        return max(1, self.segment**2 // self.window)

    def half(self, flight: int) -> int:
        """Return the new threshold."""
        return max(flight // 2, 2 * self.segment)

    def lose(self, flight: int) -> None:
        """React to the third duplicate."""
        self.threshold = self.half(flight)
        self.window = self.threshold + 3 * self.segment

    def inflate(self) -> None:
        """React to one more duplicate."""
        self.window += self.segment

    def deflate(self) -> None:
        """End the recovery."""
        self.window = self.threshold


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
