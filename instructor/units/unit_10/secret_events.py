"""Questions of unit 10, buffers and TCP: the secret ones of 10.3 and 10.6, rows of events.

They are of the same kinds as the public ones, and every aspect is there for every seed.
"""

__all__ = ["events", "sender_questions", "watch_questions"]

import random
from typing import Any

from instructor.units.items import Question

Step = tuple[Any, ...]


def events(aspect: str, new: Step, *steps: Step, **about: Any) -> Question:
    """Make an object with these arguments, and put steps to it in turn."""
    return Question(aspect, ([["new", *new], *map(list, steps)],), **about)


# 10.3


def sender_questions(rng: random.Random) -> list[Question]:
    """Draw rows of acknowledgements, duplicates and time-outs."""
    questions = []
    for _ in range(3):
        segment = _segment(rng)
        window = rng.randint(1, 4) * segment
        acks = [("ack",)] * rng.randint(2, 4)
        questions.append(events("slow start", (segment, window, 12 * segment), *acks))
    for _ in range(3):
        segment = _segment(rng)
        window = rng.randint(5, 20) * segment
        acks = [("ack",)] * rng.randint(2, 4)
        aspect = "congestion avoidance"
        questions.append(events(aspect, (segment, window, window), *acks))
        crossing = (segment, window - segment, window)
        questions.append(events(aspect, crossing, *acks))
    large = rng.randint(200, 300)
    questions.append(
        events("congestion avoidance", (large, large**2 + 17, 2 * large), ("ack",), ("ack",))
    )
    for _ in range(3):
        new, flight = _large(rng)
        questions.append(events("third duplicate", new, *[("duplicate", flight)] * 3))
        two = [("duplicate", flight)] * 2
        questions.append(events("third duplicate", new, *two, ("ack",), *two))
        questions.append(_recovery(rng))
        questions.append(events("time-out", new, ("timeout", flight), ("ack",)))
    segment = _segment(rng)
    small = (segment, 3 * segment, 30 * segment)
    questions.append(events("third duplicate", small, *[("duplicate", 3 * segment)] * 3))
    questions.append(events("time-out", small, ("timeout", 2 * segment)))
    new, flight = _large(rng)
    three = [("duplicate", flight)] * 3
    questions.append(events("time-out", new, *three, ("timeout", flight), *three[:2], ("ack",)))
    questions.append(events("time-out", new, ("timeout", flight), *three))
    return questions


def _recovery(rng: random.Random) -> Question:
    new, flight = _large(rng)
    row = [("duplicate", flight)] * rng.randint(5, 8)
    return events("recovery", new, *row, ("ack",), ("ack",))


def _segment(rng: random.Random) -> int:
    return rng.choice((536, 1200, 1448))


def _large(rng: random.Random) -> tuple[Step, int]:
    """Return a sender in slow start or not, and how much of its window is under way."""
    segment = _segment(rng)
    window = rng.randint(10, 30) * segment
    threshold = rng.choice((window // 2, 2 * window))
    return (segment, window, threshold), window - rng.randint(1, 4) * segment


# 10.6


def watch_questions(rng: random.Random) -> list[Question]:
    """Draw rows of packets that wait long, with short waits in some places."""
    questions = []
    for _ in range(4):
        target, interval, start = _watch(rng)
        wait = target + rng.randint(1, 20)
        times = _times(start, interval, (0, 0.4, 0.99, 1))
        questions.append(_row("patience", (target, interval), times, wait))
    for _ in range(3):
        questions.append(_broken(rng))
    for _ in range(3):
        target, interval, start = _watch(rng)
        times = _times(start, interval, (0, 0.5, 1))
        questions.append(_row("patience", (target, interval), times, target))
    for shares in _PACES:
        target, interval, start = _watch(rng)
        wait = target + rng.randint(1, 20)
        times = _times(start, interval, shares)
        questions.append(_row("pace", (target, interval), times, wait))
    for _ in range(4):
        questions.append(_relieved(rng))
    return questions


# Moments after the start of a bout, in intervals. Drops are due at 1, 2, 2.707, 3.284, 3.784.
_PACES = (
    (0, 1, 1.5, 2, 2.6, 2.75, 3.1, 3.3),
    (0, 1, 1.2, 2, 2.4, 2.8, 2.95, 3.3, 3.5, 3.8),
    (0, 1.3, 2.05, 2.2, 2.72, 2.9),
    (0, 0.7, 1.4, 1.7, 2.1, 2.3, 2.75, 3.05),
)


def _watch(rng: random.Random) -> tuple[int, int, int]:
    return rng.randint(3, 12), rng.choice((100, 120, 200)), rng.randint(0, 900)


def _times(start: int, interval: int, shares: tuple[float, ...]) -> list[int]:
    return [start + round(share * interval) for share in shares]


def _row(aspect: str, new: Step, times: list[int], wait: int) -> Question:
    return events(aspect, new, *[("leaves", time, wait) for time in times])


def _broken(rng: random.Random) -> Question:
    """One short wait in the middle: the interval begins anew. The mean wait stays long."""
    target, interval, start = _watch(rng)
    times = _times(start, interval, (0, 0.3, 0.5, 1.1, 1.4, 1.6))
    waits = [3 * target, 3 * target, rng.randint(0, target - 1), *[4 * target] * 3]
    steps = [("leaves", time, wait) for time, wait in zip(times, waits, strict=True)]
    return events("patience", (target, interval), *steps)


def _relieved(rng: random.Random) -> Question:
    """Two or three drops, a short wait, and another bout."""
    target, interval, start = _watch(rng)
    wait = target + rng.randint(5, 30)
    first = _times(start, interval, (0, 1, 2, 2.75)[: rng.choice((3, 4))])
    second = _times(start, interval, (3, 3.4, 4, 4.8, 5, 5.72))
    short = ("leaves", start + round(2.9 * interval), rng.randint(0, target - 1))
    long = [("leaves", time, wait) for time in first]
    again = [("leaves", time, wait) for time in second]
    return events("relief", (target, interval), *long, short, *again)
