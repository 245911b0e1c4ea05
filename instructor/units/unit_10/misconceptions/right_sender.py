"""A sender without any fault, of which the misconceptions of exercise 10.3 get one part wrong."""

__all__ = ["RightSender", "Windows"]

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
