"""Questions of unit 04, longest prefix match: the secret ones of 4.5 and 4.6, drawn for each seed.

Every aspect is there for every seed. What falls here and not in public breaks a clause, too.
"""

__all__ = ["level_questions", "spare_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import MASK, PIERS, prefix_of, private, random_bits, text

# 4.5


def level_questions(rng: random.Random) -> list[Question]:
    """Draw routes of up to three bits, of four to six, and of all lengths, up to all there are."""
    questions = []
    for _ in range(6):
        bits = random_bits(rng, 3)
        names = ["", bits[:1], bits[:2], bits, f"{rng.getrandbits(3):03b}"]
        chosen = rng.sample(names, rng.randint(2, 4))
        questions.append(_levels(rng, "first level", [*chosen, bits[:2]]))
    for _ in range(6):
        bits, other, third = (random_bits(rng, 6) for _ in range(3))
        names = [bits[:4], bits[: rng.randint(5, 6)], other[: rng.randint(4, 6)], third]
        questions.append(_levels(rng, "blocks", rng.sample(names, rng.randint(2, 4))))
    for _ in range(6):
        bits, other = random_bits(rng, 6), random_bits(rng, 6)
        names = [bits[: rng.randint(0, 3)], bits[: rng.randint(4, 5)], bits]
        names += [other[: rng.randint(4, 6)], f"{rng.getrandbits(2):02b}"]
        questions.append(_levels(rng, "both levels", names))
    everywhere = [f"{number:03b}" for number in range(8)]
    questions.append(_levels(rng, "first level", everywhere))
    questions.append(_levels(rng, "blocks", [name + "1" for name in everywhere]))
    sixes = [f"{number:06b}" for number in range(64)]
    questions.append(_levels(rng, "both levels", ["", *everywhere, *rng.sample(sixes, 20)]))
    bits = random_bits(rng, 3)
    hop = rng.choice(PIERS)
    same = [(bits + last, hop) for last in ("0", "10", "11")]
    questions.append(Question("blocks", (rng.sample(same, 3),)))
    questions.append(Question("both levels", ([*same[1:], (bits[:1], hop)],)))
    return questions


def _levels(rng: random.Random, aspect: str, names: list[str]) -> Question:
    different = list(dict.fromkeys(names))
    rng.shuffle(different)
    return Question(aspect, ([(name, rng.choice(PIERS[:4])) for name in different],))


# 4.6


def spare_questions(rng: random.Random) -> list[Question]:
    """Draw nested routes with few next hops, and prefixes that longer ones use up.

    Only routes of the first and the third aspect have next hops in common; only those of the second
    and the third are used up.
    """
    questions = []
    for _ in range(3):
        one, other = rng.sample(PIERS, 2)
        for hops in ((one, one, other), (one, other, one), (one, other, other), (one, one, one)):
            routes = list(zip(_chain(rng), hops, strict=True))
            rng.shuffle(routes)
            questions.append(Question("same next hop", (routes,)))
    chain = _chain(rng)
    single = (f"{chain[2].split('/')[0]}/32", other)
    routes = [single, *zip(chain, (one, one, other), strict=True), ("0.0.0.0/0", one)]
    rng.shuffle(routes)
    questions.append(Question("same next hop", (routes,)))
    for parts in ((1, 1), (1, 2, 2), (2, 2, 1), (2, 2, 2, 3, 3), (1, 3, 3, 2)):
        routes = _used_up(rng, parts)
        questions.append(Question("never used", (routes,)))
        questions.append(Question("never used", (routes[:-1],)))
    routes = _used_up(rng, (1, 2, 3, 4, 5, 5))
    routes.pop(rng.choice((4, 5)))
    questions.append(Question("never used", (routes,)))
    routes = _used_up(rng, (2, 2, 2, 2))
    routes.pop(rng.choice((2, 3)))
    questions.append(Question("never used", (routes,)))
    routes = _used_up(rng, (1, 2, 2))
    inner = _inside_of(routes[1][0])
    questions.append(Question("never used", ([*routes[:-1], (inner, "Bank")],)))
    for parts in ((1, 1), (1, 2, 2)):
        routes = _used_up(rng, parts)
        (whole, hop), (part, second), *rest = routes
        questions.append(Question("both at once", ([(whole, hop), (part, hop), *rest],)))
        questions.append(Question("both at once", ([*rest, (part, hop), (whole, hop)],)))
        questions.append(Question("both at once", ([*routes, (_inside_of(part), second)],)))
        questions.append(Question("both at once", ([(one, hop) for one, _ in routes],)))
    return questions


def _chain(rng: random.Random) -> list[str]:
    """Return three nested prefixes."""
    address = private(rng)
    lengths = rng.randint(8, 12), rng.randint(14, 19), rng.randint(21, 27)
    return [prefix_of(address, length) for length in lengths]


def _used_up(rng: random.Random, parts: tuple[int, ...]) -> list[tuple[str, str]]:
    """Return a prefix, and longer ones by so many bits that leave nothing of it."""
    length = rng.randint(9, 26)
    network = private(rng) & ~(MASK >> length)
    piers = rng.sample((*PIERS, "Bell", "Mast"), len(parts) + 1)
    routes, place = [(prefix_of(network, length), piers[0])], network
    for more, pier in zip(parts, piers[1:], strict=True):
        routes.append((f"{text(place)}/{length + more}", pier))
        place += 1 << 32 - length - more
    return routes


def _inside_of(prefix: str) -> str:
    network, length = prefix.split("/")
    return f"{network}/{int(length) + 2}"
