"""The secret questions of 8.3, rows of packets.

Every aspect and every kind is there for every seed. What one aspect asks for must not fall with
another: so where one bucket is asked for, the other one is full again a millisecond later; where
two are, the committed one never flows over to any effect; and where somebody looks at what is
left, all packets are green.
"""

__all__ = ["meter_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

Step = tuple[Any, ...]
Row = tuple[Step, list[Step]]

WIDE = 8_000_000, 1_000_000  # a peak bucket that never lacks anything, in kbit/s and octets


def meter_questions(rng: random.Random) -> list[Question]:
    """Draw rows of packets and of looks into the buckets."""
    kinds = (
        ("one bucket", _first_burst, 2),
        ("one bucket", _after_an_idle_time, 2),
        ("one bucket", _all_but_nothing_left, 2),
        ("one bucket", _smaller_after_yellow, 2),
        ("one bucket", _drips, 3),
        ("two buckets", _flows_over, 2),
        ("two buckets", _peak_is_enough, 2),
        ("two buckets", _smaller_after_red, 2),
        ("two buckets", _green_after_yellow, 2),
        ("two buckets", _too_large_for_ever, 2),
        ("two buckets", _committed_would_do, 2),
        ("two buckets", _both_at_work, 3),
        ("what is left", _look_at_once, 1),
        ("what is left", _look_twice, 2),
        ("what is left", _look_later, 3),
        ("what is left", _twins_at_once, 1),
        ("what is left", _twins_later, 2),
        ("what is left", _twins_twice, 2),
    )
    rows = [(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]
    return [*(events(aspect, new, *steps) for aspect, (new, steps) in rows), *_two_meters(rng)]


def _packets(*pairs: tuple[int, int]) -> list[Step]:
    return [("colour", *pair) for pair in pairs]


# One bucket


def _first_burst(rng: random.Random) -> Row:
    """Send from the start on until the bucket is nearly empty."""
    rate, size = rng.randint(1, 9), rng.randint(50, 140) * 10
    depth = size * rng.randint(2, 4) + rng.randint(100, 300)
    sizes = [size] * 6 + [size // 2]
    times = [2 * place + rng.randint(0, 1) for place in range(7)]
    return (*WIDE, 8 * rate, depth), _packets(*zip(times, sizes, strict=True))


def _after_an_idle_time(rng: random.Random) -> Row:
    """Send once, wait for long, and send more than the depth."""
    rate, depth = rng.randint(1, 9), rng.randint(300, 600) * 10
    start = rng.randint(3, 50) * depth + rng.randint(1, 999)
    sizes = [depth // 2 + rng.randint(1, 99), depth // 3, depth // 3, depth // 5]
    times = [start + 2 * place for place in range(4)]
    first = rng.randint(1, 9), rng.randint(100, 900)
    return (*WIDE, 8 * rate, depth), _packets(first, *zip(times, sizes, strict=True))


def _all_but_nothing_left(rng: random.Random) -> Row:
    """Take just what is in the bucket, then one octet more than drips in."""
    rate, depth = rng.randint(1, 9), rng.randint(150, 400) * 10
    first, now, later = rng.randint(900, 1400), rng.randint(5, 50), rng.randint(20, 90)
    level = depth - first + rate * now
    steps = (0, first), (now, level), (now + later, rate * later + 1), (now + later + 1, rate)
    return (*WIDE, 8 * rate, depth), _packets(*steps)


def _smaller_after_yellow(rng: random.Random) -> Row:
    """Send a large packet that does not fit, and a small one that does."""
    rate, depth = rng.randint(1, 9), rng.randint(150, 250) * 10
    first = depth - rng.randint(300, 600)
    steps = (1, first), (3, rng.randint(800, 1500)), (5, rng.randint(100, 280)), (9, 700)
    return (*WIDE, 8 * rate, depth), _packets(*steps)


def _drips(rng: random.Random) -> Row:
    """Send a packet now and then, as the bucket fills."""
    rate, depth = rng.randint(1, 4), rng.randint(150, 300) * 10
    now, steps = 0, []
    for _ in range(9):
        now += rng.randint(1, 400) + rng.choice((0, 0, 1000))
        steps.append((now, rng.randint(50, 150) * 10))
    return (*WIDE, 8 * rate, depth), _packets((0, depth - rng.randint(1, 90)), *steps)


def _two_meters(rng: random.Random) -> list[Question]:
    """Ask two meters in turn; each of them has enough for the first burst."""
    questions = []
    for _ in range(2):
        depth = rng.randint(150, 190) * 10
        news = (*WIDE, 8, depth), (*WIDE, 8 * rng.randint(2, 5), 2 * depth)
        steps = [(0, 1, 1000), (1, 2, 1300), (0, 3, rng.randint(60, 140)), (1, 4, 1200)]
        steps += [(0, 5, 1000), (1, 6, 1000)]
        rng.shuffle(steps)
        turns = [
            (number, "colour", 2 * place, size) for place, (number, _, size) in enumerate(steps)
        ]
        questions.append(between("one bucket", news, *turns))
    return questions


# Two buckets


def _flows_over(rng: random.Random) -> Row:
    """Wait for long, and send more than the peak bucket holds; the committed one holds more."""
    rate, peak = rng.randint(2, 9), rng.randint(200, 400) * 10
    committed = 2 * peak + rng.randint(0, 50) * 10
    start = rng.randint(2000, 9000)
    sizes = [peak // 2, peak // 2 - rng.randint(1, 90), 95 + rng.randint(1, 90) + peak // 9]
    new = (8 * rate + 8 * rng.randint(0, 5), peak, 8 * rate, committed)
    return new, _packets((0, rng.randint(100, 900)), *((start, size) for size in sizes))


def _peak_is_enough(rng: random.Random) -> Row:
    """Take just what is in the peak bucket, when the committed one has too little."""
    committed, peak = rng.randint(150, 190) * 10, rng.randint(350, 500) * 10
    slow, fast = rng.randint(1, 2), rng.randint(3, 9)
    first = committed - rng.randint(100, 300)
    now = rng.randint(5, 40)
    level = min(peak, peak - first + fast * now)
    return (8 * fast, peak, 8 * slow, committed), _packets((0, first), (now, level))


def _smaller_after_red(rng: random.Random) -> Row:
    """Send a packet for which both buckets lack tokens, and a small one that fits."""
    committed, peak = rng.randint(150, 190) * 10, rng.randint(250, 290) * 10
    first = rng.randint(130, 149) * 10
    large = peak - first + rng.randint(50, 400)
    return (
        (8 * rng.randint(3, 9), peak, 8 * rng.randint(1, 2), committed),
        _packets((0, first), (0, large), (rng.randint(1, 5), peak - first - rng.randint(1, 99))),
    )


def _green_after_yellow(rng: random.Random) -> Row:
    """Send yellow, then green, then what would fit if green took nothing."""
    committed, peak = 2000, rng.randint(400, 450) * 10
    first = rng.randint(150, 180) * 10
    small = 2000 - first - rng.randint(1, 90)
    yellow = rng.randint(110, 140) * 10
    rest = peak - first - yellow - small
    new = (8 * rng.randint(2, 5), peak, 8, committed)
    return new, _packets((0, first), (0, yellow), (0, small), (0, rest + rng.randint(1, small)))


def _too_large_for_ever(rng: random.Random) -> Row:
    """Send a packet larger than the peak bucket, and nothing else that costs."""
    peak = rng.randint(100, 140) * 10
    late = rng.randint(100, 90_000)
    new = (8 * rng.randint(2, 5), peak, 8, 2 * peak)
    return new, _packets((rng.randint(0, 5), peak + rng.randint(1, 900)), (late, 9 * peak))


def _committed_would_do(rng: random.Random) -> Row:
    """Let yellow packets empty the peak bucket, while the committed one fills as fast."""
    rate, committed, peak = rng.randint(2, 9), 1500, rng.randint(330, 380) * 10
    first, yellow = rng.randint(700, 900), 1400
    level = peak - first - yellow
    steps = [(0, first), (0, yellow), (0, min(yellow, level - rng.randint(50, 300)))]
    left = level - steps[-1][1]
    more = rng.randint(5, 50)
    return (8 * rate, peak, 8 * rate, committed), _packets(*steps, (more, left + rate * more + 9))


def _both_at_work(rng: random.Random) -> Row:
    """Send packets a little faster than the peak rate."""
    slow, fast = rng.randint(1, 2), rng.randint(3, 4)
    now, steps = 0, []
    for _ in range(10):
        now += rng.randint(100, 400)
        steps.append((now, rng.randint(60, 150) * 10))
    burst = [(0, 1400), (0, 1300), (0, 1200), (0, 1100), (0, 1000)]
    return (8 * fast, 4000, 8 * slow, 9000), _packets(*burst, *steps)


# What is left


def _wide_enough(rng: random.Random) -> tuple[Step, list[Step], int]:
    """Return two deep buckets, some packets that are green, and the time of the last one."""
    slow, fast = rng.randint(1, 4), rng.randint(5, 9)
    new = (8 * fast, rng.randint(800, 900) * 10, 8 * slow, rng.randint(600, 700) * 10)
    now = rng.randint(1, 9)
    steps = [(0, 1500), (now, rng.randint(700, 1400)), (now, rng.randint(700, 1400))]
    return new, _packets(*steps), now


def _twins(rng: random.Random) -> tuple[Step, list[Step], int]:
    """Return the same with two buckets that are alike."""
    _, steps, now = _wide_enough(rng)
    rate, depth = 8 * rng.randint(2, 9), rng.randint(600, 900) * 10
    return (rate, depth, rate, depth), steps, now


def _look_at_once(rng: random.Random) -> Row:
    new, steps, now = _wide_enough(rng)
    return new, [*steps, ("tokens", now)]


def _look_twice(rng: random.Random) -> Row:
    new, steps, now = _wide_enough(rng)
    return new, [("tokens", 0), *steps, ("tokens", now)]


def _look_later(rng: random.Random) -> Row:
    new, steps, now = _wide_enough(rng)
    later, last = now + rng.randint(20, 150), now + rng.randint(151, 290)
    more = _packets((later, rng.randint(300, 900)))
    return new, [*steps, ("tokens", later), *more, ("tokens", last)]


def _twins_at_once(rng: random.Random) -> Row:
    new, steps, now = _twins(rng)
    return new, [*steps, ("tokens", now)]


def _twins_later(rng: random.Random) -> Row:
    new, steps, now = _twins(rng)
    return new, [*steps, ("tokens", now + rng.randint(20, 250))]


def _twins_twice(rng: random.Random) -> Row:
    new, steps, now = _twins(rng)
    return new, [*steps, ("tokens", now), ("tokens", now)]
