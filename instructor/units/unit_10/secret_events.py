"""Questions of unit 10, buffers and TCP: the secret ones of 10.3 and 10.6, rows of events.

Every aspect and every kind is there for every seed. What one aspect asks for must not fall with
another: see `public_events`.
"""

__all__ = ["between", "events", "sender_questions", "watch_questions"]

import random
from typing import Any

from instructor.units.items import Question

Step = tuple[Any, ...]


def events(aspect: str, new: Step, *steps: Step, **about: Any) -> Question:
    """Make an object with these arguments, and put steps to it in turn."""
    return Question(aspect, (_row(new, *steps),), **about)


def between(aspect: str, news: tuple[Step, ...], *steps: Step) -> Question:
    """Make several objects, and put steps to them; each step begins with an object's number."""
    return Question(aspect, ([*[["new", *new] for new in news], *map(list, steps)],))


# 10.3

_ACK: Step = ("ack",)


def sender_questions(rng: random.Random) -> list[Question]:
    """Draw rows of acknowledgements, duplicates and time-outs."""
    return [
        *(Question("slow start", (_slow_start(rng),)) for _ in range(3)),
        _two_senders(rng),
        *(Question("congestion avoidance", (row,)) for row in _avoidance(rng)),
        *(Question("duplicates", (row,)) for row in _duplicates(rng)),
        *(Question("time-out", (row,)) for row in _timeouts(rng)),
    ]


def _row(new: Step, *steps: Step) -> list[list[Any]]:
    return [["new", *new], *map(list, steps)]


def _segment(rng: random.Random) -> int:
    return rng.choice((512, 536, 1200, 1440, 1448))


