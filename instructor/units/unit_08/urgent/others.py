"""Other right answers to exercise 8.5, each in a way of its own."""

__all__ = ["OTHERS"]

import heapq
from collections.abc import Callable
from typing import Any


def urgent_by_sends(levels: int, limit: int) -> "BySends":
    """Return a scheduler that adds up what each level has sent."""
    return BySends(levels, limit)


class BySends:
    """Keep no counts: compare how much was sent above a level, now and when its count began."""

    def __init__(self, levels: int, limit: int) -> None:
        self.limit = limit
        self.packets: dict[int, list[str]] = {level: [] for level in range(levels)}
        self.sent = dict.fromkeys(self.packets, 0)
        self.since = dict.fromkeys(self.packets, 0)

    def above(self, level: int) -> int:
        return sum(sent for other, sent in self.sent.items() if other < level)

    def join(self, level: int, name: str) -> None:
        if not self.packets[level]:
            self.since[level] = self.above(level)
        self.packets[level].append(name)

    def send(self) -> str | None:
        there = [level for level, names in self.packets.items() if names]
        due = [level for level in there if self.above(level) - self.since[level] >= self.limit]
        if not there:
            return None
        level = min(due or there)
        name, *self.packets[level] = self.packets[level]
        self.sent[level] += 1
        self.since[level] = self.above(level)
        return name


def urgent_by_heap(levels: int, limit: int) -> "ByHeap":
    """Return a scheduler that keeps all packets in one heap."""
    return ByHeap(limit)


class ByHeap:
    """One heap by level and number; what is left to wait is kept by level."""

    def __init__(self, limit: int) -> None:
        self.limit = limit
        self.heap: list[tuple[int, int, str]] = []
        self.left: dict[int, int] = {}  # how often a level may still be passed over
        self.number = 0

    def join(self, level: int, name: str) -> None:
        self.number += 1
        heapq.heappush(self.heap, (level, self.number, name))
        self.left.setdefault(level, self.limit)

    def send(self) -> str | None:
        if not self.heap:
            return None
        level = min((one for one, left in self.left.items() if left <= 0), default=self.heap[0][0])
        packet = min(one for one in self.heap if one[0] == level)
        self.heap.remove(packet)
        heapq.heapify(self.heap)
        for one in self.left:
            self.left[one] -= one > level
        del self.left[level]
        if any(one[0] == level for one in self.heap):
            self.left[level] = self.limit
        return packet[2]


def urgent_by_rows(levels: int, limit: int) -> Any:
    """Return an object whose two methods share what stands around them."""
    rows: list[tuple[int, str]] = []
    counts = [0] * levels

    class Scheduler:
        def join(self, level: int, name: str) -> None:
            rows.append((level, name))

        def send(self) -> str | None:
            here = {level for level, _ in rows}
            if not here:
                return None
            level = min(here, key=lambda one: (counts[one] < limit, one))
            for other in here:
                counts[other] += other > level
            counts[level] = 0
            place = [one for one, _ in rows].index(level)
            return rows.pop(place)[1]

    return Scheduler()


OTHERS: tuple[Callable[..., Any], ...] = (urgent_by_sends, urgent_by_heap, urgent_by_rows)
