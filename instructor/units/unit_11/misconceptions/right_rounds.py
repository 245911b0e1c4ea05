"""Round trips without any fault, of which the misconceptions of exercise 11.4 get a part wrong."""

__all__ = ["RightRounds"]

from typing import Any


class RightRounds:
    """The sender in small parts, of which others get one wrong."""

    lost: list[int]
    threshold: int
    largest: int
    first_wait: int
    window: int
    wait: int
    number: int
    sent: list[int]

    def __new__(cls, lost: list[int], rounds: int, threshold: int, largest: int, wait: int) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.lost, self.threshold, self.largest, self.first_wait = lost, threshold, largest, wait
        self.window, self.wait, self.number = 1, wait, 1
        self.sent = []
        while len(self.sent) < rounds:
            self.one_round()
        return self.sent[:rounds]

    def one_round(self) -> None:
        """Send a window, and see what becomes of it."""
        flight = self.flight()
        numbers = range(self.number, self.number + flight)
        self.number += flight
        self.sent.append(flight)
        missing = self.missing(numbers)
        if not missing:
            self.grow(flight)
            self.row_ends()
            return
        before = self.window
        self.threshold = self.half(flight, before)
        if self.duplicates(numbers, missing) >= self.enough(flight):
            self.repair(missing)
            self.row_ends()
        else:
            self.time_out()

    def flight(self) -> int:
        """Return how many packets go out."""
        return min(self.window, self.largest)

    def missing(self, numbers: range) -> list[int]:
        """Return what gets lost of these packets."""
        return [one for one in numbers if one in self.lost]

    def grow(self, flight: int) -> None:
        """Enlarge the window."""
        if self.window < self.threshold:
            self.window = self.slow_start(flight)
        else:
            self.window += 1

    def slow_start(self, flight: int) -> int:
        """Return the next window below the threshold."""
        return min(self.window + flight, self.threshold)

    def half(self, flight: int, window: int) -> int:
        """Return the new threshold."""
        return flight // 2

    def duplicates(self, numbers: range, missing: list[int]) -> int:
        """Return how many packets arrived behind the first that is missing."""
        return sum(one > missing[0] and one not in missing for one in numbers)

    def enough(self, flight: int) -> int:
        """Return how many duplicates it takes."""
        return 3

    def repair(self, missing: list[int]) -> None:
        """Go on with half a window."""
        self.window = self.threshold

    def time_out(self) -> None:
        """Wait, and begin anew."""
        self.sent += [0] * self.wait
        self.wait = self.next_wait()
        self.window = 1

    def next_wait(self) -> int:
        """Return how long the next time-out in a row takes."""
        return 2 * self.wait

    def row_ends(self) -> None:
        """End a row of time-outs."""
        self.wait = self.first_wait
