"""Other right answers for unit 10, exercises 10.3 and 10.6: senders and watches."""

__all__ = ["NEW_SENDER", "NEW_WATCH"]

from collections.abc import Callable, Iterator
from itertools import count
from types import SimpleNamespace
from typing import Any

# 10.3 new_sender


class InStates:
    """A sender that says in which state it is."""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        self.segment = segment
        self.cwnd, self.ssthresh = window, threshold
        self.state, self.seen = "open", 0

    def ack(self) -> tuple[float, float]:
        """Return a tuple; its numbers may be floats."""
        if self.state == "recovery":
            self.cwnd = self.ssthresh
        elif self.cwnd >= self.ssthresh:
            self.cwnd += self.segment * self.segment // self.cwnd or 1
        else:
            self.cwnd += self.segment
        self.state, self.seen = "open", 0
        return self.result()

    def duplicate(self, flight: int) -> tuple[float, float]:
        """Count up to three, then stay in recovery."""
        if self.state == "recovery":
            self.cwnd += self.segment
            return self.result()
        self.seen += 1
        if self.seen == 3:
            self.state = "recovery"
            self.ssthresh = max(int(flight / 2), self.segment * 2)
            self.cwnd = self.ssthresh + self.segment * 3
        return self.result()

    def timeout(self, flight: int) -> tuple[float, float]:
        """Begin again, below a new threshold."""
        self.ssthresh = max(int(flight / 2), self.segment * 2)
        self.cwnd, self.state, self.seen = self.segment, "open", 0
        return self.result()

    def result(self) -> tuple[float, float]:
        """Return what each event returns."""
        return float(self.cwnd), float(self.ssthresh)


def new_sender_in_states(segment_octets: int, window: int, threshold: int) -> InStates:
    """Make a sender with states."""
    return InStates(segment_octets, window, threshold)


def new_sender_of_functions(segment_octets: int, window: int, threshold: int) -> Any:
    """Use functions inside a function in the place of a class."""
    duplicates = 0

    def ack() -> tuple[int, int]:
        nonlocal window, duplicates
        if duplicates > 2:
            window = threshold
        else:
            part = segment_octets if window < threshold else segment_octets**2 // window
            window += max(part, 1)
        duplicates = 0
        return window, threshold

    def duplicate(flight: int) -> tuple[int, int]:
        nonlocal window, threshold, duplicates
        duplicates += 1
        if duplicates == 3:
            threshold = max(flight >> 1, segment_octets + segment_octets)
            window = threshold + 2 * segment_octets
        if duplicates >= 3:
            window += segment_octets
        return window, threshold

    def timeout(flight: int) -> tuple[int, int]:
        nonlocal window, threshold, duplicates
        window, threshold = segment_octets, max(flight >> 1, segment_octets + segment_octets)
        duplicates = 0
        return window, threshold

    return SimpleNamespace(ack=ack, duplicate=duplicate, timeout=timeout)


class WithInflation:
    """A sender that keeps the inflation apart from the window."""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        self.segment, self.base, self.threshold = segment, window, threshold
        self.row = 0

    def result(self) -> tuple[int, int]:
        """Return the window with its inflation."""
        inflation = self.row * self.segment if self.row >= 3 else 0
        return self.base + inflation, self.threshold

    def ack(self) -> tuple[int, int]:
        """Grow only if there was no recovery."""
        if self.row < 3:
            slow = self.base < self.threshold
            grown = self.segment if slow else max(self.segment * self.segment // self.base, 1)
            self.base += grown
        self.row = 0
        return self.result()

    def duplicate(self, flight: int) -> tuple[int, int]:
        """Halve at the third."""
        self.row += 1
        if self.row == 3:
            self.threshold = max(flight - (flight + 1) // 2, 2 * self.segment)
            self.base = self.threshold
        return self.result()

    def timeout(self, flight: int) -> tuple[int, int]:
        """Begin again."""
        self.threshold = max(flight - (flight + 1) // 2, 2 * self.segment)
        self.base, self.row = self.segment, 0
        return self.result()


def new_sender_with_inflation(segment_octets: int, window: int, threshold: int) -> WithInflation:
    """Make a sender that keeps its inflation apart."""
    return WithInflation(segment_octets, window, threshold)


# 10.6 new_watch


class FirstAbove:
    """A watch with two moments: since when waits are long, and when the next drop is due."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target, self.interval = target_ms, interval_ms
        self.above_since: int | None = None
        self.due, self.number = 0.0, 0

    def leaves(self, now_ms: int, waited_ms: int) -> int:
        """Return 1 or 0."""
        if waited_ms < self.target:
            self.above_since = None
            return 0
        if self.above_since is None:
            self.above_since, self.number = now_ms, 1
            self.due = now_ms + self.interval
        if now_ms < self.due:
            return 0
        self.due += self.interval * self.number**-0.5
        self.number += 1
        return 1


def new_watch_since(target_ms: int, interval_ms: int) -> FirstAbove:
    """Make a watch that knows since when."""
    return FirstAbove(target_ms, interval_ms)


def new_watch_of_functions(target_ms: int, interval_ms: int) -> Any:
    """Let a generator say when the drops of one bout are due."""

    def times(since_ms: int) -> Iterator[float]:
        due = float(since_ms + interval_ms)
        for number in count(1):
            yield due
            due += interval_ms / number**0.5

    bout: Iterator[float] | None = None
    due = 0.0

    def leaves(now_ms: int, waited_ms: int) -> bool:
        nonlocal bout, due
        if waited_ms < target_ms:
            bout = None
            return False
        if bout is None:
            bout = times(now_ms)
            due = next(bout)
        drop = now_ms >= due
        if drop:
            due = next(bout)
        return drop

    return SimpleNamespace(leaves=leaves)


class WholeHistory:
    """A watch that keeps everything it has seen, and works out the present bout each time."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target, self.interval = target_ms, interval_ms
        self.bout: list[int] = []

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        """Go through the bout from its start."""
        self.bout = [*self.bout, now_ms] if waited_ms >= self.target else []
        drops, due = 0, (self.bout or [0])[0] + float(self.interval)
        dropped = False
        for moment in self.bout:
            dropped = moment >= due
            if dropped:
                drops += 1
                due += self.interval / drops**0.5
        return dropped


def new_watch_of_history(target_ms: int, interval_ms: int) -> WholeHistory:
    """Make a watch that keeps its history."""
    return WholeHistory(target_ms, interval_ms)


NEW_SENDER: tuple[Callable[..., Any], ...] = (
    new_sender_in_states,
    new_sender_of_functions,
    new_sender_with_inflation,
)
NEW_WATCH: tuple[Callable[..., Any], ...] = (
    new_watch_since,
    new_watch_of_functions,
    new_watch_of_history,
)
