"""Questions of exercise 11.5, flows and their losses: public ones, and secret ones.

What one aspect asks for must not fall with another: each packet is acknowledged where teeth or
time-outs are asked for; windows are far from time-outs in the first two.
"""

__all__ = ["RATES", "rate_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

TOOTH, DELAYED, TIMEOUTS = "the tooth", "delayed acknowledgements", "time-outs"
EXAMPLE = "the contract's example"
RFC_3649 = "the loss of RFC 3649, table 1: 1500 octets, 100 ms, 10 Mbit/s"
RFC_9438 = "a loss of RFC 9438, table 1: a round trip of 100 ms"
MATHIS = "so many packets that the constant comes near to that of Mathis et al. 1997"

SMALL = range(5, 16)  # highest windows, for each of which one is asked
EQUAL, MORE = 8, 11  # of these: no packet is left over; some are

RATES = (
    Question(TIMEOUTS, (10, 1, 1500, 100, 1000), EXAMPLE, Expected(value=(4, 1.0, 360000.0))),
    Question(TIMEOUTS, (1, 1, 500, 80, 1000)),
    Question(TIMEOUTS, (2, 1, 1000, 50, 300)),
    Question(TIMEOUTS, (3, 1, 1500, 40, 200)),
    Question(TIMEOUTS, (5, 1, 576, 90, 1000)),
    Question(TIMEOUTS, (6, 1, 1200, 25, 250)),
    Question(TIMEOUTS, (8, 1, 1500, 60, 3000)),
    Question(TIMEOUTS, (9, 1, 1480, 30, 400)),
    Question(TOOTH, (14, 1, 1500, 60, 1000)),
    Question(TOOTH, (17, 1, 1000, 20, 300)),
    Question(TOOTH, (20, 1, 1500, 80, 1000)),
    Question(TOOTH, (25, 1, 576, 45, 200)),
    Question(TOOTH, (30, 1, 1500, 30, 1000)),
    Question(TOOTH, (36, 1, 1460, 75, 600)),
    Question(TOOTH, (43, 1, 1500, 150, 1000)),
    Question(TOOTH, (50, 1, 800, 35, 1000)),
    Question(TOOTH, (59, 1, 1500, 90, 250)),
    Question(TOOTH, (65, 1, 1500, 55, 1000)),
    Question(TOOTH, (70, 1, 1280, 40, 500)),
    Question(TOOTH, (81, 1, 1500, 110, 1000)),
    Question(TOOTH, (93, 1, 1400, 65, 900)),
    Question(TOOTH, (4_629, 1, 1500, 100, 1000), RFC_3649),
    Question(TOOTH, (10_000, 1, 1500, 100, 1000), RFC_9438),
    Question(TOOTH, (250_000, 1, 1500, 100, 1000), MATHIS),
    Question(DELAYED, (28, 2, 1500, 60, 1000)),
    Question(DELAYED, (65, 2, 1460, 40, 500)),
    Question(DELAYED, (75, 3, 1000, 90, 1000)),
    Question(DELAYED, (200, 3, 1500, 35, 300)),
    Question(DELAYED, (150, 4, 1500, 70, 1000)),
    Question(DELAYED, (250_000, 2, 1500, 100, 1000), MATHIS),
)


def rate_questions(rng: random.Random) -> list[Question]:
    """Draw teeth of each small height and large ones, late acknowledgements, and time-outs."""
    return [
        *(_ask(rng, TOOTH, _every(rng, highest)) for highest in SMALL),
        _ask(rng, TOOTH, rng.randint(500, 20_000)),
        *(_ask(rng, DELAYED, packets * _every(rng, rng.choice(SMALL)) + rng.randrange(packets),
               packets) for packets in (2, 3, 4)),
        *(_ask(rng, TIMEOUTS, every) for every in _few(rng)),
    ]  # fmt: skip


def _every(rng: random.Random, highest: int) -> int:
    """Return a number of packets that makes a window the highest."""
    packets = sum(range(highest // 2, highest + 1))
    more = 0 if highest == EQUAL else rng.randint(highest == MORE, 4)
    return packets + more


def _few(rng: random.Random) -> list[int]:
    """Return numbers for the highest windows from 1 to 4."""
    return [rng.randint(*ends) for ends in ((1, 2), (3, 5), (6, 8), (9, 13))]


def _ask(rng: random.Random, aspect: str, every: int, packets_per_ack: int = 1) -> Question:
    octets = rng.choice((500, 576, 800, 1000, 1280, 1400, 1460, 1480, 1500))
    timeout_ms = rng.randrange(200, 3_000, 10)
    return Question(aspect, (every, packets_per_ack, octets, rng.randint(11, 299), timeout_ms))
