"""Questions of exercise 3.6: sizes, places, and plans that cannot be made.

"sizes" has one pier, nothing kept, and room to spare. In the others something is kept and no number
of hosts is next to a power of two, so that sizes are no matter there. In "places" all find one. In
"does not fit" needs come with the largest first, kept prefixes with the lowest first, and where
there is a plan no two holes and no two needs are alike.
"""

__all__ = ["PLANS", "plan_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_03.answers import make_plan
from instructor.units.unit_04.case_parts import PIERS, ask, prefix_of

SIZES = "sizes"
PLACES = "places"
NO_FIT = "does not fit"

KEPT = ["192.0.2.0/26", "192.0.2.192/26"]
ODD = ["203.0.113.0/27", "203.0.113.64/27", "203.0.113.128/27", "203.0.113.192/27"]
TWICE_ODD = [f"10.24.{third}.{last}/27" for third in (0, 1) for last in (32, 96, 160, 224)]
# Free are 64 addresses, 32 and 16.
UNLIKE = ["198.51.100.96/28", "198.51.100.128/25"]

PLANS = (
    *(ask(SIZES, block, [], [("Reed", hosts)]) for block, hosts in (
        ("192.0.2.0/24", 50), ("192.0.2.0/24", 1), ("192.0.2.0/24", 2), ("192.0.2.0/24", 3),
        ("203.0.113.64/26", 6), ("203.0.113.64/26", 7), ("198.51.100.0/24", 62),
        ("198.51.100.0/24", 63), ("198.51.100.0/24", 64), ("10.24.0.0/21", 254),
        ("10.24.0.0/21", 255), ("10.24.0.0/21", 256), ("10.24.0.0/21", 1000), ("10.8.0.0/13", 510),
        ("10.8.0.0/13", 511), ("203.0.113.32/30", 1), ("203.0.113.32/30", 2),
    )),
    # Two that need 64 each: which of them gets the smaller hole?
    ask(PLACES, "198.51.100.0/24", ["198.51.100.64/27", "198.51.100.96/27"],
        [("Reed", 50), ("Gull", 40)]),
    ask(PLACES, "198.51.100.0/24", ["198.51.100.0/26"], [("Reed", 40), ("Gull", 50)]),
    ask(PLACES, "203.0.113.0/24", ["203.0.113.64/26", "203.0.113.16/28"],
        [("Reed", 12), ("Gull", 10)]),
    ask(PLACES, "203.0.113.0/24", ["203.0.113.64/26", "203.0.113.16/28"],
        [("Reed", 10), ("Gull", 12)]),
    # One hole, of which something is left.
    ask(PLACES, "192.0.2.0/24", ["192.0.2.0/25", "192.0.2.128/26"], [("Reed", 20), ("Gull", 12)]),
    # The smallest hole is not the lowest; two are alike.
    ask(PLACES, "192.0.2.0/24", ["192.0.2.128/26", "192.0.2.192/27"], [("Reed", 20)]),
    ask(PLACES, "192.0.2.0/24", ["192.0.2.64/26", "192.0.2.128/27"], [("North", 9)]),
    ask(PLACES, "192.0.2.0/24", KEPT, [("Reed", 50)]),
    ask(PLACES, "192.0.2.0/24", KEPT, [("Reed", 20), ("North", 9)]),
    # What is kept: one, and several in any order.
    ask(PLACES, "10.24.0.0/22", ["10.24.0.0/23"], [("Lantern", 100)]),
    ask(PLACES, "192.0.2.0/24", ["192.0.2.192/26", "192.0.2.0/26"], [("Gull", 40)]),
    ask(PLACES, "192.0.2.0/24", ["192.0.2.96/27", "192.0.2.0/27", "192.0.2.64/28"],
        [("Gull", 25), ("Reed", 11)]),
    # The largest come last in the needs.
    ask(PLACES, "203.0.113.0/24", ["203.0.113.0/28", "203.0.113.16/28"],
        [("Reed", 11), ("Gull", 100)]),
    ask(PLACES, "203.0.113.0/24", ["203.0.113.0/25"], [("Reed", 11), ("Gull", 50)]),
    ask(PLACES, "192.0.2.0/24", ["192.0.2.0/26", "192.0.2.64/26"],
        [("Reed", 11), ("Gull", 26), ("North", 50)]),
    ask(PLACES, "192.0.2.0/24", ["192.0.2.128/26", "192.0.2.192/26"],
        [("Gull", 12), ("Plover", 10), ("Lantern", 55)]),
    ask(PLACES, "203.0.113.0/24", ["203.0.113.0/27", "203.0.113.64/27"],
        [("Gull", 11), ("Reed", 26), ("North", 50)]),
    ask(PLACES, "203.0.113.0/24", ["203.0.113.32/27", "203.0.113.192/28"],
        [("North", 5), ("Plover", 20), ("Reed", 50), ("Gull", 12)]),
    ask(PLACES, "10.24.0.0/20", ["10.24.4.0/24", "10.24.2.0/23"],
        [("Reed", 300), ("Gull", 200), ("North", 900), ("Lantern", 150)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("Reed", 40)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("North", 40), ("Reed", 20)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("Gull", 100)]),
    ask(NO_FIT, "10.24.0.0/23", TWICE_ODD, [("Gull", 100), ("Reed", 40)]),
    ask(NO_FIT, "10.24.0.0/23", TWICE_ODD, [("Lantern", 110), ("North", 50), ("Reed", 20)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("Gull", 100), ("Reed", 20)]),
    ask(NO_FIT, "192.0.2.0/25", ["192.0.2.0/26", "192.0.2.64/26"], [("Reed", 1)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("Reed", 300)]),
    ask(NO_FIT, "203.0.113.0/24", ODD, [("Gull", 100), ("Lantern", 60)]),
    ask(NO_FIT, "10.24.0.0/23", TWICE_ODD, [("Gull", 120), ("Reed", 110), ("North", 100)]),
    ask(NO_FIT, "10.24.0.0/23", TWICE_ODD, [("Curlew", 600)]),
    ask(NO_FIT, "203.0.113.0/24", ODD,
        [("Reed", 20), ("Gull", 18), ("North", 19), ("Plover", 21), ("Curlew", 12)]),
    ask(NO_FIT, "203.0.113.0/24", ODD,
        [("Reed", 20), ("Gull", 18), ("North", 19), ("Plover", 21), ("Curlew", 17)]),
    ask(NO_FIT, "198.51.100.0/24", UNLIKE, [("Reed", 50), ("Gull", 20), ("North", 9)]),
    ask(NO_FIT, "198.51.100.0/24", UNLIKE, [("Gull", 40), ("Reed", 25), ("Plover", 12)]),
    ask(NO_FIT, "198.51.100.0/24", UNLIKE, [("Gull", 50), ("Reed", 20)]),
    ask(NO_FIT, "198.51.100.0/24", UNLIKE, [("Lantern", 50)]),
)  # fmt: skip


def plan_questions(rng: random.Random) -> list[Question]:
    """Draw single piers, plans in blocks with holes of several sizes, and holes of one size."""
    return [*_sizes(rng), *_places(rng), *_no_fit(rng)]


def _sizes(rng: random.Random) -> list[Question]:
    edges = [2**bits - less for bits in rng.sample(range(3, 10), 3) for less in (2, 1, 0)]
    hosts = [1, 2, 1, 2, *edges, rng.randint(3, 6), rng.randint(600, 1000)]
    return [
        ask(SIZES, prefix_of(10 << 24 | rng.getrandbits(24), rng.randint(18, 21)), [],
            [(rng.choice(PIERS), count)])
        for count in hosts
    ]  # fmt: skip


def _places(rng: random.Random) -> list[Question]:
    """Draw blocks of 64 parts, of which some are kept, and needs of several sizes that all fit."""
    questions: list[Question] = []
    counts = [1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 3, 4, 4]
    while len(questions) < len(counts):
        count = counts[len(questions)]
        bits = rng.randint(4, 6)  # of one part
        base = rng.getrandbits(18 - bits) << bits + 6 | 10 << 24
        taken = rng.choice(_TAKEN if rng.random() < 0.6 else _ONE_HOLE)
        kept = [prefix_of(base + (place << bits), 32 - bits + shorter) for place, shorter in taken]
        rng.shuffle(kept)
        more = sorted(
            (rng.choice((0, 0, 1, 1, 2)) for _ in range(count)), reverse=rng.random() < 0.4
        )
        needs = [
            *zip(rng.sample(PIERS, count), (_hosts(rng, bits + one) for one in more), strict=True)
        ]
        block = prefix_of(base, 26 - bits)
        if not make_plan(block, kept, needs)[1]:
            questions.append(ask(PLACES, block, kept, needs))
    return questions


# Of 64 parts, what is kept: by its first part, and how many bits it is longer than one part.
# First with holes of one part, of two and more; then with one hole alone.
_TAKEN = tuple(
    tuple((place, 0) for place in places)
    for places in (
        (2, 9, 13, 30, 33, 52), (6, 17, 20, 35, 44), (9, 14, 18, 40, 61), (5, 11, 24, 39),
        (1, 22, 45), (0, 13), (12, 25, 51),
    )
)  # fmt: skip
_ONE_HOLE = (((0, -5),), ((32, -5),), ((0, -4), (16, -4)), ((0, -5), (32, -4)), ((48, -4), (0, -5)))


def _hosts(rng: random.Random, bits: int) -> int:
    """Draw hosts who need so many bits, whatever is counted along."""
    return rng.randint((1 << bits - 1) + 1, min((1 << bits) - 4, 1000))


def _no_fit(rng: random.Random) -> list[Question]:
    """Draw blocks with holes that are all alike: too much, no hole; and unlike ones: enough."""
    questions = [_alike(rng, kind) for kind in (
        "large", "two large", "two large", "large and small", "large and small", "more", "one more",
        "crowd", "crowd", "huge", "huge")]  # fmt: skip
    return questions + [_unlike(rng, count) for count in (3, 3, 3, 2, 2, 1)]


def _alike(rng: random.Random, kind: str) -> Question:
    """Draw a block of 16 parts of which every second one is kept."""
    bits, odd = rng.randint(4, 5), rng.getrandbits(1)
    base = rng.getrandbits(20 - bits) << bits + 4 | 10 << 24
    kept = [prefix_of(base + (2 * place + odd << bits), 32 - bits) for place in range(8)]
    sizes = {
        "large": [bits + rng.randint(1, 2)],
        "two large": [bits + 2, bits + 1],
        "large and small": [bits + rng.randint(1, 2), bits],
        "more": [bits + 2, bits + 2, bits],
        "one more": [bits] * 9,
        "crowd": [bits + 2] * 3,
        "huge": [bits + 5 - rng.getrandbits(1), bits],
    }[kind]
    needs = _needs(rng, sizes)
    if kind == "crowd":  # more hosts than are free
        needs = [(pier, (1 << bits + 2) - rng.randint(4, 7)) for pier, _ in needs]
    return ask(NO_FIT, prefix_of(base, 28 - bits), kept, needs)


def _unlike(rng: random.Random, count: int) -> Question:
    """Draw a block of 16 parts with holes of 4 parts, 2 and 1, and some of just that size."""
    bits = rng.randint(4, 6)
    base = rng.getrandbits(20 - bits) << bits + 4 | 10 << 24
    four, two, one = rng.sample(range(4), 3)  # the quarters in which they lie
    kept = []
    for quarter in range(4):
        start = base + (4 * quarter << bits)
        if quarter == two:
            kept.append(prefix_of(start, 31 - bits))
        elif quarter == one:
            kept += [prefix_of(start, 31 - bits), prefix_of(start + (3 << bits), 32 - bits)]
        elif quarter != four:
            kept.append(prefix_of(start, 30 - bits))
    return ask(NO_FIT, prefix_of(base, 28 - bits), kept,
               _needs(rng, [bits + 2, bits + 1, bits][:count]))  # fmt: skip


def _needs(rng: random.Random, sizes: list[int]) -> list[tuple[str, int]]:
    piers = rng.sample((*PIERS, "Sandpiper", "Ticket Office", "Weather Mast"), len(sizes))
    return [(pier, _hosts(rng, size)) for pier, size in zip(piers, sizes, strict=True)]
