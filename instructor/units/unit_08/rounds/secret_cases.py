"""The secret questions of 8.4, rows of packets.

Every aspect and every kind is there for every seed. What one aspect asks for must not fall with
another: so quanta differ where fairness is asked for, and nothing is kept there; they are the same
everywhere else. Sizes end in 1 and quanta in 0, so that a credit is never just enough by chance.
"""

__all__ = ["round_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

Step = tuple[Any, ...]
Row = tuple[list[int], list[Step]]

SEND: Step = ("send",)


def round_questions(rng: random.Random) -> list[Question]:
    """Draw rows of packets that join and are sent."""
    kinds = (
        ("fair in octets", _multiples, 4),
        ("fair in octets", _all_in_one_turn, 2),
        ("fair in octets", _one_each_turn, 2),
        ("fair in octets", _just_enough, 2),
        ("fair in octets", _just_enough_again, 1),
        ("fair in octets", _one_octet_short, 1),
        ("fair in octets", _quantum_of_ones_own, 2),
        ("what is kept", _parts_left, 4),
        ("what is kept", _larger_than_a_quantum, 1),
        ("what is kept", _kept_when_another_leaves, 1),
        ("what lapses", _back_after_a_while, 3),
        ("what lapses", _back_at_once, 3),
        ("what lapses", _back_one_octet_short, 2),
        ("the order of the list", _mixed_numbers, 3),
        ("the order of the list", _mixed_single_ones, 2),
        ("the order of the list", _joins_between, 2),
        ("the order of the list", _joins_between_in_order, 2),
        ("the order of the list", _nothing_waits, 2),
    )
    rows = [(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]
    return [
        *(events(aspect, (quanta,), *steps) for aspect, (quanta, steps) in rows),
        *(_two_schedulers(rng) for _ in range(2)),
    ]


def joins(*packets: tuple[int, int]) -> list[Step]:
    """Let packets come, each given as queue and octets."""
    return [("join", *packet) for packet in packets]


def _size(rng: random.Random, quantum: int, low: int, high: int) -> int:
    """Return a size between so many hundredths of a quantum, with a 1 at its end."""
    return quantum * rng.randint(low, high) // 1000 * 10 + 1


# Fair in octets: quanta differ


def _multiples(rng: random.Random) -> Row:
    """Send packets of one size from each queue, so many times as fit into its quantum."""
    number = rng.randint(2, 3)
    times = rng.sample((1, 2, 3, 4), number)
    sizes = rng.sample(range(100, 1500), number)
    packets = [(queue, sizes[queue]) for queue in range(number) for _ in range(3 * times[queue])]
    quanta = [count * size for count, size in zip(times, sizes, strict=True)]
    return quanta, [*joins(*packets), *[SEND] * (2 * sum(times) + rng.randint(0, 2))]


def _all_in_one_turn(rng: random.Random) -> Row:
    """Send all packets of a queue in its first turn."""
    sizes = [[rng.randint(100, 900) for _ in range(rng.randint(2, 3))] for _ in range(3)]
    needs = [sum(one) for one in sizes]
    quanta = [max(needs) + 90, *(need + rng.randint(1, 80) for need in needs[1:])]
    packets = [(queue, size) for queue, one in enumerate(sizes) for size in one]
    if rng.random() < 0.5:  # the packets come one from each queue in turn
        packets = [(queue, one[place]) for place in (0, 1) for queue, one in enumerate(sizes)]
    return quanta, [*joins(*packets), *[SEND] * len(packets)]


def _one_each_turn(rng: random.Random) -> Row:
    """Send one packet each turn: no quantum is enough for two."""
    quantum = rng.randint(50, 150) * 10
    quanta = [quantum, quantum - 10]
    packets = [(queue, _size(rng, quantum, 72, 90)) for queue in (0, 1) for _ in range(2)]
    return quanta, [*joins(*packets), *[SEND] * 4]


def _just_enough(rng: random.Random) -> Row:
    """Let the first queue's quantum be the size of its only packet."""
    first = rng.randint(90, 150) * 10
    quanta = [first, first - rng.randint(1, 9) * 10, first - 100]
    others = [quantum - rng.randint(1, 500) for quantum in quanta[1:]]
    return quanta, [*joins((0, first), (1, others[0]), (2, others[1])), *[SEND] * 3]


def _just_enough_again(rng: random.Random) -> Row:
    """Empty a queue, with nothing left, and come back with a packet of its quantum."""
    first = rng.randint(90, 150) * 10
    busy = [(1, first - rng.randint(100, 200)) for _ in range(3)]
    steps = [*joins((0, first), *busy), SEND, SEND, *joins((0, first)), *[SEND] * 3]
    return [first, first - 10], steps


def _one_octet_short(rng: random.Random) -> Row:
    """Let the two packets of the first queue be one octet larger than its quantum."""
    quantum = rng.randint(90, 150) * 10
    first = quantum // 2 + rng.randint(1, 99)
    packets = (0, first), (0, quantum + 1 - first), (1, quantum // 2)
    return [quantum, quantum - 10], [*joins(*packets), *[SEND] * 3]


def _quantum_of_ones_own(rng: random.Random) -> Row:
    """Let the second queue's packet fit into its own quantum, and not into the first queue's."""
    small, large = rng.randint(40, 70) * 10, rng.randint(80, 150) * 10
    sizes = (
        rng.randint(99, small - 1),
        rng.randint(small + 1, large - 1),
        rng.randint(99, small - 1),
    )
    return [small, large, small], [*joins(*enumerate(sizes)), *[SEND] * 3]


# What is kept: all quanta are the same from here on


def _parts_left(rng: random.Random) -> Row:
    """Send packets of more than half a quantum: what is left adds up."""
    quantum, number = rng.randint(50, 150) * 10, rng.randint(2, 3)
    packets = [(queue, _size(rng, quantum, 55, 75)) for queue in range(number) for _ in range(4)]
    return [quantum] * number, [*joins(*packets), *[SEND] * (4 * number)]


def _larger_than_a_quantum(rng: random.Random) -> Row:
    """Send packets for which a queue has to wait for some turns."""
    quantum = rng.randint(30, 60) * 10
    large = [(0, _size(rng, quantum, 110, 390)) for _ in range(2)]
    small = [(1, _size(rng, quantum, 70, 95)) for _ in range(6)]
    return [quantum] * 2, [*joins(*large, *small), *[SEND] * 7]


def _kept_when_another_leaves(rng: random.Random) -> Row:
    """Let a queue wait for its second quantum while another one runs empty."""
    quantum = rng.randint(30, 60) * 10
    small = [_size(rng, quantum, 70, 95) for _ in range(4)]
    packets = [(0, _size(rng, quantum, 130, 190)), *enumerate(small[:2], 1), (2, small[2])]
    return [quantum] * 3, [*joins(*packets, (2, small[3])), *[SEND] * 5]


# What lapses


def _back_after_a_while(rng: random.Random) -> Row:
    """Empty a queue, send from another one, and come back with two packets."""
    quantum = rng.randint(50, 150) * 10
    first, second, third = (_size(rng, quantum, 57, 64) for _ in range(3))
    busy = [(1, _size(rng, quantum, 88, 95)) for _ in range(4)]
    back = joins((0, second), (0, third))
    steps = [*joins((0, first), *busy), SEND, SEND, *back, *[SEND] * rng.randint(4, 5)]
    return [quantum] * 2, steps


def _back_one_octet_short(rng: random.Random) -> Row:
    """Come back with two packets that are one octet larger than the quantum."""
    quantum = rng.randint(50, 150) * 10
    first, second = (_size(rng, quantum, 57, 64) for _ in range(2))
    busy = [(1, _size(rng, quantum, 88, 95)) for _ in range(4)]
    back = joins((0, second), (0, quantum + 1 - second))
    return [quantum] * 2, [*joins((0, first), *busy), SEND, SEND, *back, *[SEND] * 4]


def _back_at_once(rng: random.Random) -> Row:
    """Empty a queue, and come back before the next packet is sent."""
    quantum, number = rng.randint(50, 150) * 10, rng.randint(2, 3)
    busy = [(queue, _size(rng, quantum, 70, 95)) for queue in range(1, number) for _ in range(2)]
    steps = [*joins((0, _size(rng, quantum, 55, 60)), *busy), SEND]
    steps += [*joins((0, _size(rng, quantum, 20, 35))), *[SEND] * (2 * number - 1)]
    return [quantum] * number, steps


# The order of the list


def _mixed(rng: random.Random) -> list[int]:
    """Return some of four queues, in no order of their numbers."""
    while True:
        order = rng.sample(range(4), rng.randint(3, 4))
        if order != sorted(order):
            return order


def _mixed_numbers(rng: random.Random) -> Row:
    """Let queues join in no order of their numbers, each with two packets."""
    quantum = rng.randint(50, 150) * 10
    packets = [(queue, _size(rng, quantum, 70, 95)) for queue in _mixed(rng) for _ in range(2)]
    if rng.random() < 0.5:
        packets = [*packets[::2], *packets[1::2]]
    return [quantum] * 4, [*joins(*packets), *[SEND] * len(packets)]


def _mixed_single_ones(rng: random.Random) -> Row:
    """Let queues join in no order of their numbers, each with one packet."""
    quantum = rng.randint(50, 150) * 10
    packets = [(queue, _size(rng, quantum, 30, 95)) for queue in _mixed(rng)]
    return [quantum] * 4, [*joins(*packets), *[SEND] * len(packets)]


def _between(quantum: int, order: list[int], sizes: list[int]) -> Row:
    """Let the last queue join while the first is at the head and cannot pay any more."""
    head, second, late = order
    steps = [*joins((head, sizes[0]), (head, sizes[1]), (second, sizes[2]), (second, sizes[3]))]
    return [quantum] * 4, [*steps, SEND, *joins((late, sizes[4]), (late, sizes[5])), *[SEND] * 5]


def _joins_between(rng: random.Random) -> Row:
    quantum = rng.randint(50, 150) * 10
    return _between(
        quantum, rng.sample(range(4), 3), [_size(rng, quantum, 70, 95) for _ in range(6)]
    )


def _joins_between_in_order(rng: random.Random) -> Row:
    """Let each queue have two packets of one size, and join in the order of the numbers."""
    quantum = rng.randint(50, 150) * 10
    sizes = [_size(rng, quantum, 70, 95) for _ in range(3)]
    return _between(
        quantum, sorted(rng.sample(range(4), 3)), [one for one in sizes for _ in (0, 1)]
    )


def _nothing_waits(rng: random.Random) -> Row:
    """Ask before anything has come, and after all has gone."""
    quantum = rng.randint(50, 150) * 10
    queues = rng.sample(range(4), 2)
    packets = [(queue, _size(rng, quantum, 40, 95)) for queue in queues]
    before = [SEND] * rng.randint(0, 1)
    return [quantum] * 4, [*before, *joins(*packets), SEND, SEND, SEND, *before]


def _two_schedulers(rng: random.Random) -> Question:
    """Ask two schedulers in turn; the second one is asked first."""
    quantum = rng.randint(50, 150) * 10
    sizes = rng.sample(range(quantum // 3, quantum), 4)
    joined = [(0, 0), (1, 0), (1, 2), (0, 1)]
    steps: list[Step] = [
        (place, "join", queue, size) for (place, queue), size in zip(joined, sizes, strict=True)
    ]
    sends: list[Step] = [(place, "send") for place in (1, 0, 0, 1)]
    news = ([quantum] * 2,), ([quantum] * 3,)
    return between("the order of the list", news, *steps, *sends)
