"""Other right answers for exercise 11.3: timers."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any


class TimerOfEighths:
    """Keep the mean in eighths and the variation in quarters, as V. Jacobson did (1988)."""

    def __init__(self, least_ms: int, tick_ms: int) -> None:
        self.least, self.tick = least_ms, tick_ms
        self.mean8: float | None = None
        self.variation4 = 0.0
        self.timeout: float = 1000
        self.first_sent: dict[int, float] = {}
        self.repeated: set[int] = set()
        self.running: tuple[float, float] | None = None  # since when, and for how long

    def sent(self, now_ms: float, number: int) -> None:
        """Remember repeats by name."""
        if number in self.first_sent:
            self.repeated.add(number)
        else:
            self.first_sent[number] = now_ms
        self.running = self.running or (now_ms, self.timeout)

    def acknowledged(self, now_ms: float, number: int) -> float:
        """Scale nothing down before the sum."""
        came = self.first_sent.pop(number)
        if number in self.repeated:
            self.repeated.remove(number)
        else:
            trip = now_ms - came
            if self.mean8 is None:
                self.mean8, self.variation4 = 8 * trip, 2 * trip
            else:
                error = trip - self.mean8 / 8
                self.variation4 += abs(error) - self.variation4 / 4
                self.mean8 += error
            margin = self.variation4 if self.variation4 > self.tick else self.tick
            self.timeout = sorted((self.least, self.mean8 / 8 + margin, 60000))[1]
        self.running = (now_ms, self.timeout) if self.first_sent else None
        return self.timeout

    def expired(self, now_ms: float) -> float:
        """Double."""
        self.timeout = 60000 if self.timeout > 30000 else self.timeout + self.timeout
        self.running = (now_ms, self.timeout)
        return self.timeout

    def due(self) -> float | None:
        """Add up."""
        return sum(self.running) if self.running else None


def new_timer_of_logs(least_ms: int, tick_ms: int) -> Any:
    """Keep a log of round trips, and work all estimates out anew each time."""
    trips: list[float] = []
    sendings: list[tuple[int, float]] = []
    state: dict[str, Any] = {"timeout": 1000.0, "at": None}

    def estimate() -> float:
        mean, variation = trips[0], trips[0] / 2
        for trip in trips[1:]:
            variation = (3 * variation + abs(trip - mean)) / 4
            mean = (7 * mean + trip) / 8
        return min(60_000, max(least_ms, mean + tick_ms, mean + 4 * variation))

    def sent(now_ms: float, number: int) -> None:
        sendings.append((number, now_ms))
        if state["at"] is None:
            state["at"] = now_ms + state["timeout"]

    def acknowledged(now_ms: float, number: int) -> float:
        times = [at for one, at in sendings if one == number]
        sendings[:] = [pair for pair in sendings if pair[0] != number]
        if len(times) < 2:
            trips.append(now_ms - times[0])
            state["timeout"] = estimate()
        state["at"] = now_ms + state["timeout"] if sendings else None
        return float(state["timeout"])

    def expired(now_ms: float) -> float:
        state.update(timeout=min(2 * state["timeout"], 6e4))
        state.update(at=now_ms + state["timeout"])
        return float(state["timeout"])

    return SimpleNamespace(
        sent=sent, acknowledged=acknowledged, expired=expired, due=lambda: state["at"]
    )


class Estimator:
    """The two estimates by themselves."""

    def __init__(self) -> None:
        self.pair: tuple[float, float] | None = None

    def add(self, trip: float) -> tuple[float, float]:
        """Take one more round trip in."""
        if self.pair is None:
            self.pair = trip, trip / 2
        else:
            mean, variation = self.pair
            gap = max(mean, trip) - min(mean, trip)
            self.pair = mean + (trip - mean) / 8, variation + (gap - variation) / 4
        return self.pair


class TimerOfParts:
    """An estimator, a clock, and how often what is under way was sent."""

    def __init__(self, least_ms: int, tick_ms: int) -> None:
        self.limits, self.tick = (least_ms, 60_000), tick_ms
        self.estimator = Estimator()
        self.timeout = 1_000.0
        self.sendings: dict[int, tuple[int, float]] = {}
        self.clock: list[float] = []

    def sent(self, now_ms: float, number: int) -> None:
        """Count sendings."""
        times, _ = self.sendings.get(number, (0, 0.0))
        self.sendings[number] = times + 1, now_ms
        if not self.clock:
            self.clock.append(now_ms + self.timeout)

    def acknowledged(self, now_ms: float, number: int) -> float:
        """Ask the estimator."""
        times, at = self.sendings[number]
        del self.sendings[number]
        if times == 1:
            mean, variation = self.estimator.add(now_ms - at)
            least, most = self.limits
            wanted = mean + (4 * variation if 4 * variation > self.tick else self.tick)
            self.timeout = least if wanted < least else most if wanted > most else wanted
        self.clock = [now_ms + self.timeout] * bool(self.sendings)
        return self.timeout

    def expired(self, now_ms: float) -> float:
        """Wait longer."""
        self.timeout = min(self.timeout * 2, self.limits[1])
        self.clock = [now_ms + self.timeout]
        return self.timeout

    def due(self) -> float | None:
        """Read the clock."""
        return self.clock[0] if self.clock else None


OTHERS: tuple[Callable[..., Any], ...] = (TimerOfEighths, new_timer_of_logs, TimerOfParts)
