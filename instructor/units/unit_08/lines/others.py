"""Other right answers for exercises 8.1 and 8.2, each in a way of its own."""

__all__ = ["THREE_MEANS", "WAITS_IN_LINE"]

import heapq
from bisect import bisect_right
from fractions import Fraction
from typing import Any

import numpy as np

# 8.1 waits_in_line


def waits_by_search(came_ms: list[int], takes_ms: list[int], room: int) -> list[int | None]:
    """Look up in all ends so far, which never go back, how many have passed."""
    ends: list[int] = []
    waits: list[int | None] = []
    for number in range(len(came_ms)):
        there = len(ends) - bisect_right(ends, came_ms[number])
        wait = None
        if there < room:
            wait = max(0, ends[-1] - came_ms[number]) if ends else 0
            ends.append(came_ms[number] + wait + takes_ms[number])
        waits.append(wait)
    return waits


def waits_by_work(came_ms: list[int], takes_ms: list[int], room: int) -> list[int | None]:
    """Keep what is left to send of each packet that is there, and let time eat it away."""
    work: list[int] = []
    last_ms = 0
    waits: list[int | None] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        passed, last_ms = came - last_ms, came
        while work and passed:
            eaten = min(passed, work[0])
            passed -= eaten
            work[0] -= eaten
            if work[0] == 0:
                del work[0]
        if len(work) < room:
            waits.append(sum(work))
            work.append(takes)
        else:
            waits.append(None)
    return waits


def waits_by_events(came_ms: list[int], takes_ms: list[int], room: int) -> list[int | None]:
    """Go from event to event; at the same moment packets leave before others come."""
    leaves, comes = 0, 1
    events = [(came, comes, number) for number, came in enumerate(came_ms)]
    heapq.heapify(events)
    waits: list[int | None] = [None] * len(came_ms)
    there: list[int] = []
    while events:
        now, kind, number = heapq.heappop(events)
        if kind == leaves:
            there.pop(0)
        elif len(there) == room:
            continue
        else:
            there.append(number)
        if there and (kind == leaves or len(there) == 1):
            first = there[0]
            waits[first] = now - came_ms[first]
            heapq.heappush(events, (now + takes_ms[first], leaves, first))
    return waits


# 8.2 three_means

Lefts = list[int | None]


def means_by_steps(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> tuple[Any, Any, Any]:
    """Go along the curve of how many are inside, from step to step."""
    steps = []
    for came, left in zip(came_ms, left_ms, strict=True):
        if left is not None:
            steps += [(came, 1), (left, -1)]
    area = count = 0
    last = from_ms
    for moment, change in [*sorted(steps), (to_ms, 0)]:
        now = min(max(moment, from_ms), to_ms)
        area += count * (now - last)
        last = now
        count += change
        if moment >= to_ms:
            break
    came_in = [
        number for number, came in enumerate(came_ms)
        if from_ms <= came < to_ms and left_ms[number] is not None
    ]  # fmt: skip
    window = to_ms - from_ms
    time = None
    if came_in:
        time = sum((left_ms[number] or 0) - came_ms[number] for number in came_in) / len(came_in)
    return area / window, len(came_in) / window, time


def means_by_arrays(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> tuple[Any, Any, Any]:
    """Clip both ends of all stays at once."""
    sent = np.array([left is not None for left in left_ms])
    came = np.array(came_ms)[sent]
    left = np.array([0 if one is None else one for one in left_ms])[sent]
    inside = np.clip(left, from_ms, to_ms) - np.clip(came, from_ms, to_ms)
    chosen = (came >= from_ms) & (came < to_ms)
    times = (left - came)[chosen]
    window = to_ms - from_ms
    return inside.sum() / window, chosen.sum() / window, times.mean() if len(times) else None


def means_by_difference(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> tuple[Any, Any, Any]:
    """Take what was spent inside until the end, less what was spent until the start."""
    pairs = [pair for pair in zip(came_ms, left_ms, strict=True) if pair[1] is not None]

    def spent(until: int) -> int:
        return sum(min(until, left or 0) - came for came, left in pairs if came < until)

    def arrived(before: int) -> list[int]:
        return [(left or 0) - came for came, left in pairs if came < before]

    times = arrived(to_ms)[len(arrived(from_ms)) :]
    window = Fraction(to_ms - from_ms)
    time = float(Fraction(sum(times), len(times))) if times else None
    return float((spent(to_ms) - spent(from_ms)) / window), float(len(times) / window), time


WAITS_IN_LINE = (waits_by_search, waits_by_work, waits_by_events)
THREE_MEANS = (means_by_steps, means_by_arrays, means_by_difference)
