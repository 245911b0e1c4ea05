"""Misconceptions about how a sender's window falls: exercise 10.3."""

__all__ = ["FALLS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_10.misconceptions.right_sender import RightSender, Windows


class SenderThatBeginsAgain(RightSender):
    """Believe that three duplicates are as bad as a time-out."""

    def lose(self, flight: int) -> None:
        self.timeout(flight)


class SenderOfTheFirstDuplicate(RightSender):
    """Believe that the first duplicate means a loss."""

    def duplicate(self, flight: int) -> Windows:
        if self.duplicates == 0:
            self.duplicates = 2
        return super().duplicate(flight)


class SenderThatHalvesItsWindow(RightSender):
    """Believe that half of the window counts, not half of what is under way."""

    def half(self, flight: int) -> int:
        return max(self.window // 2, 2 * self.segment)


class SenderWithoutAFloor(RightSender):
    """Believe that the threshold may fall as low as half of anything."""

    def half(self, flight: int) -> int:
        return flight // 2


class SenderThatDoesNotInflate(RightSender):
    """Believe that the window is halved at once, and stays so."""

    def lose(self, flight: int) -> None:
        self.threshold = self.window = self.half(flight)

    def inflate(self) -> None:
        pass


class SenderThatStaysInflated(RightSender):
    """Believe that recovery ends with the window as it is."""

    def deflate(self) -> None:
        self.grow()


class SenderThatHalvesAgain(RightSender):
    """Believe that every third duplicate is a loss of its own."""

    def duplicate(self, flight: int) -> Windows:
        self.duplicates += 1
        if self.duplicates % 3 == 0:
            self.lose(flight)
        elif self.duplicates > 3:
            self.inflate()
        return self.window, self.threshold


class SenderWithHalfATimeOut(RightSender):
    """Believe that a time-out halves the window, too."""

    def timeout(self, flight: int) -> Windows:
        super().timeout(flight)
        self.window = self.threshold
        return self.window, self.threshold


class SenderThatForgetsWhere(RightSender):
    """Believe that a time-out leaves the threshold alone."""

    def timeout(self, flight: int) -> Windows:
        before = self.threshold
        super().timeout(flight)
        self.threshold = before
        return self.window, self.threshold


class SenderOfTheFourthDuplicate(RightSender):
    """Believe that it takes more than three duplicates."""

    def duplicate(self, flight: int) -> Windows:
        self.duplicates += 1
        if self.duplicates == 4:
            self.lose(flight)
        elif self.duplicates > 4:
            self.inflate()
        return self.window, self.threshold

    def ack(self) -> Windows:
        self.duplicates -= self.duplicates == 3
        return super().ack()


class SenderThatCountsDuplicatesAsAcks(RightSender):
    """Believe that the first two duplicates let the window grow."""

    def duplicate(self, flight: int) -> Windows:
        if self.duplicates < 2:
            self.grow()
        return super().duplicate(flight)


class SenderThatAddsNoThree(RightSender):
    """Believe that the first three duplicates add nothing, and further ones do."""

    def lose(self, flight: int) -> None:
        self.threshold = self.window = self.half(flight)


class SenderWithAFloorOfOne(RightSender):
    """Believe that one segment is the least threshold."""

    def half(self, flight: int) -> int:
        return max(flight // 2, self.segment)


class SenderThatRoundsUp(RightSender):
    """Believe that half of an odd number is rounded up."""

    def half(self, flight: int) -> int:
        return max((flight + 1) // 2, 2 * self.segment)


class SenderThatGrowsAtTheEnd(RightSender):
    """Believe that the acknowledgement that ends recovery lets the window grow, too."""

    def deflate(self) -> None:
        self.window = self.threshold
        self.grow()


class SenderThatAddsRowsUp(RightSender):
    """Believe that duplicates count on over an acknowledgement."""

    def ack(self) -> Windows:
        before = self.duplicates
        super().ack()
        self.duplicates = before if before < 3 else 0
        return self.window, self.threshold


class SenderThatKeepsItsRow(RightSender):
    """Believe that a time-out does not end the row."""

    def timeout(self, flight: int) -> Windows:
        before = self.duplicates
        super().timeout(flight)
        self.duplicates = before
        return self.window, self.threshold


class SenderThatHolds(RightSender):
    """Believe that a second time-out leaves the threshold alone, as RFC 5681 has it."""

    held = False

    def ack(self) -> Windows:
        self.held = False
        return super().ack()

    def timeout(self, flight: int) -> Windows:
        before, was_held = self.threshold, self.held
        super().timeout(flight)
        self.held = True
        self.threshold = before if was_held else self.threshold
        return self.window, self.threshold


class SenderOfOneOctet(RightSender):
    """Believe that one means one octet."""

    def timeout(self, flight: int) -> Windows:
        super().timeout(flight)
        self.window = 1
        return self.window, self.threshold


class SenderWithTheThresholdFirst(RightSender):
    """Believe that the threshold stands first."""

    def ack(self) -> Windows:
        return super().ack()[::-1]

    def duplicate(self, flight: int) -> Windows:
        return super().duplicate(flight)[::-1]

    def timeout(self, flight: int) -> Windows:
        return super().timeout(flight)[::-1]


FALLS: dict[str, Callable[..., Any]] = {
    "duplicates-are-a-time-out": SenderThatBeginsAgain,
    "first-duplicate-is-a-loss": SenderOfTheFirstDuplicate,
    "window-for-flight": SenderThatHalvesItsWindow,
    "no-floor-of-two": SenderWithoutAFloor,
    "no-inflation": SenderThatDoesNotInflate,
    "stays-inflated": SenderThatStaysInflated,
    "every-third-halves": SenderThatHalvesAgain,
    "time-out-halves": SenderWithHalfATimeOut,
    "threshold-stays": SenderThatForgetsWhere,
    "fourth-duplicate-is-a-loss": SenderOfTheFourthDuplicate,
    "duplicates-let-it-grow": SenderThatCountsDuplicatesAsAcks,
    "three-add-nothing": SenderThatAddsNoThree,
    "floor-of-one": SenderWithAFloorOfOne,
    "half-rounded-up": SenderThatRoundsUp,
    "grows-when-recovery-ends": SenderThatGrowsAtTheEnd,
    "rows-add-up": SenderThatAddsRowsUp,
    "time-out-keeps-the-row": SenderThatKeepsItsRow,
    "second-time-out-holds": SenderThatHolds,
    "time-out-to-one-octet": SenderOfOneOctet,
    "threshold-first": SenderWithTheThresholdFirst,
}
