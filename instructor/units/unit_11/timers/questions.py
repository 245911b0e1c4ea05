"""Questions about the retransmission timer (11.3): published rows, and two draws of many.

What one aspect asks for must not fall with another: `due` is asked in "when it runs out" alone, and
only there the first time-out counts. The tick of the clock is another one for each kind of row.
"""

__all__ = ["TIMER", "timer_questions"]

import random
from collections.abc import Callable

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_10.secret_events import Step, between, events

TRIPS, LIMITS, TWICE, RUNS = "round trips", "least and most", "sent twice", "when it runs out"
RULES = "RFC 6298, section 2 (its rules, worked out by hand)"
DUE: Step = ("due",)
Draw = Callable[[random.Random], Question]


def timer_questions(rng: random.Random) -> list[Question]:
    """Draw round trips, limits, repeats, and timers that run out."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_first_trip, 1),
        (_trips_alone, 1),
        (_at_once, 1),
        (_ticks, 1),
        (_two_timers, 1),
        (_least, 2),
        (_most, 1),
        (_sent_again, 2),
        (_sent_again_after_the_timer, 2),
        (_first_timeout, 1),
        (_two_in_a_row, 1),
        (_repeats, 1),
        (_one_of_two, 1),
        (_nothing_left, 1),
        (_runs_out, 1),
        (_runs_out_for_long, 1),
        (_starts_anew, 1),
        (_not_begun, 1),
        (_new_timeout, 1),
    )
    drawn = [draw(rng) for draw, number in kinds for _ in range(number)]
    return [*drawn, *_each_weight(rng), *_each_weight(rng)]


def _trips(rng: random.Random, least: int = 60, most: int = 400) -> list[int]:
    """Return round trips that go up and down."""
    middle = (least + most) // 2
    trips = [rng.randint(middle + 20, most), rng.randint(least, middle - 20)]
    trips += [rng.randint(least, most) for _ in range(rng.randint(1, 2))]
    return trips if rng.random() < 0.5 else [trips[1], trips[0], *trips[2:]]


def _one_by_one(trips: list[int], start: int = 0) -> list[Step]:
    """Send packets, each when the one before has arrived."""
    steps: list[Step] = []
    now = start
    for number, trip in enumerate(trips, 1):
        steps += [("sent", now, number), ("acknowledged", now + trip, number)]
        now += trip
    return steps


def _first_trip(rng: random.Random) -> Question:
    return events(TRIPS, (1, 1), *_one_by_one([rng.randint(60, 400)], rng.randint(0, 90)))


def _trips_alone(rng: random.Random) -> Question:
    return events(TRIPS, (1, 20), *_one_by_one(_trips(rng)))


def _at_once(rng: random.Random) -> Question:
    """Let the first packet arrive within the millisecond: its round trip is 0, and counts."""
    return events(TRIPS, (1, 21), *_one_by_one([0, *_trips(rng)]))


def _each_weight(rng: random.Random) -> list[Question]:
    return [events(TRIPS, (1, tick), *_one_by_one(_trips(rng))) for tick in (2, 3, 4, 5)]


def _ticks(rng: random.Random) -> Question:
    """Let the clock tick so slowly that four variations are less."""
    trip = rng.randint(60, 90)
    trips = [trip, trip - rng.randint(2, 20), trip + rng.randint(2, 20)]
    return events(TRIPS, (1, rng.randint(200, 500)), *_one_by_one(trips))


def _two_timers(rng: random.Random) -> Question:
    """Send packets with the same number by two senders."""
    gap, trip = rng.randint(10, 50), rng.randint(60, 400)
    return between(
        TRIPS,
        ((1, 8), (1, 8)),
        (0, "sent", 0, 1),
        (1, "sent", gap, 1),
        (0, "acknowledged", trip, 1),
    )


def _least(rng: random.Random) -> Question:
    """Draw short round trips; the first time-out is longer than the least, or all are shorter."""
    trips = [rng.randint(40, 60), rng.randint(40, 60), rng.randint(40, 60)]
    return events(LIMITS, (rng.randint(140, 900), 6), *_one_by_one(trips))


def _most(rng: random.Random) -> Question:
    trips = [rng.randint(21_000, 30_000), rng.randint(5000, 9000), rng.randint(40_000, 50_000)]
    return events(LIMITS, (rng.randint(2, 90), 7), *_one_by_one(trips))


def _measured(rng: random.Random) -> tuple[list[Step], int]:
    """Return a packet that came back, and when."""
    trip = rng.randint(100, 300)
    return [("sent", 0, 1), ("acknowledged", trip, 1)], trip


def _sent_again(rng: random.Random) -> Question:
    """Send a packet again before the timer runs out, and another one once only."""
    steps, now = _measured(rng)
    again, back = now + rng.randint(50, 90), now + rng.randint(100, 250)
    last = back + rng.randint(30, 200)
    steps += [("sent", now, 2), ("sent", again, 2), ("acknowledged", back, 2)]
    return events(TWICE, (2, 9), *steps, ("sent", back, 3), ("acknowledged", last, 3))


def _sent_again_after_the_timer(rng: random.Random) -> Question:
    """Let the timer run out once or twice; the packet that comes next is measured."""
    steps, now = _measured(rng)
    timeout = 3 * now
    steps.append(("sent", now, 2))
    for _ in range(rng.randint(1, 2)):
        now += timeout
        timeout *= 2
        steps += [("expired", now), ("sent", now, 2)]
    back = now + rng.randint(50, 300)
    steps += [("acknowledged", back, 2), ("sent", back, 3)]
    return events(TWICE, (2, 10), *steps, ("acknowledged", back + rng.randint(30, 400), 3))


def _first_timeout(rng: random.Random) -> Question:
    start = rng.randint(0, 500)
    steps: list[Step] = [("sent", start, 1), DUE, ("expired", start + 1000)]
    return events(RUNS, (rng.randint(2, 400), 11), *steps[: rng.randint(2, 3)])


def _two_in_a_row(rng: random.Random) -> Question:
    """Send packets while the timer runs."""
    steps, now = _measured(rng)
    later = now + rng.randint(10, 90)
    steps += [("sent", now, 2), ("sent", later, 3), DUE]
    if rng.random() < 0.5:
        steps += [("sent", later + rng.randint(5, 20), 4), DUE]
    return events(RUNS, (2, 12), *steps)


def _repeats(rng: random.Random) -> Question:
    """Send one packet again while the timer runs."""
    steps, now = _measured(rng)
    steps += [("sent", now, 2), ("sent", now + rng.randint(10, 90), 2), DUE]
    return events(RUNS, (2, 12), *steps)


def _one_of_two(rng: random.Random) -> Question:
    """Let one of two or three packets arrive."""
    steps, now = _measured(rng)
    steps += [("sent", now, number) for number in range(2, rng.randint(4, 5))]
    return events(RUNS, (2, 13), *steps, ("acknowledged", now + rng.randint(40, 250), 2), DUE)


def _nothing_left(rng: random.Random) -> Question:
    """Let all arrive, and send one more."""
    steps, now = _measured(rng)
    now += rng.randint(5, 90)
    return events(RUNS, (2, 14), *steps, DUE, ("sent", now, 2), DUE)


def _runs_out(rng: random.Random) -> Question:
    """Let the timer run out twice or three times."""
    steps, now = _measured(rng)
    timeout = 3 * now
    steps.append(("sent", now, 2))
    for _ in range(rng.randint(2, 3)):
        now += timeout
        timeout *= 2
        steps.append(("expired", now))
    return events(RUNS, (2, 15), *steps)


def _runs_out_for_long(rng: random.Random) -> Question:
    """Double a time-out of more than 30 seconds."""
    trip = rng.randint(10_500, 18_000)
    steps = [*_one_by_one([trip]), ("sent", trip, 2), ("expired", 4 * trip)]
    return events(RUNS, (2, 16), *steps, ("expired", 4 * trip + 60_000))


def _starts_anew(rng: random.Random) -> Question:
    """Let the timer run out, and ask when it will again."""
    steps, now = _measured(rng)
    steps += [("sent", now, 2), ("expired", 4 * now), DUE]
    return events(RUNS, (2, 17), *steps)


def _not_begun(rng: random.Random) -> Question:
    """Ask before anything is sent."""
    steps, _ = _measured(rng)
    return events(RUNS, (2, 18), DUE, *steps)


def _new_timeout(rng: random.Random) -> Question:
    """Measure a round trip that changes the time-out, while another packet is under way."""
    steps, now = _measured(rng)
    later = now + rng.randint(350, 900)
    steps += [("sent", now, 2), ("sent", now + 1, 3), ("acknowledged", later, 2), DUE]
    return events(RUNS, (2, 19), *steps)


def _published(new: Step, trips: list[int], timeouts: list[float]) -> Question:
    given = [one for timeout in timeouts for one in (None, timeout)]
    return events(TRIPS, new, *_one_by_one(trips), source=RULES, published=Expected(value=given))


TIMER = (
    _published((1000, 1), [1000, 2000, 1000, 1500], [3000, 3625, 3109.375, 3048.828125]),
    _published((1, 1), [100, 100, 200, 100], [300, 250, 325, 282.8125]),
    events(
        LIMITS,
        (1000, 1),
        *_one_by_one([100, 100, 200, 100]),
        source="RFC 6298, section 2 (2.4): rounded up to 1 second",
        published=Expected(value=[None, 1000] * 4),
    ),
    events(
        RUNS,
        (1000, 1),
        ("sent", 0, 1),
        *[("expired", 1000 * now) for now in (1, 3, 7, 15, 31, 63, 123)],
        source="RFC 6298, rules 5.5 and 2.5, with a most of 60 seconds",
        published=Expected(value=[None, 2000, 4000, 8000, 16000, 32000, 60000, 60000]),
    ),
    *timer_questions(random.Random("what everybody may see")),
    *timer_questions(random.Random("once more")),
)
