"""Questions of exercise 3.5: the same with fewer routes.

"One next hop" has one in each list, "several next hops" at least two.
"""

__all__ = ["AGGREGATES", "aggregate_questions"]

import random
from collections.abc import Sequence

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import PIERS, ask, printed, private, text

ONE = "one next hop"
SEVERAL = "several next hops"
Routes = list[tuple[str, str]]

# RFC 4632, section 6.1: the customers of a provider. Its figure prints C4 as a /20, which is no
# prefix there; its text has the /22. That the two below are the fewest: collapse_addresses agrees.
CUSTOMERS = [
    ("10.24.0.0/21", "PA"),
    ("10.24.16.0/20", "PA"),
    ("10.24.8.0/22", "PA"),
    ("10.24.12.0/22", "PA"),
    ("10.24.32.0/23", "PA"),
    ("10.24.34.0/23", "PA"),
]
FEWEST = [("10.24.0.0/19", "PA"), ("10.24.32.0/22", "PA")]
RFC_4632 = "RFC 4632, section 6.1 (the plan), aggregated by ipaddress.collapse_addresses"


def _one(*prefixes: str) -> Question:
    return ask(ONE, [(prefix, "Reed") for prefix in prefixes])


def _several(*pairs: str) -> Question:
    """Ask about routes, each as a prefix, a blank, and a next hop."""
    return ask(SEVERAL, [(prefix, hop) for prefix, hop in (pair.split() for pair in pairs)])


AGGREGATES = (
    printed(ONE, RFC_4632, FEWEST, CUSTOMERS),
    ask(ONE, []),
    _one("203.0.113.0/25", "203.0.113.128/25"),
    _one("192.0.2.64/26", "192.0.2.0/26", "198.51.100.9/32"),
    _one("10.26.0.0/15", "10.24.0.0/15", "10.25.0.0/16"),
    _one("10.9.0.0/16", "10.10.0.0/16", "10.10.64.0/18"),  # neighbours, but no halves
    _one("10.1.0.0/16", "10.2.0.0/16", "10.3.0.0/16", "10.20.0.0/16"),
    _one("198.51.100.192/26", "198.51.100.0/26", "198.51.100.128/26", "198.51.100.64/26"),
    _one("192.0.2.0/27", "192.0.2.128/25", "192.0.2.32/27", "192.0.2.64/26"),
    _one("10.7.0.0/18", "10.7.64.0/18", "10.7.128.0/17"),
    _one("203.0.113.160/28", "203.0.113.16/28", "203.0.113.96/28"),
    _one("192.0.2.128/25", "192.0.2.0/24"),
    _one("0.0.0.0/1", "128.0.0.0/1"),
    _one("192.0.2.9/32", "192.0.2.8/32", "192.0.2.11/32", "192.0.2.13/32", "192.0.2.12/32"),
    _one("10.16.0.0/12", "10.40.0.0/16", "10.20.0.0/16"),  # the first octet says too little
    _one("172.16.0.0/14", "172.24.0.0/15", "172.18.0.0/16", "172.21.5.0/24"),
    _one("10.128.0.0/9", "10.0.0.0/8", "10.9.0.0/16", "10.9.8.0/24", "9.0.0.0/8"),
    _several("10.0.0.0/8 Reed", "10.1.0.0/16 Gull", "10.1.2.0/24 Reed", "10.1.3.0/24 Reed"),
    _several("10.0.0.0/8 Reed", "10.1.0.0/16 Gull", "10.1.2.0/24 Gull", "10.2.0.0/16 Reed"),
    _several("203.0.113.0/25 Reed", "203.0.113.128/25 Gull", "192.0.2.0/25 Reed",
             "192.0.2.128/25 Reed"),
    _several("10.8.0.0/13 Gull", "10.12.0.0/14 Reed", "10.8.0.0/14 Reed"),
    _several("10.64.0.0/10 Gull", "10.96.0.0/11 Reed", "10.64.0.0/11 Reed", "10.0.0.0/8 Reed"),
    _several("10.5.0.0/16 Gull", "10.5.0.0/18 Reed", "10.5.0.0/20 Gull", "10.5.16.0/20 Gull"),
    _several("10.5.0.0/16 Gull", "10.5.0.0/17 Lantern", "10.5.0.0/18 Reed", "10.5.64.0/19 Reed"),
    _several("192.0.2.0/26 Reed", "192.0.2.64/26 Reed", "192.0.2.128/26 Gull",
             "192.0.2.192/26 Reed"),
    _several("10.9.0.0/16 Reed", "10.10.0.0/16 Reed", "10.8.0.0/16 Gull", "10.11.0.0/16 Gull",
             "10.10.7.0/24 Reed"),
    _several("10.8.0.0/17 Gull", "10.11.0.0/16 Reed", "10.8.128.0/18 Gull", "10.8.192.0/18 Gull"),
    _several("10.6.3.0/24 Gull", "10.4.0.0/14 Reed", "10.9.0.0/16 Gull"),
    _several("10.5.0.0/18 North", "10.5.0.0/16 Gull", "10.5.0.0/17 Reed"),
    _several("198.51.100.7/32 Lantern", "10.6.0.0/17 Reed", "10.6.128.0/17 Reed"),
    _several("0.0.0.0/0 North", "10.0.0.0/9 Gull", "10.128.0.0/9 Gull", "9.0.0.0/8 North"),
    _several("10.4.0.0/14 Reed", "10.16.0.0/15 Gull", "10.18.0.0/15 Reed", "10.7.0.0/16 Reed"),
    _several("10.0.0.0/8 North", "10.1.0.0/16 Reed", "10.1.2.0/24 Gull", "10.1.2.128/25 Reed"),
    _several("192.0.2.64/27 Reed", "192.0.2.0/24 Reed", "192.0.2.64/26 Gull", "192.0.2.0/26 Gull",
             "192.0.2.72/29 Gull"),
    _several("10.6.0.0/16 Reed", "10.7.0.0/16 Reed", "10.7.0.0/17 Gull", "10.7.128.0/17 Gull"),
    _several("198.51.100.0/25 Gull", "198.51.100.128/25 Gull", "198.51.100.0/26 Lantern",
             "198.51.100.64/26 Lantern", "198.51.100.200/29 Gull"),
    _several("10.32.0.0/12 Reed", "10.32.0.0/13 Reed", "10.40.0.0/13 Gull", "10.32.0.0/14 Reed"),
)  # fmt: skip


