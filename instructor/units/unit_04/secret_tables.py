"""Questions of unit 04, longest prefix match: the secret ones of 4.4 to 4.6, drawn for each seed.

They are of the same kinds as the public ones, and every aspect is there for every seed.
"""

__all__ = ["level_questions", "spare_questions", "table_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import (
    MASK,
    PIERS,
    other_pier,
    prefix_of,
    private,
    random_bits,
    steps,
    text,
)

# 4.4


def table_questions(rng: random.Random) -> list[Question]:
    """Draw sequences of changes and look-ups around nested prefixes."""
    return [
        question
        for make in (_inserted, _inserted, _again, _again, _withdrawn, _withdrawn, _not_there)
        for question in make(rng)
    ]


def _table(rng: random.Random) -> tuple[list[tuple[str, str]], list[str]]:
    """Return three nested prefixes with piers, and addresses inside one, two and all three."""
    lengths = [rng.randint(8, 12), rng.randint(14, 19), rng.randint(21, 27)]
    address = private(rng)
    piers = rng.sample(PIERS, 3)
    routes = [
        (prefix_of(address, length), pier) for length, pier in zip(lengths, piers, strict=True)
    ]
    inside = [text(address ^ 1 << 32 - longer) for longer in (*lengths[1:], 32)]
    return routes, inside


def _inserted(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    inserts = [("insert", *route) for route in routes]
    rng.shuffle(inserts)
    finds = [("look_up", address) for address in inside]
    prefix, pier = routes[1]
    written = f"{inside[2]}/{prefix.partition('/')[2]}"
    return [
        steps("insert and look up", *inserts, *finds, ("look_up", "192.0.2.1")),
        steps("insert and look up", ("insert", *routes[0]), ("insert", *routes[2]), *finds),
        steps("insert and look up", ("insert", written, pier), *finds),
    ]


def _again(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    prefix, pier = routes[0]
    other = other_pier(rng, pier)
    find = ("look_up", inside[0])
    twice = (("insert", prefix, pier), ("insert", prefix, other))
    return [
        steps("the same prefix again", *twice, find),
        steps("the same prefix again", *twice, ("withdraw", prefix), find),
        steps("the same prefix again", *twice, ("insert", *routes[2]), find, ("insert", prefix,
               pier), find, ("withdraw", prefix), find),
    ]  # fmt: skip


def _withdrawn(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    inserts = [("insert", *route) for route in routes]
    rng.shuffle(inserts)
    finds = [("look_up", address) for address in inside]
    return [steps("withdraw", *inserts, ("withdraw", prefix), *finds) for prefix, _ in routes]


def _not_there(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    wide, middle, narrow = routes
    insert, find = ("insert", *wide), ("look_up", inside[0])
    return [
        steps("not there", insert, find, ("withdraw", middle[0])),
        steps("not there", insert, ("insert", *narrow), ("withdraw", middle[0])),
        steps("not there", ("insert", *narrow), ("withdraw", wide[0])),
        steps("not there", insert, ("withdraw", wide[0]), ("withdraw", wide[0])),
        steps("not there", insert, ("withdraw", wide[0]), insert, find),
        steps("not there", ("insert", *middle), insert, ("withdraw", middle[0]), find),
    ]


# 4.5


def level_questions(rng: random.Random) -> list[Question]:
    """Draw routes of up to three bits, and routes of up to six."""
    questions = []
    for _ in range(7):
        bits = random_bits(rng, 3)
        names = ["", bits[:1], bits[:2], bits, f"{rng.getrandbits(3):03b}"]
        chosen = rng.sample(names, rng.randint(2, 4))
        questions.append(_levels(rng, "first level", [*chosen, bits[:2]]))
    for _ in range(7):
        bits, other = random_bits(rng, 6), random_bits(rng, 6)
        names = [bits[: rng.randint(0, 3)], bits[: rng.randint(4, 5)], bits]
        names += [other[: rng.randint(4, 6)], f"{rng.getrandbits(2):02b}"]
        questions.append(_levels(rng, "second level", names))
    return questions


def _levels(rng: random.Random, aspect: str, names: list[str]) -> Question:
    different = list(dict.fromkeys(names))
    rng.shuffle(different)
    return Question(aspect, ([(name, rng.choice(PIERS[:4])) for name in different],))


# 4.6


def spare_questions(rng: random.Random) -> list[Question]:
    """Draw nested routes with few next hops, and prefixes that longer ones use up."""
    questions = []
    for _ in range(3):
        one, other = rng.sample(PIERS, 2)
        chain = [prefix for prefix, _ in _table(rng)[0]]
        for hops in ((one, one, other), (one, other, one), (one, other, other)):
            routes = list(zip(chain, hops, strict=True))
            rng.shuffle(routes)
            questions.append(Question("same next hop", (routes,)))
    for quarters in (False, True, True):
        routes = _used_up(rng, quarters)
        questions.append(Question("never used", (routes,)))
        questions.append(Question("never used", (routes[:-1],)))
    for quarters in (False, True):
        routes = _used_up(rng, quarters)
        (whole, hop), (part, _), *rest = routes
        questions.append(Question("both at once", ([(whole, hop), (part, hop), *rest],)))
        inner = _inside_of(part)
        questions.append(Question("both at once", ([*routes, (inner, routes[1][1])],)))
    return questions


def _used_up(rng: random.Random, quarters: bool) -> list[tuple[str, str]]:
    """Return a prefix, and longer ones with other next hops that leave nothing of it."""
    length = rng.randint(9, 26)
    network = private(rng) & ~(MASK >> length)
    sizes = [1, 2, 2] if quarters else [1, 1]
    piers = rng.sample(PIERS, len(sizes) + 1)
    routes, place = [(prefix_of(network, length), piers[0])], network
    for more, pier in zip(sizes, piers[1:], strict=True):
        routes.append((prefix_of(place, length + more), pier))
        place += 1 << 32 - length - more
    return routes


def _inside_of(prefix: str) -> str:
    network, length = prefix.split("/")
    return f"{network}/{int(length) + 2}"
