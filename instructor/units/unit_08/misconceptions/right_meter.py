"""A meter without any fault, of which the misconceptions of exercise 8.3 get one part wrong."""

__all__ = ["RightMeter"]


class RightMeter:
    """The meter of RFC 2698 in small parts, of which others get one wrong."""

    def __init__(
        self, peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
    ) -> None:
        self.peak_rate, self.committed_rate = peak_kbit_s // 8, committed_kbit_s // 8
        self.peak_depth, self.committed_depth = peak_octets, committed_octets
        self.peak, self.committed = peak_octets, committed_octets
        self.at_ms = 0

    def fill(self, now_ms: int) -> None:
        """Let drip in what has come since the last time."""
        passed_ms = self.passed(now_ms)
        self.peak = min(self.peak_depth, self.peak + self.peak_rate * passed_ms)
        self.committed = min(self.committed_depth, self.committed + self.committed_rate * passed_ms)
        self.at_ms = now_ms

    def passed(self, now_ms: int) -> int:
        """Return how much time counts."""
        return now_ms - self.at_ms

    def lacks(self, level: int, octets: int) -> bool:
        """Tell whether a bucket holds too little."""
        return level < octets

    def colour(self, now_ms: int, octets: int) -> str:
        """Colour a packet."""
        self.fill(now_ms)
        if self.lacks(self.peak, octets):
            return self.red(octets)
        if self.lacks(self.committed, octets):
            return self.yellow(octets)
        return self.green(octets)

    def red(self, octets: int) -> str:
        """Take nothing."""
        return "red"

    def yellow(self, octets: int) -> str:
        """Take tokens from one bucket."""
        self.peak -= octets
        return "yellow"

    def green(self, octets: int) -> str:
        """Take tokens from both buckets."""
        self.peak -= octets
        self.committed -= octets
        return "green"

    def tokens(self, now_ms: int) -> tuple[int, int]:
        """Tell what is there."""
        self.fill(now_ms)
        return self.peak, self.committed
