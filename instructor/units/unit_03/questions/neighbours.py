"""Questions of exercise 3.3: who takes whom for a neighbour, and special blocks.

Only "one-sided" has two lengths, only "special blocks" has blocks; there lengths end at octets.
"""

__all__ = ["NEIGHBOURS", "neighbour_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_04.case_parts import ask, prefix_of, private, text

ALIKE = "alike"
ONE_SIDED = "one-sided"
SPECIAL = "special blocks"
RFC_6890 = "RFC 6890, section 2.2.2 (the blocks; short names are ours)"

# RFC 6890, section 2.2.2, tables 1 to 16; later RFCs have added to it.
BLOCKS = [
    ("0.0.0.0/8", "this network"),
    ("10.0.0.0/8", "private 10"),
    ("100.64.0.0/10", "shared"),
    ("127.0.0.0/8", "loopback"),
    ("169.254.0.0/16", "link local"),
    ("172.16.0.0/12", "private 172"),
    ("192.0.0.0/24", "protocol assignments"),
    ("192.0.0.0/29", "DS-Lite"),
    ("192.0.2.0/24", "TEST-NET-1"),
    ("192.88.99.0/24", "6to4 relay"),
    ("192.168.0.0/16", "private 192"),
    ("198.18.0.0/15", "benchmarks"),
    ("198.51.100.0/24", "TEST-NET-2"),
    ("203.0.113.0/24", "TEST-NET-3"),
    ("240.0.0.0/4", "reserved"),
    ("255.255.255.255/32", "limited broadcast"),
]


def _special(own: str, other: str, name: str | None, near: bool = False) -> Question:
    expected = Expected(value=(near, near, name))
    return Question(SPECIAL, (own, other, BLOCKS), RFC_6890, expected)


NEIGHBOURS = (
    ask(ALIKE, "203.0.113.77/26", "203.0.113.100/26", []),
    ask(ALIKE, "203.0.113.77/26", "203.0.113.130/26", []),
    ask(ALIKE, "198.51.100.7/24", "198.51.100.200/24", []),
    ask(ALIKE, "198.51.100.7/24", "198.51.101.7/24", []),
    ask(ALIKE, "10.1.2.255/23", "10.1.3.0/23", []),
    ask(ALIKE, "10.1.1.255/23", "10.1.2.0/23", []),
    ask(ALIKE, "192.0.2.1/31", "192.0.2.0/31", []),
    ask(ALIKE, "192.0.2.1/31", "192.0.2.2/31", []),
    ask(ALIKE, "172.16.37.200/20", "172.16.40.3/20", []),
    ask(ALIKE, "172.16.37.200/20", "172.16.48.200/20", []),
    ask(ALIKE, "10.2.0.1/16", "10.20.0.1/16", []),
    ask(ALIKE, "10.2.0.1/16", "10.2.77.9/16", []),
    ask(ALIKE, "203.0.113.9/0", "10.0.0.1/0", []),
    ask(ALIKE, "192.0.2.9/0", "172.31.0.1/0", []),
    ask(ALIKE, "192.0.2.9/32", "192.0.2.8/32", []),
    ask(ONE_SIDED, "203.0.113.77/26", "203.0.113.200/24", []),
    ask(ONE_SIDED, "203.0.113.200/24", "203.0.113.77/26", []),
    ask(ONE_SIDED, "10.1.2.3/24", "10.1.200.9/16", []),
    ask(ONE_SIDED, "10.1.200.9/16", "10.1.2.3/24", []),
    ask(ONE_SIDED, "192.0.2.66/26", "192.0.2.70/24", []),
    ask(ONE_SIDED, "192.0.2.7/24", "192.0.2.10/28", []),
    ask(ONE_SIDED, "192.0.2.3/25", "192.0.2.40/26", []),
    ask(ONE_SIDED, "198.51.100.9/24", "198.51.101.9/25", []),
    ask(ONE_SIDED, "10.64.0.1/12", "10.80.0.1/11", []),
    ask(ONE_SIDED, "172.16.3.9/22", "172.16.4.9/21", []),
    ask(ONE_SIDED, "203.0.113.5/0", "192.0.2.7/24", []),
    ask(ONE_SIDED, "198.51.100.130/25", "198.51.100.5/29", []),
    _special("203.0.113.9/24", "10.9.8.7/24", "private 10"),
    _special("203.0.113.9/24", "192.0.0.3/24", "DS-Lite"),
    _special("203.0.113.9/24", "192.0.0.9/24", "protocol assignments"),
    _special("203.0.113.9/24", "255.255.255.255/24", "limited broadcast"),
    _special("203.0.113.9/24", "255.255.255.254/24", "reserved"),
    _special("203.0.113.9/24", "172.31.255.255/24", "private 172"),
    _special("203.0.113.9/24", "172.32.0.0/24", None),
    _special("192.0.2.9/24", "100.64.0.1/24", "shared"),
    _special("192.0.2.9/24", "100.63.255.255/24", None),
    _special("192.0.2.9/24", "198.19.0.9/16", "benchmarks"),
    _special("192.0.2.9/24", "192.0.2.200/24", "TEST-NET-1", near=True),
    _special("192.0.2.9/24", "224.0.0.5/24", None),
    ask(SPECIAL, "203.0.113.9/24", "192.0.0.3/24",
        [("192.0.0.0/29", "DS-Lite"), ("192.0.0.0/8", "all of 192"), ("192.0.0.0/24", "IETF")]),
    ask(SPECIAL, "203.0.113.9/24", "192.0.0.4/24",
        [("192.0.0.0/24", "IETF"), ("192.0.0.0/29", "DS-Lite"), ("192.0.0.0/8", "all of 192")]),
    ask(SPECIAL, "192.0.2.1/24", "255.255.255.255/24",
        [("255.255.255.255/32", "limited broadcast"), ("240.0.0.0/4", "reserved")]),
    ask(SPECIAL, "203.0.113.9/24", "203.0.113.8/24",
        [("0.0.0.0/0", "all"), ("203.0.113.8/29", "8")]),
    ask(SPECIAL, "10.3.0.9/16", "10.3.7.7/16", [("10.0.0.0/9", "half"), ("10.0.0.0/8", "private")]),
    ask(SPECIAL, "203.0.113.9/24", "198.51.100.9/24", [("203.0.113.0/24", "TEST-NET-3")]),
    ask(SPECIAL, "203.0.113.9/24", "198.51.100.9/24", []),
    ask(SPECIAL, "203.0.113.9/24", "198.51.100.9/24", [("0.0.0.0/0", "all")]),
)  # fmt: skip


def neighbour_questions(rng: random.Random) -> list[Question]:
    """Draw pairs of hosts with one length or two, and hosts in blocks of three lengths."""
    return [*_alike(rng), *_one_sided(rng), *_special_questions(rng)]


def _alike(rng: random.Random) -> list[Question]:
    drawn = []
    for low, high in ((8, 8), (9, 15), (9, 15), (17, 23), (17, 23), (24, 24), (25, 30), (25, 30)):
        length = rng.randint(low, high)
        own = private(rng)
        drawn += [(own, _near(rng, own, length), length), (own, _far(rng, own, length), length)]
    own = private(rng)
    drawn += [(own, rng.randint(11 << 24, MOST), 0), (own, rng.randint(11 << 24, MOST), 0)]
    return [ask(ALIKE, f"{text(a)}/{length}", f"{text(b)}/{length}", []) for a, b, length in drawn]


MOST = 0xDFFFFFFF  # the last address that may be a single host's


def _one_sided(rng: random.Random) -> list[Question]:
    drawn = []
    for low, high in ((8, 15), (16, 22), (16, 22), (23, 27)):
        wide, narrow = rng.randint(low, high), rng.randint(high + 1, 30)
        for _ in range(2):
            own = private(rng)
            between = own ^ 1 << 32 - rng.randint(wide + 1, narrow)  # in the wide one alone
            pair = [(own, narrow), (between, wide)]
            drawn.append(pair if rng.random() < 0.5 else pair[::-1])
    for turned in (1, -1):
        own, wide, narrow = private(rng), rng.randint(10, 20), rng.randint(21, 28)
        drawn.append([(own, wide), (_near(rng, own, narrow), narrow)][::turned])
        drawn.append([(own, wide), (_far(rng, own, wide), narrow)][::turned])
        between = own ^ 1 << 32 - rng.randint(wide + 1, narrow)
        drawn.append([(own, narrow), (between, wide)][::turned])
    return [ask(ONE_SIDED, *(f"{text(one)}/{length}" for one, length in pair), [])
            for pair in drawn]  # fmt: skip


def _special_questions(rng: random.Random) -> list[Question]:
    """Draw three blocks around an address in every order, two, one and none, and others beside."""
    questions = []
    for order in ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0),
                  (0, 1), (1, 0), (0, 2), (2, 0), (1, 2), (0,), (1,), (2,), ()):  # fmt: skip
        other, own = private(rng), _elsewhere(rng)
        lengths = [rng.randint(4, 9), rng.randint(10, 18), rng.randint(25, 31)]
        names = rng.sample(NAMES, 3)
        blocks = [(prefix_of(other, lengths[at]), names[at]) for at in order]
        beside = [(prefix_of(_far(rng, other, length), length), f"{length} bits beside")
                  for length in (8, rng.choice((12, 20)), rng.choice((23, 29)))]  # fmt: skip
        beside.append((prefix_of(own, 16), "one's own"))
        for block in beside if rng.random() < 0.8 else ():
            blocks.insert(rng.randint(0, len(blocks)), block)
        questions.append(ask(SPECIAL, f"{text(own)}/16", f"{text(other)}/16", blocks))
    for length in (9, 27, 29):
        other = private(rng)
        block = (prefix_of(other, length), rng.choice(NAMES))
        own = _near(rng, other, 24)
        questions.append(ask(SPECIAL, f"{text(own)}/24", f"{text(other)}/24", [block]))
    everywhere = ("0.0.0.0/0", rng.choice(NAMES))
    hosts = (f"{text(one)}/16" for one in (_elsewhere(rng), private(rng)))
    questions.append(ask(SPECIAL, *hosts, [everywhere]))
    return questions


NAMES = ("harbour", "islands", "boats", "tickets", "weather")


def _elsewhere(rng: random.Random) -> int:
    return 172 << 24 | 16 << 16 | rng.getrandbits(20)


def _near(rng: random.Random, address: int, length: int) -> int:
    """Draw another address with the same first bits, and another bit right behind them."""
    return address ^ 1 << 31 - length ^ rng.getrandbits(31 - length)


def _far(rng: random.Random, address: int, length: int) -> int:
    """Draw an address in which one of the first bits differs, mostly one of the last of them."""
    return address ^ 1 << 32 - rng.randint(max(1, length - 4), length)
