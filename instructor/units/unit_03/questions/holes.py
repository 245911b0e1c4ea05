"""Questions of exercise 3.4: a range as the fewest prefixes, and what is left of it.

"a range" has nothing taken, "what is left" always something.
"""

__all__ = ["HOLES", "hole_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import MASK, ask, prefix_of, text

RANGE = "a range"
LEFT = "what is left"

HOLES = (
    ask(RANGE, "192.168.1.5", "192.168.1.20", []),
    ask(RANGE, "192.0.2.0", "192.0.2.255", []),
    ask(RANGE, "192.0.2.1", "192.0.2.254", []),
    ask(RANGE, "203.0.113.64", "203.0.113.127", []),
    ask(RANGE, "203.0.113.6", "203.0.113.7", []),
    ask(RANGE, "203.0.113.7", "203.0.113.8", []),
    ask(RANGE, "198.51.100.9", "198.51.100.9", []),
    ask(RANGE, "198.51.100.255", "198.51.100.255", []),
    ask(RANGE, "198.51.100.8", "198.51.100.120", []),
    ask(RANGE, "10.1.250.0", "10.2.3.77", []),
    ask(RANGE, "10.0.0.0", "10.0.255.254", []),
    ask(RANGE, "10.128.0.1", "11.0.0.0", []),
    ask(RANGE, "0.0.0.0", "255.255.255.255", []),
    ask(RANGE, "0.0.0.0", "0.0.0.6", []),
    ask(RANGE, "0.0.0.0", "127.255.255.255", []),
    ask(RANGE, "0.0.0.1", "255.255.255.255", []),
    ask(LEFT, "192.0.2.0", "192.0.2.255", ["192.0.2.64/26"]),
    ask(LEFT, "192.0.2.0", "192.0.2.255", ["192.0.2.0/26"]),
    ask(LEFT, "192.0.2.0", "192.0.2.255", ["192.0.2.192/26"]),
    ask(LEFT, "192.0.2.3", "192.0.2.40", ["192.0.2.16/28"]),
    ask(LEFT, "203.0.113.0", "203.0.113.255", ["203.0.113.32/27", "203.0.113.128/26"]),
    ask(LEFT, "203.0.113.9", "203.0.113.200", ["203.0.113.32/28", "203.0.113.48/28"]),
    ask(LEFT, "203.0.113.0", "203.0.113.127", ["203.0.113.96/28", "203.0.113.8/29"]),
    ask(LEFT, "203.0.113.1", "203.0.113.126",
        ["203.0.113.100/30", "203.0.113.9/32", "203.0.113.32/27"]),
    ask(LEFT, "198.51.100.0", "198.51.100.255", ["198.51.100.64/26", "198.51.100.80/28"]),
    ask(LEFT, "198.51.100.0", "198.51.100.255", ["198.51.100.88/29", "198.51.100.64/26"]),
    ask(LEFT, "198.51.100.0", "198.51.100.127", ["198.51.100.32/27", "198.51.100.32/29"]),
    ask(LEFT, "10.24.0.0", "10.31.255.255", ["10.24.0.0/13"]),
    ask(LEFT, "192.0.2.8", "192.0.2.15", ["192.0.2.12/30", "192.0.2.8/30"]),
    ask(LEFT, "10.24.0.0", "10.31.255.255", ["10.24.0.0/19", "10.24.32.0/22"]),
    ask(LEFT, "0.0.0.0", "255.255.255.255", ["10.0.0.0/8", "240.0.0.0/4", "127.0.0.0/8"]),
    ask(LEFT, "10.9.0.0", "10.100.0.0", ["10.10.0.0/16", "10.9.128.0/17", "10.64.0.0/12"]),
)  # fmt: skip


def hole_questions(rng: random.Random) -> list[Question]:
    """Draw ranges of all sizes, with and without something taken."""
    return [*_ranges(rng), *_left(rng)]


def _ranges(rng: random.Random) -> list[Question]:
    drawn = []
    for bits in (5, 6, 8, 12, 16, 24):  # two odd ends
        base = rng.getrandbits(28 - bits) + 1 << bits + 3
        first = base + rng.randint(1, (1 << bits) - 2 | 1)
        drawn.append((first | 1, first + rng.randint(3 << bits - 1, 3 << bits) & ~1))
    for bits in (1, 1, 6, 9, 20):  # a prefix as a whole
        first = rng.getrandbits(31 - bits) + 1 << bits
        drawn.append((first, first + (1 << bits) - 1))
    single = [rng.getrandbits(31) for _ in range(2)]
    drawn += [(one, one) for one in single]
    drawn += [(0, rng.randint(5, 1 << 30)), (0, rng.getrandbits(20) << 3 | 6)]
    drawn += [(rng.randint(1 << 20, 1 << 30), MASK)]
    return [ask(RANGE, text(first), text(last), []) for first, last in drawn]


def _left(rng: random.Random) -> list[Question]:
    questions = []
    for kind in ("one", "one", "start", "end", "in order", "in order", "any order", "any order",
                 "nested", "nested", "nested in order", "all", "all"):  # fmt: skip
        bits = rng.randint(8, 18)
        base = rng.getrandbits(27 - bits) + 1 << bits + 4
        first, last = base + rng.randint(1, 6), base + (16 << bits) - rng.randint(2, 7)
        # Parts of the range, as sixteenths; between any two of them some are free.
        places = sorted(rng.sample(range(1, 15, 2), 3))
        parts = [_inside(rng, base + (place << bits), 32 - bits) for place in places]
        if kind in ("one", "start", "end"):
            parts = parts[1:2]
        if kind == "start":
            first = base + (places[1] << bits)
            parts = [prefix_of(first, 32 - bits)]
        if kind == "end":
            last = base + (places[1] + 1 << bits) - 1
            parts = [prefix_of(last, 32 - bits)]
        if kind == "any order":
            parts = rng.choice(([parts[1], parts[0], parts[2]], parts[::-1]))
        if kind.startswith("nested"):
            outer = prefix_of(base + (places[1] << bits), 32 - bits)
            inner = prefix_of(
                base + (places[1] << bits) + rng.choice((0, 1 << bits - 2)), 34 - bits
            )
            parts = [parts[0], outer, inner, parts[2]]
            if kind == "nested":
                parts = [inner, parts[3], outer, parts[0]]
        if kind == "all":
            first, last = base, base + (2 << bits) - 1
            parts = [prefix_of(base + (place << bits), 32 - bits) for place in (1, 0)]
        questions.append(ask(LEFT, text(first), text(last), parts))
    return questions


def _inside(rng: random.Random, first: int, length: int) -> str:
    """Draw a prefix of some bits more, within the one that begins at an address."""
    longer = rng.randint(length + 1, length + 4)
    return prefix_of(first + rng.getrandbits(32 - length), longer)
