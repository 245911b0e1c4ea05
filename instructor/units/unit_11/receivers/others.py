"""Other right answers for exercise 11.2: receivers."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

MASK = 0xFFFF_FFFF


class ReceiverOfJoins:
    """Keep runs as a dict from first to end, in numbers that wrap, and join by hand."""

    def __init__(self, wanted: int) -> None:
        self.wanted = wanted
        self.ends: dict[int, int] = {}

    def is_before(self, one: int, other: int) -> bool:
        """Look at the top bit of the difference."""
        difference = (one - other) & MASK
        return difference > 0x8000_0000

    def ahead(self, number: int) -> int:
        """Return how far a number lies ahead."""
        return (number - self.wanted) & MASK

    def receive(self, first: int, octets: int) -> int:
        """Cut off what is old, put the rest in its place, and walk on."""
        end = (first + octets) & MASK
        if self.is_before(first, self.wanted):
            first = self.wanted
        if not self.is_before(first, end):
            return self.wanted
        if self.ahead(self.ends.get(first, self.wanted)) < self.ahead(end):
            self.ends[first] = end
        for run in self.held():
            if run[0] == self.wanted:
                self.wanted = run[1]
        self.ends = {
            one: other for one, other in self.ends.items() if self.is_before(self.wanted, one)
        }
        return self.wanted

    def held(self) -> list[tuple[int, int]]:
        """Join what touches."""
        rows: list[list[int]] = []
        for first in sorted(self.ends, key=self.ahead):
            end = self.ends[first]
            if not rows or self.is_before(rows[-1][1], first):
                rows.append([first, end])
            elif self.is_before(rows[-1][1], end):
                rows[-1][1] = end
        return [(first, end) for first, end in rows]


def new_receiver_of_edges(wanted: int) -> Any:
    """Keep every segment that ever came, and count how many lie over each edge."""
    came = [(wanted - 1, wanted)]  # places that do not wrap
    place = wanted

    def is_before(one: int, other: int) -> bool:
        return one != other and (other - one) % 2**32 in range(2**31)

    def runs() -> list[tuple[int, int]]:
        edges = [(begin, 0, 1) for begin, _ in came] + [(end, 1, -1) for _, end in came]
        depth, found, start = 0, [], 0
        for at, _, step in sorted(edges):
            if depth == 0:
                start = at
            depth += step
            if depth == 0:
                found.append((start, at))
        return found

    def receive(first: int, octets: int) -> int:
        nonlocal place
        offset = (first - place) % 2**32
        begin = place + (offset if offset < 2**31 else offset - 2**32)
        came.append((begin, begin + octets))
        place = next(end for start, end in runs() if start < place <= end)
        return place % 2**32

    def held() -> list[tuple[int, int]]:
        return [(one % 2**32, end % 2**32) for one, end in runs() if one > place]

    return SimpleNamespace(is_before=is_before, receive=receive, held=held)


class ReceiverOfInsertions:
    """Keep a sorted list without overlaps; each segment swallows what it touches."""

    def __init__(self, wanted: int) -> None:
        self.base, self.done = wanted, 0  # how many octets came in order since the start
        self.waiting: list[list[int]] = []

    @staticmethod
    def is_before(one: int, other: int) -> bool:
        """Count from one to the other."""
        return 1 <= (other - one) % (1 << 32) <= (1 << 31) - 1

    def receive(self, first: int, octets: int) -> int:
        """Swallow neighbours, then see whether the gap is filled."""
        now = (self.base + self.done) % 2**32
        low = self.done + (first - now) % 2**32
        if self.is_before(first, now):
            low -= 2**32
        high = low + octets
        apart = []
        for one, other in self.waiting:
            if other < low or one > high:
                apart.append([one, other])
            else:
                low, high = min(low, one), max(high, other)
        if low <= self.done:
            self.done = max(self.done, high)
        else:
            apart.append([low, high])
        self.waiting = sorted(apart)
        return (self.base + self.done) % 2**32

    def held(self) -> list[tuple[int, int]]:
        """Turn distances into numbers."""
        return [
            ((self.base + one) % 2**32, (self.base + other) % 2**32) for one, other in self.waiting
        ]


OTHERS: tuple[Callable[..., Any], ...] = (
    ReceiverOfJoins,
    new_receiver_of_edges,
    ReceiverOfInsertions,
)