def aggregate_questions(rng: random.Random) -> list[Question]:
    """Draw small lists, one or two for each thing that may happen, and a few large ones."""
    questions = []
    for shape in (*ONE_HOP, *ONE_HOP):
        questions.append(_drawn(rng, ONE, shape, (0,)))
    for shape in (*SEVERAL_HOPS, *SEVERAL_HOPS):
        questions.append(_drawn(rng, SEVERAL, shape, (0, 1, 2)))
    for aspect, hops in ((ONE, PIERS[:1]), (SEVERAL, PIERS[:2]), (SEVERAL, PIERS[:3])):
        questions.append(ask(aspect, _large(rng, hops)))
    return questions


# A shape is a list of bits and a number for a next hop: what follows the bits of some prefix.
Shape = Sequence[tuple[str, int]]
ONE_HOP: tuple[Shape, ...] = (
    (("0", 0), ("1", 0)),
    (("00", 0), ("01", 0), ("10", 0), ("11", 0)),
    (("0", 0), ("10", 0), ("110", 0), ("111", 0)),
    (("001", 0), ("010", 0), ("0101", 0)),
    (("011", 0), ("100", 0), ("1", 0), ("0001", 0)),
    (("", 0), ("01", 0), ("0110", 0), ("0111", 0)),
    (("0", 0), ("00", 0), ("010", 0), ("10", 0)),
    (("00", 0), ("0101", 0), ("11", 0), ("1101", 0), ("0100", 0)),
    (("0001", 0), ("0010", 0), ("0011", 0), ("1100", 0), ("1101", 0)),
    (("000", 0), ("011", 0), ("110", 0)),
)
SEVERAL_HOPS: tuple[Shape, ...] = (
    (("", 0), ("01", 1), ("0110", 0), ("10", 0)),
    (("", 0), ("01", 1), ("0110", 1), ("00", 2)),
    (("", 0), ("01", 1), ("0111", 2), ("01110", 0), ("1", 0)),
    (("0", 0), ("1", 1), ("00", 0)),
    (("", 0), ("0", 1), ("1", 1)),
    (("", 1), ("0", 0), ("00", 1), ("01", 1), ("11", 1)),
    (("", 0), ("0", 1), ("00", 2), ("0000", 1)),
    (("00", 0), ("01", 0), ("10", 1), ("11", 0)),
    (("001", 0), ("010", 0), ("1", 1), ("000", 1)),
    (("", 0), ("00", 0), ("000", 1), ("001", 1), ("01", 2)),
    (("00", 0), ("010", 0), ("011", 0), ("1", 1), ("1010", 0)),
    (("0", 1), ("1", 1), ("00", 0), ("01", 0)),
    (("", 0), ("0", 1), ("00", 2)),
    (("", 0), ("01", 1), ("110", 0)),
    (("000", 0), ("001", 0), ("01", 0), ("11", 1)),
    (("", 0), ("01", 1), ("0101", 2), ("01010", 1), ("010100", 1), ("11", 1)),
)


def _drawn(rng: random.Random, aspect: str, shape: Shape, used: Sequence[int]) -> Question:
    """Put a shape behind some prefix, with names for its next hops, in any order."""
    hops = rng.sample(PIERS, max(used) + 1)
    length = rng.choice((*range(8, 15), *range(17, 23), 25, 26))
    routes = _placed(private(rng), length, shape, hops)
    rng.shuffle(routes)
    return ask(aspect, routes)


def _placed(address: int, length: int, shape: Shape, hops: Sequence[str]) -> Routes:
    network = address >> 32 - length << 32 - length
    return [
        (f"{text(network | int(bits or '0', 2) << 32 - length - len(bits))}/{length + len(bits)}",
         hops[hop])
        for bits, hop in shape
    ]  # fmt: skip


def _large(rng: random.Random, hops: Sequence[str]) -> Routes:
    """Return 60 routes near each other: many of them are halves, or lie in others."""
    network = private(rng) >> 20 << 20
    found: dict[str, str] = {}
    while len(found) < 60:
        length = rng.randint(15, 19)
        number = network | rng.getrandbits(length - 12) << 32 - length
        found[f"{text(number)}/{length}"] = rng.choice(hops)
    return list(found.items())
