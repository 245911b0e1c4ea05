"""Questions of unit 10, buffers and TCP: the secret ones of 10.1, 10.2, 10.4 and 10.5.

They are of the same kinds as the public ones, and every aspect is there for every seed. Where a
result is rounded up, numbers are drawn so that any sensible order of dividing and multiplying in
floating point gives the same: `is_sturdy`.
"""

__all__ = ["buffer_questions", "path_questions", "tooth_questions", "wait_questions"]

import math
import random

from instructor.units.items import Question

_RATES = (1_536_000, 2_400_000, 5_000_000, 10_000_000, 12_000_000, 44_210_000, 100_000_000)
_PACKETS = (500, 576, 960, 1000, 1250, 1500)


def is_sturdy(rate: int, delay_ms: int, octets: int, divisor: float = 1.0) -> bool:
    """Tell whether rate x delay, in units of so many octets, rounds up the same in any order."""
    results = (
        rate * delay_ms / (8000 * octets) / divisor,
        rate * (delay_ms / 1000) / 8 / octets / divisor,
        rate / 8 * (delay_ms / 1000) / (octets * divisor),
        rate * delay_ms / 1000 / 8 / octets / divisor,
        rate / 8 / octets * delay_ms / divisor / 1000,
    )
    return len({math.ceil(one) for one in results}) == 1


# 10.1


def path_questions(rng: random.Random) -> list[Question]:
    """Draw paths with whole packets, the same both ways and not, and with a part of one."""
    questions = []
    for aspect in ("same way back", "another way back"):
        questions += [_whole_packets(rng, aspect) for _ in range(5)]
    for _ in range(6):
        questions.append(_part_of_a_packet(rng, rng.choice(_RATES), rng.choice((0, 1, 2))))
    odd = [_part_of_a_packet(rng, rng.choice(_RATES) + rng.randint(1, 7), 0) for _ in range(3)]
    return [*questions, *odd]


def _whole_packets(rng: random.Random, aspect: str) -> Question:
    while True:
        rate, packet = rng.choice(_RATES), rng.choice(_PACKETS)
        there = rng.randint(11, 60)
        back = there if aspect == "same way back" else there + rng.randint(1, 90)
        total = there + back
        whole = rate * total % (8000 * packet) == 0
        if whole and is_sturdy(rate, total, packet) and is_sturdy(rate, total, 1):
            return Question(aspect, (rate, there, back, packet))


def _part_of_a_packet(rng: random.Random, rate: int, more_back: int) -> Question:
    while True:
        packet, there = rng.choice(_PACKETS), rng.randint(4, 60)
        back = there + more_back
        left = rate * (there + back) / 8000 % packet
        small = 0 < left < packet / 2
        if small and is_sturdy(rate, there + back, packet) and is_sturdy(rate, there + back, 1):
            return Question("part of a packet", (rate, there, back, packet))


# 10.2


def tooth_questions(rng: random.Random) -> list[Question]:
    """Draw pipes without a buffer, with less than they hold, and with as much or more."""
    pipes = [rng.choice((rng.randint(11, 99), rng.randint(101, 130))) for _ in range(15)]
    none = [Question("no buffer", (pipe, 0)) for pipe in pipes[:5]]
    some = [Question("some buffer", (pipe, rng.randint(1, pipe - 2))) for pipe in pipes[5:11]]
    enough = [
        Question("enough buffer", (pipe, pipe + rng.choice((0, 1, rng.randint(2, 60)))))
        for pipe in pipes[11:]
    ]
    return [*none, *some, *enough]


# 10.4


def buffer_questions(rng: random.Random) -> list[Question]:
    """Draw lines with few and with many flows, in step and not."""
    questions = []
    for place in range(18):
        aspect = "in step" if place % 3 == 2 else "not in step"
        questions.append(_buffer(rng, aspect))
    return questions


def _buffer(rng: random.Random, aspect: str) -> Question:
    in_step = aspect == "in step"
    while True:
        rate = rng.randint(5, 2000) * 1_000_000
        delay_ms = rng.randint(10, 300)
        flows = rng.choice((2, 3, 5, 8, 10, 30, 100, 400, 1000, rng.randint(2, 5000)))
        pipe = rate * delay_ms / 12_000_000
        room = pipe / (1 if in_step else math.sqrt(flows))
        between = 0.01 < room % 1 < 0.99
        if room > 3 and between and is_sturdy(rate, delay_ms, 1500, pipe / room):
            return Question(aspect, (rate, delay_ms, flows, in_step))


# 10.5


def wait_questions(rng: random.Random) -> list[Question]:
    """Draw counts that fall towards long waits, as they do at a real queue, and others."""
    questions = []
    for percent, aspect in ((50, "half of them"), (95, "nearly all"), (99, "nearly all")):
        questions += [_waits(rng, aspect, percent) for _ in range(4)]
    questions += [_waits(rng, "all of them", 100) for _ in range(4)]
    exact = [rng.randint(20, 40), rng.randint(5, 9), 0, rng.randint(1, 4)]
    below = sum(exact[:2])
    for aspect, percent in (("half of them", 50), ("nearly all", 95)):
        # So many packets more that those below are just the percentage.
        found = [*exact[:2], 0, 0, below * (100 - percent), 0]
        found = [number * percent if place < 2 else number for place, number in enumerate(found)]
        questions.append(Question(aspect, (found, 12_000_000, percent)))
    return questions


def _waits(rng: random.Random, aspect: str, percent: int) -> Question:
    length = rng.randint(6, 12)
    found = [rng.randint(0, 300) // (1 + place) ** rng.randint(0, 2) for place in range(length)]
    found[rng.randint(1, 4)] += rng.randint(100, 400)
    found[-2] += rng.randint(1, 9)
    found[-1] = 0
    return Question(aspect, (found, rng.choice((2, 5, 10, 12, 24, 100)) * 1_000_000, percent))
