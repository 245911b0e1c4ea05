"""Questions of unit 10, buffers and TCP: the secret ones of 10.1, 10.2, 10.4 and 10.5.

Every aspect and every kind is there for every seed. What one aspect asks for must not fall with
another: so where rounding is not asked for, all divisions come out even, and floats give the
right result in any sensible order of dividing and multiplying.
"""

__all__ = ["buffer_questions", "path_questions", "tooth_questions", "wait_questions"]

import math
import random
from collections.abc import Iterator

from instructor.units.items import Question

_RATES = (1_536_000, 2_400_000, 5_000_000, 10_000_000, 12_000_000, 44_736_000, 100_000_000)
_PACKETS = (500, 576, 960, 1000, 1250, 1500, 9000)

Path = tuple[int, int, int, int]


def orders(rate: int, delay_ms: int, octets: int) -> Iterator[float]:
    """Yield rate x delay in units of so many octets, as floats give it in different orders."""
    seconds = delay_ms / 1000
    yield rate * delay_ms / (8000 * octets)
    yield rate * delay_ms / 1000 / 8 / octets
    yield rate * seconds / 8 / octets
    yield rate / 8 * seconds / octets
    yield rate / 8 / octets * seconds
    yield rate / octets / 8 * delay_ms / 1000
    yield rate * (delay_ms * 1e-3) / (8 * octets)
    yield rate / 1000 * delay_ms / 8 / octets


def is_sturdy(rate: int, delay_ms: int, octets: int) -> bool:
    """Tell whether the number rounds up the same in any order."""
    return len({math.ceil(one) for one in orders(rate, delay_ms, octets)}) == 1


# 10.1


