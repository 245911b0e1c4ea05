"""A timer without any fault, of which the misconceptions of exercise 11.3 get one part wrong."""

__all__ = ["RightTimer"]


class RightTimer:
    """The timer of RFC 6298 in small parts, of which others get one wrong."""

    most = 60_000.0

    def __init__(self, least_ms: float, tick_ms: float) -> None:
        self.least, self.tick = least_ms, tick_ms
        self.timeout = self.initial()
        self.mean = self.variation = 0.0
        self.trips: list[float] = []
        self.times: dict[int, list[float]] = {}  # of what is under way: when it was sent
        self.at: float | None = None  # when the timer runs out

    def initial(self) -> float:
        """Return the time-out before anything is measured."""
        return 1000.0

    def start(self, now: float) -> None:
        """Start the timer anew."""
        self.at = now + self.timeout

    def sent(self, now_ms: float, number: int) -> None:
        """Note what goes out."""
        self.times.setdefault(number, []).append(now_ms)
        if self.starts(number):
            self.start(now_ms)

    def starts(self, number: int) -> bool:
        """Tell whether what goes out starts the timer."""
        return self.at is None

    def acknowledged(self, now_ms: float, number: int) -> float:
        """Learn from what has arrived."""
        times = self.times.pop(number)
        if len(times) == 1:
            self.measure(now_ms - times[0])
        else:
            self.measure_again(now_ms, times)
        self.go_on(now_ms)
        return self.timeout

    def go_on(self, now_ms: float) -> None:
        """Start the timer anew, or stop it."""
        if self.times:
            self.start(now_ms)
        else:
            self.at = None

    def measure_again(self, now_ms: float, times: list[float]) -> None:
        """Learn nothing from what was sent more than once."""

    def measure(self, trip: float) -> None:
        """Learn from a round trip."""
        self.trips.append(trip)
        if len(self.trips) == 1:
            self.first(trip)
        else:
            self.further(trip)
        self.timeout = self.limited(self.estimate())

    def first(self, trip: float) -> None:
        """Learn from the first round trip."""
        self.mean, self.variation = trip, trip / 2

    def further(self, trip: float) -> None:
        """Learn from a further round trip."""
        self.variation = 0.75 * self.variation + 0.25 * self.distance(trip)
        self.mean = 0.875 * self.mean + 0.125 * trip

    def distance(self, trip: float) -> float:
        """Return how far a round trip lies from the mean."""
        return abs(self.mean - trip)

    def estimate(self) -> float:
        """Return the time-out without limits."""
        return self.mean + max(self.tick, 4 * self.variation)

    def limited(self, timeout: float) -> float:
        """Return a time-out within its limits."""
        return min(max(timeout, self.least), self.most)

    def expired(self, now_ms: float) -> float:
        """Wait longer."""
        self.timeout = min(self.doubled(), self.most)
        self.start(now_ms)
        return self.timeout

    def doubled(self) -> float:
        """Return the next time-out."""
        return 2 * self.timeout

    def due(self) -> float | None:
        """Tell when the timer runs out."""
        return self.at
