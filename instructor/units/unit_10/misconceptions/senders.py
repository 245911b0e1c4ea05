"""Misconceptions about a sender's window: exercise 10.3."""

__all__ = ["NEW_SENDER"]

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


def sender_without_slow_start(segment: int, window: int, threshold: int) -> Any:
    """Believe that slow start adds one segment in a round trip."""

    class Sender(RightSender):
        def grow(self) -> None:
            self.window += self.part()

    return Sender(segment, window, threshold)


def sender_always_in_slow_start(segment: int, window: int, threshold: int) -> Any:
    """Believe that each acknowledgement adds a segment, above the threshold too."""

    class Sender(RightSender):
        def part(self) -> int:
            return self.segment

    return Sender(segment, window, threshold)


def sender_stuck_when_large(segment: int, window: int, threshold: int) -> Any:
    """Believe that an increase of less than an octet is none."""

    class Sender(RightSender):
        def part(self) -> int:
            return self.segment**2 // self.window

    return Sender(segment, window, threshold)


def sender_that_begins_again(segment: int, window: int, threshold: int) -> Any:
    """Believe that three duplicates are as bad as a time-out."""

    class Sender(RightSender):
        def lose(self, flight: int) -> None:
            self.timeout(flight)

    return Sender(segment, window, threshold)


def sender_of_the_first_duplicate(segment: int, window: int, threshold: int) -> Any:
    """Believe that the first duplicate means a loss."""

    class Sender(RightSender):
        def duplicate(self, flight: int) -> Windows:
            if self.duplicates == 0:
                self.duplicates = 2
            return super().duplicate(flight)

    return Sender(segment, window, threshold)


def sender_that_halves_its_window(segment: int, window: int, threshold: int) -> Any:
    """Believe that half of the window counts, not half of what is under way."""

    class Sender(RightSender):
        def half(self, flight: int) -> int:
            return max(self.window // 2, 2 * self.segment)

    return Sender(segment, window, threshold)


def sender_without_a_floor(segment: int, window: int, threshold: int) -> Any:
    """Believe that the threshold may fall as low as half of anything."""

    class Sender(RightSender):
        def half(self, flight: int) -> int:
            return flight // 2

    return Sender(segment, window, threshold)


def sender_that_does_not_inflate(segment: int, window: int, threshold: int) -> Any:
    """Believe that the window is halved at once, and stays so."""

    class Sender(RightSender):
        def lose(self, flight: int) -> None:
            self.threshold = self.window = self.half(flight)

        def inflate(self) -> None:
            pass

    return Sender(segment, window, threshold)


def sender_that_stays_inflated(segment: int, window: int, threshold: int) -> Any:
    """Believe that recovery ends with the window as it is."""

    class Sender(RightSender):
        def deflate(self) -> None:
            self.grow()

    return Sender(segment, window, threshold)


def sender_that_halves_again(segment: int, window: int, threshold: int) -> Any:
    """Believe that every third duplicate is a loss of its own."""

    class Sender(RightSender):
        def duplicate(self, flight: int) -> Windows:
            self.duplicates += 1
            if self.duplicates % 3 == 0:
                self.lose(flight)
            elif self.duplicates > 3:
                self.inflate()
            return self.window, self.threshold

    return Sender(segment, window, threshold)


def sender_with_half_a_time_out(segment: int, window: int, threshold: int) -> Any:
    """Believe that a time-out halves the window, too."""

    class Sender(RightSender):
        def timeout(self, flight: int) -> Windows:
            super().timeout(flight)
            self.window = self.threshold
            return self.window, self.threshold

    return Sender(segment, window, threshold)


def sender_that_forgets_where(segment: int, window: int, threshold: int) -> Any:
    """Believe that a time-out leaves the threshold alone."""

    class Sender(RightSender):
        def timeout(self, flight: int) -> Windows:
            before = self.threshold
            super().timeout(flight)
            self.threshold = before
            return self.window, self.threshold

    return Sender(segment, window, threshold)


NEW_SENDER: dict[str, Callable[..., Any]] = {
    "slow-start-by-round-trips": sender_without_slow_start,
    "a-segment-for-each-ack": sender_always_in_slow_start,
    "less-than-an-octet-is-none": sender_stuck_when_large,
    "duplicates-are-a-time-out": sender_that_begins_again,
    "first-duplicate-is-a-loss": sender_of_the_first_duplicate,
    "window-for-flight": sender_that_halves_its_window,
    "no-floor-of-two": sender_without_a_floor,
    "no-inflation": sender_that_does_not_inflate,
    "stays-inflated": sender_that_stays_inflated,
    "every-third-halves": sender_that_halves_again,
    "time-out-halves": sender_with_half_a_time_out,
    "threshold-stays": sender_that_forgets_where,
}