def path_questions(rng: random.Random) -> list[Question]:
    """Draw paths of two delays, and others where parts of octets and of packets are left."""
    kinds = (
        ("there and back", _two_delays, 5),
        ("whole octets", _part_of_an_octet, 3),
        ("whole octets", _half_an_octet, 2),
        ("whole octets", _dusty_octets, 3),
        ("whole octets", _barely_more, 1),
        ("whole octets", _very_many, 1),
        ("whole packets", _part_of_a_packet, 5),
        ("whole packets", _one_packet, 1),
        ("whole packets", _whole_packets, 2),
        ("whole packets", _dusty_packets, 2),
    )
    return [Question(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]


def _even(path: Path) -> bool:
    """Tell whether nothing has to be rounded but packets, whatever the order."""
    rate, there, back, packet = path
    whole_ways = rate % 8 == 0 and rate * there % 8000 == 0 and rate * back % 8000 == 0
    return whole_ways and is_sturdy(rate, there + back, 1) and is_sturdy(rate, there + back, packet)


def _two_delays(rng: random.Random) -> Path:
    while True:
        there, back = rng.sample(range(2, 120), 2)
        path = rng.choice(_RATES), there, back, rng.choice(_PACKETS)
        if _even(path) and path[0] * (there + back) % (8000 * path[3]) == 0:
            return path


def _whole_packets(rng: random.Random) -> Path:
    while True:
        delay = rng.randint(2, 120)
        path = rng.choice(_RATES), delay, delay, rng.choice(_PACKETS)
        if _even(path) and path[0] * 2 * delay % (8000 * path[3]) == 0:
            return path


def _part_of_a_packet(rng: random.Random) -> Path:
    while True:
        delay = rng.randint(4, 120)
        path = rng.choice(_RATES), delay, delay, rng.choice(_PACKETS)
        if _even(path) and 0 < path[0] * 2 * delay / 8000 % path[3] < path[3] / 2:
            return path


def _one_packet(rng: random.Random) -> Path:
    delay = rng.randint(2, 200)
    return 8_000, delay, delay, rng.choice((1500, 9000))


def _dusty_packets(rng: random.Random) -> Path:
    while True:
        rate, packet, delay = rng.choice(_RATES), rng.choice(_PACKETS), rng.randint(2, 120)
        whole = rate * delay % 8000 == 0 and rate * 2 * delay % (8000 * packet) == 0
        packets = rate * 2 * delay // (8000 * packet)
        dusty = math.ceil(rate / 8 / packet * (2 * delay / 1000)) != packets
        if whole and dusty and is_sturdy(rate, 2 * delay, 1):
            return rate, delay, delay, packet


def _in_packets(rng: random.Random, rate: int, delay: int) -> Path | None:
    """Return a path whose octets, rounded up, are some whole packets; None if there is none."""
    octets = -(-rate * 2 * delay // 8000)
    sizes = [size for size in range(60, 10_001) if octets % size == 0]
    return (rate, delay, delay, rng.choice(sizes)) if sizes else None


def _barely_more(rng: random.Random) -> Path:
    """Return a path that holds a quarter of a thousandth more than some whole octets."""
    while True:
        path = _in_packets(rng, 8_000 * rng.randint(1, 9_000) + 1, 1)
        if path is not None and is_sturdy(path[0], 2, 1) and is_sturdy(path[0], 2, path[3]):
            return path


def _part_of_an_octet(rng: random.Random) -> Path:
    while True:
        rate, delay = rng.choice(_RATES) + rng.randint(1, 7), rng.randint(4, 120)
        path = _in_packets(rng, rate, delay)
        if path is None:
            continue
        sturdy = is_sturdy(rate, 2 * delay, 1) and is_sturdy(rate, 2 * delay, path[3])
        if rate * 2 * delay % 8000 and sturdy:
            return path


def _half_an_octet(rng: random.Random) -> Path:
    while True:
        rate, delay = 4000 * rng.randrange(301, 3000, 2), rng.randrange(5, 120, 2)
        path = _in_packets(rng, rate, delay)
        if path and is_sturdy(rate, 2 * delay, 1) and is_sturdy(rate, 2 * delay, path[3]):
            return path


def _dusty_octets(rng: random.Random) -> Path:
    while True:
        rate, delay = rng.choice(_RATES), rng.randint(4, 250)
        octets, left = divmod(rate * delay, 4000)
        dusty = math.ceil(rate * (2 * delay / 1000) / 8) != octets
        if left or not dusty:
            continue
        path = _in_packets(rng, rate, delay)
        if path and math.ceil(rate / 8 / path[3] * (2 * delay / 1000)) == octets // path[3]:
            return path


def _very_many(rng: random.Random) -> Path:
    return 10**11 - 8000 * rng.randint(0, 9), 10_000, 10_000, 10_000


# 10.2


def tooth_questions(rng: random.Random) -> list[Question]:
    """Draw pipes without a buffer, with less than they hold, and with as much or more."""
    idle = [(2 * pipe, 0) for pipe in rng.sample(range(51, 199), 4)]
    idle += [_even_tooth(rng) for _ in range(6)]
    busy = [(pipe, pipe + 2 * rng.randint(1, 40)) for pipe in rng.sample(range(11, 320), 3)]
    busy += [(2, 2 * rng.randint(16, 200))]
    odd = [(pipe, pipe + 1) for pipe in rng.sample(range(11, 399), 4)]
    return [
        *(Question("line idle at times", one) for one in idle),
        *(Question("line always busy", one) for one in busy),
        *(Question("half of an odd window", one) for one in odd),
    ]


def _even_tooth(rng: random.Random) -> tuple[int, int]:
    """Return a pipe larger than its buffer; their sum is even."""
    pipe = rng.choice((rng.randint(22, 249), rng.randint(251, 399)))
    return pipe, rng.randrange(2 - pipe % 2, pipe - 1, 2)


# 10.4


def buffer_questions(rng: random.Random) -> list[Question]:
    """Draw lines with few and with many flows, in step and not."""
    questions = [Question("not in step", _whole_share(rng, step=False)) for _ in range(7)]
    questions += [Question("in step", _whole_share(rng, step=True)) for _ in range(5)]
    questions += [Question("part of a packet", _part_of_one(rng)) for _ in range(4)]
    questions += [Question("part of a packet", _small_part(rng)) for _ in range(4)]
    tiny = rng.randint(10, 100) * 10_000, 10, rng.randint(5, 40), False  # less than a packet
    others = (tiny, _barely_one_more(rng), _seconds_apart(rng))
    return [*questions, *(Question("part of a packet", one) for one in others)]


def _shares(rate: int, delay_ms: int, root: float) -> set[int]:
    """Return what a share rounds up to, in different orders."""
    flows = round(root * root)
    shares = set()
    for one in orders(rate, delay_ms, 1500):
        shares |= {one / root, one * flows**-0.5, one / flows**0.5, one * (1 / root)}
    for octets in orders(rate, delay_ms, 1):
        shares |= {octets / root / 1500, octets * flows**-0.5 / 1500, octets / (1500 * root)}
    return {math.ceil(one) for one in shares}


def _whole_share(rng: random.Random, *, step: bool) -> tuple[int, int, int, bool]:
    """Return a line of which flows need a whole number of packets."""
    while True:
        root = rng.choice((2, 3, 4, 5, 10, 20, 100, rng.randint(2, 70)))
        rate, delay_ms = rng.randint(5, 4000) * 1_000_000, rng.randint(10, 300)
        divisor = 1 if step else root
        whole, left = divmod(rate * delay_ms, 12_000_000 * divisor)
        if left == 0 and whole > 3 and len(_shares(rate, delay_ms, divisor)) == 1:
            return rate, delay_ms, root * root, step


def _part_of_one(rng: random.Random) -> tuple[int, int, int, bool]:
    """Return a line with one flow, for which the root plays no part."""
    while True:
        rate, delay_ms = rng.randint(5, 2000) * 1_000_000, rng.randint(10, 300)
        if 0.02 < rate * delay_ms / 12_000_000 % 1 < 0.48:
            return rate, delay_ms, 1, rng.random() < 0.5


def _barely_one_more(rng: random.Random) -> tuple[int, int, int, bool]:
    """Return a line that holds less than a hundredth of a packet more than some whole ones."""
    rate = 12_000_000 * rng.randint(2, 800) + 10 * rng.randint(1, 100)
    return rate, 100 * rng.randint(1, 9), 1, rng.random() < 0.5


def _seconds_apart(rng: random.Random) -> tuple[int, int, int, bool]:
    """Return a path so long that it matters whether each second's packets are rounded."""
    while True:
        rate, seconds = 10_000 * rng.randint(90, 9_000), rng.randint(2, 9)
        each, need = divmod(rate, 12_000), -(-rate * seconds // 12_000)
        if each[1] and each[0] * seconds < need < (each[0] + 1) * seconds:
            return rate, 1000 * seconds, 1, rng.random() < 0.5


def _small_part(rng: random.Random) -> tuple[int, int, int, bool]:
    """Return a line on which a pipe that is rounded up too early gives a packet more.

    That there are several flows must not fall with their root: so their number gives the same.
    """
    while True:
        rate, delay_ms, flows = (
            rng.randint(30, 400) * 10_000,
            rng.choice((10, 20)),
            rng.randint(2, 8),
        )
        pipe, root = rate * delay_ms / 12_000_000, math.sqrt(flows)
        need = math.ceil(pipe / root)
        early = math.ceil(math.ceil(pipe) / root) > need
        if early and 0.52 < pipe / root % 1 < 0.98 and math.ceil(pipe / flows) == need:
            return rate, delay_ms, flows, False


# 10.5


def wait_questions(rng: random.Random) -> list[Question]:
    """Draw counts that fall towards long waits, as they do at a real queue, and others."""
    inside = [_inside(rng, percent) for percent in (50, 90, 95, 99, rng.randint(2, 49))]
    inside += [_inside(rng, rng.randint(60, 98)) for _ in range(3)]
    alike = rng.randint(1, 40)  # as many for each length: but the wait is no whole number
    inside.append(([alike] * rng.randint(7, 9), 7_000_000, rng.choice((53, 67, 83))))
    percents = [50, 28, 56, 14]
    percents += rng.choices(percents, k=4)
    return [
        *(Question("nearly all", one) for one in inside),
        *(Question("just the percentage", _just(rng, percent)) for percent in percents),
        *(Question("all of them", _all(rng, length)) for length in rng.sample(range(2, 8), 4)),
    ]


def _inside(rng: random.Random, percent: int) -> tuple[list[int], int, int]:
    """Return counts of which no sum is the very percentage."""
    while True:
        length = rng.randint(6, 12)
        found = [rng.randint(0, 300) // (1 + place) ** rng.randint(0, 2) for place in range(length)]
        found[rng.randint(1, 4)] += rng.randint(100, 400)
        found[-2] += rng.randint(1, 9)
        found[-1] = 0
        sums = [100 * sum(found[: place + 1]) for place in range(length)]
        if percent * sum(found) not in sums:
            rate = rng.choice((2, 5, 10, 12, 24, 100)) * 1_000_000
            return found, rate, percent


def _just(rng: random.Random, percent: int) -> tuple[list[int], int, int]:
    """Return two counts or three, of which the first or the second sum is the very percentage."""
    times = rng.choice((1, 2, 4)) if percent == 50 else 1
    reached, rest = percent * times, (100 - percent) * times
    if percent == 56:
        first = rng.randint(1, reached - 1)
        found = [first, reached - first, rest]
    else:
        last = rng.randint(1, rest - 1)
        found = [reached, rest - last, last] if percent < 34 else [reached, rest]
    return found, rng.choice((4, 6, 12)) * 1_000_000, percent


def _all(rng: random.Random, length: int) -> tuple[list[int], int, int]:
    """Return counts without a gap, perhaps with zeros at the end."""
    found = [rng.randint(1, 30) for _ in range(length)]
    return found + [0] * rng.randint(1, 3), rng.choice((4, 6, 12)) * 1_000_000, 100