def _even(rng: random.Random, segment: int, low: int, high: int) -> int:
    """Return an even number of octets between so many segments."""
    return 2 * rng.randint(low * segment // 2, high * segment // 2)


def _slow_start(rng: random.Random) -> list[list[Any]]:
    segment = _segment(rng)
    window = rng.randint(2, 4) * segment + rng.randint(0, 99)
    acks = rng.randint(2, 4)
    return _row((segment, window, window + acks * segment - rng.randint(0, 99)), *[_ACK] * acks)


def _two_senders(rng: random.Random) -> Question:
    first, second = rng.sample((512, 536, 1200, 1440, 1448), 2)
    news = (first, 2 * first, 60 * first), (second, 5 * second, 70 * second)
    order = [0, 1, 1, 0, rng.randint(0, 1)]
    return between("slow start", news, *[(number, "ack") for number in order])


def _avoidance(rng: random.Random) -> list[list[list[Any]]]:
    segment, large = _segment(rng), rng.randint(200, 300)
    window = rng.randint(5, 20) * segment + rng.randint(1, 99)
    lower = rng.randint(2 * segment, window - 1)
    return [
        _row((segment, window, window), *[_ACK] * rng.randint(1, 3)),
        _row((segment, window, lower), *[_ACK] * rng.randint(2, 4)),
        _row((segment, segment, 2 * segment), *[_ACK] * rng.randint(2, 4)),
        _row((large, large**2 + rng.randint(1, 99), 2 * large), _ACK, _ACK),
    ]


def _duplicates(rng: random.Random) -> list[list[list[Any]]]:
    """Rows with duplicates; where an acknowledgement adds to a window, that is one segment."""
    segment = _segment(rng)
    window = _even(rng, segment, 12, 30)
    new = (segment, window, rng.choice((window // 2, 2 * window)))
    one = (segment, segment, _even(rng, segment, 8, 20))
    flight = (window - _even(rng, segment, 1, 4)) // 4 * 4
    dup: Step = ("duplicate", flight)
    small: Step = ("duplicate", 4 * segment)
    odd: Step = ("duplicate", flight + 1)
    few: Step = ("duplicate", rng.randint(0, 4 * segment - 2))
    inflated = flight // 2 + 3 * segment
    return [
        _row(new, dup, dup),
        _row(new, dup, dup, dup),
        _row(new, odd, odd, odd),
        _row(new, few, few, few),
        _row(new, *[dup] * rng.randint(5, 8), _ACK),
        _row(new, dup, dup, dup, _ACK, small, small, small, small),
        _row(one, dup, _ACK, dup, dup),
        _row(one, dup, dup, _ACK, dup, dup, dup),
        _row((segment, segment, 2 * segment), small, small, ("timeout", 4 * segment), small, small),
        _row((segment, segment, 3 * segment), ("timeout", 4 * segment), small, small, small),
        _row(new, dup, dup, dup, ("timeout", inflated), _ACK),
    ]


def _timeouts(rng: random.Random) -> list[list[list[Any]]]:
    segment = _segment(rng)
    window = _even(rng, segment, 12, 30)
    new = (segment, window, rng.choice((window // 2, 2 * window)))
    flight = window - _even(rng, segment, 1, 4)
    late: Step = ("timeout", flight)
    return [
        _row(new, late),
        _row(new, late, _ACK),
        _row(new, ("timeout", flight + 1)),
        _row(new, ("timeout", rng.randint(0, 4 * segment - 2))),
        _row(new, late, ("timeout", _even(rng, segment, 4, 8))),
        _row(new, late, _ACK, ("timeout", _even(rng, segment, 4, 8))),
    ]


# 10.6


def watch_questions(rng: random.Random) -> list[Question]:
    """Draw rows of packets that wait long, with short waits in some places."""
    return [
        *(Question("patience", (row,)) for row in _patience(rng)),
        _two_watches(rng),
        *(Question("pace", (_at(rng, shares),)) for shares in _PACES),
        *(Question("relief", (row,)) for row in _relief(rng)),
    ]


# Moments after the start of a bout, in intervals. Drops are due at 1, 2, 2.707, 3.284, 3.784.
_PACES = (
    (0, 1.02, 1.5, 2.03, 2.6, 2.75, 3.1, 3.3),
    (0, 1.04, 1.2, 2.05, 2.4, 2.8, 2.95, 3.31, 3.5, 3.82, 4.1),
    (0, 1.3, 2.05, 2.2, 2.72, 2.9),
    (0, 0.7, 1.4, 1.7, 2.1, 2.3, 2.75, 3.05),
    (0, 3.5, 3.5, 3.51, 3.52, 3.7, 3.8),
)


def _watch(rng: random.Random) -> tuple[int, int]:
    return rng.randint(3, 12), rng.choice((100, 120, 200, 500))


def _times(start: int, interval: int, shares: tuple[float, ...]) -> list[int]:
    return [start + round(share * interval) for share in shares]


def _at(rng: random.Random, shares: tuple[float, ...]) -> list[list[Any]]:
    """Return a bout that begins with the watch, at 0; all its packets waited long."""
    target, interval = _watch(rng)
    wait = target + rng.randint(1, 20)
    return _row((target, interval), *[("leaves", one, wait) for one in _times(0, interval, shares)])


def _patience(rng: random.Random) -> list[list[list[Any]]]:
    """Bouts up to their first drop, which is met at its time or later."""
    rows = []
    for shares, more in (((0, 0.4, 0.99, 1), 5), ((0, 0.5, 1), 0), ((0, 0.9, 1.05), 5)):
        target, interval = _watch(rng)
        start, wait = rng.randint(0, 9) * 100 + 60, target + more
        times = _times(start, interval, shares)
        rows.append(_row((target, interval), *[("leaves", one, wait) for one in times]))
    target, interval = _watch(rng)
    waits = [rng.randint(0, target - 1) for _ in range(4)]
    times = _times(rng.randint(0, 90), interval, (0, 0.6, 1.1, 2.3))
    steps = zip(times, waits, strict=True)
    return [*rows, _row((target, interval), *[("leaves", *step) for step in steps])]


def _two_watches(rng: random.Random) -> Question:
    """Two watches with different targets; each has one bout."""
    target, interval = _watch(rng)
    start = rng.randint(30, 90)
    first = [(time, 0, target + 2) for time in _times(0, interval, (0, 1.1))]
    second = [(time, 1, target + 30) for time in _times(start, interval, (0, 0.7, 1.3))]
    steps = [(number, "leaves", time, wait) for time, number, wait in sorted(first + second)]
    return between("patience", ((target, interval), (target + 20, interval)), *steps)


def _relief(rng: random.Random) -> list[list[list[Any]]]:
    """Short waits before the first drop, when one is due, and after one drop or two."""
    long, short = None, -1
    rows = []
    for row in (
        ((0, long), (0.3, long), (0.5, short), (1.1, long), (1.4, long), (2.15, long)),
        ((0, long), (0.6, long), (1.2, short), (1.3, long), (1.9, long)),
        ((0, long), (1.05, long), (1.4, short), (1.5, long), (2.1, long), (2.6, long),
         (3.3, long), (3.63, long)),
        ((0, long), (1.03, long), (2.06, long), (2.2, short), (2.3, long), (2.9, long),
         (3.37, long), (4.15, long), (4.45, long)),
    ):  # fmt: skip
        target, interval = _watch(rng)
        wait, quick = target + rng.randint(5, 30), rng.randint(0, target - 1)
        steps = [
            ("leaves", round(share * interval), quick if kind == short else wait)
            for share, kind in row
        ]
        rows.append(_row((target, interval), *steps))
    return rows
