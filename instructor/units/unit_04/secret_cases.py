"""Questions of unit 04, longest prefix match: the secret ones of 4.1 to 4.3, drawn for each seed.

Every aspect is there for every seed. What falls here and not in public breaks a clause, too.
"""

__all__ = ["cover_questions", "list_questions", "walk_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import (
    MASK,
    PIERS,
    prefix_of,
    private,
    random_bits,
    text,
    trie_of,
)

# 4.1


def cover_questions(rng: random.Random) -> list[Question]:
    """Draw prefixes with an address inside, and with one that just lies outside.

    A prefix with host bits and an address inside tests host bits alone; with one outside, the cut.
    """
    questions = [_text_trap(rng)]
    for length in (8, 16, 24):
        network = private(rng) & ~(MASK >> length)
        inside = network | rng.randint(1, (MASK >> length) - 1)
        outside = inside ^ 1 << 32 - rng.randint(length - 7, length - 1)
        for address in (inside, outside):
            questions.append(_covers("whole octets", network, length, address))
    for low, high in ((9, 15), (17, 23), (25, 31), (1, 7)):
        length = rng.randint(low, high)
        network = private(rng) & ~(MASK >> length)
        last = network | MASK >> length
        for address in (
            network,
            last,
            rng.randint(network, last),
            last + 1 & MASK,
            rng.randint(network, last) ^ 1 << 32 - rng.randint(max(1, length - 5), length),
        ):
            questions.append(_covers("inside an octet", network, length, address))
        written = network | rng.randint(1, MASK >> length)
        questions.append(_covers("inside an octet", written, length, network ^ 1 << 32 - length))
        questions.append(_covers("edges", written, length, rng.randint(network, last)))
    for shown in (0, private(rng)):
        questions.append(_covers("edges", shown, 0, rng.getrandbits(31)))
    for address in (private(rng) for _ in range(3)):
        for other in (address, address ^ 1, address ^ 1 << rng.randint(1, 31)):
            questions.append(_covers("edges", address, 32, other))
    return questions


def _covers(aspect: str, written: int, length: int, address: int) -> Question:
    return Question(aspect, (f"{text(written)}/{length}", text(address)))


def _text_trap(rng: random.Random) -> Question:
    """Put an address whose text begins as the prefix does, but whose number does not."""
    digit = rng.randint(1, 9)
    longer = f"10.{digit}{rng.randint(0, 9)}.{rng.randint(0, 255)}.9"
    return Question("whole octets", (f"10.{digit}.0.0/16", longer))


# 4.2


def list_questions(rng: random.Random) -> list[Question]:
    """Draw nested routes in any order, with others in between.

    Only the first aspect has matches of several lengths, only the third equal prefixes.
    """
    questions = []
    for most in (28, 28, 28, 32, 32):
        address = private(rng)
        lengths = [rng.randint(7, 9), *sorted(rng.sample(range(10, most), 2))]
        routes = _nested(rng, address, [0, *lengths, most] if most == 32 else lengths)
        routes += _elsewhere(rng, address, 2)
        rng.shuffle(routes)
        questions.append(_listed("longest prefix", routes, address))
    address = private(rng)  # a metric that is longer than any number for a length
    length = rng.randint(10, 27)
    pair = _nested(rng, address, [length, length + 1])
    pair[1][2] = rng.randint(1000, 10**9)
    questions.append(_listed("longest prefix", pair, address))
    address = private(rng)  # as many routes as there may be
    routes = _nested(rng, address, sorted(rng.sample(range(8, 31), 6)))
    routes += _elsewhere(rng, address, 94)
    rng.shuffle(routes)
    questions.append(_listed("longest prefix", routes, address))
    for _ in range(2):  # the default in front, at the end, alone, or missing
        address = private(rng)
        default = ["0.0.0.0/0", rng.choice(PIERS), rng.randint(0, 99)]
        others = _elsewhere(rng, address, 3)
        for routes in ([default, *others], [*others, default], [default], others):
            questions.append(_listed("default and no route", routes, address))
    for count in (2, 2, 3, 4):
        questions.append(_equals(rng, rng.sample(range(10, 100), count)))
    low = rng.randint(2, 9)
    questions += [_equals(rng, [low, rng.randint(10, 19)]), _equals(rng, [0, low, 10 * low])]
    return questions


def _equals(rng: random.Random, metrics: list[int]) -> Question:
    """Draw routes of one prefix, in any order, and some that do not match in between."""
    address = private(rng)
    prefix = prefix_of(address, rng.randint(10, 28))
    routes = [[prefix, f"{rng.choice(PIERS)} {metric}", metric] for metric in metrics]
    routes += _elsewhere(rng, address, 2)
    rng.shuffle(routes)
    return _listed("equal prefixes", routes, address)


def _listed(aspect: str, routes: list[list[Any]], address: int) -> Question:
    return Question(aspect, ([tuple(route) for route in routes], text(address)))


def _nested(rng: random.Random, address: int, lengths: list[int]) -> list[list[Any]]:
    """Return routes around an address, the shortest first; its metric is the lowest."""
    piers = rng.sample(PIERS, len(lengths))
    metrics = sorted(rng.sample(range(60), len(lengths)))
    return [
        [prefix_of(address, length), pier, metric]
        for length, pier, metric in zip(lengths, piers, metrics, strict=True)
    ]


def _elsewhere(rng: random.Random, address: int, count: int) -> list[list[Any]]:
    """Return routes that do not cover an address: one of their bits differs."""
    routes: dict[str, list[Any]] = {}
    while len(routes) < count:
        length = rng.randint(9, 28)
        prefix = prefix_of(address ^ 1 << 32 - rng.randint(9, length), length)
        routes[prefix] = [prefix, rng.choice(PIERS), rng.randint(60, 90)]
    return list(routes.values())


# 4.3


def walk_questions(rng: random.Random) -> list[Question]:
    """Draw tries around the way of an address: of 8 bits, of 1, and of 32.

    No trie is deeper than 10: plain data is nested no further than 12.

    Walks "on the way" use all the bits. "Dead ends" lie below the root, with one next hop on the
    way; the other dead ends have none, or lie at the root.
    """
    questions = [_dead_end(rng, 8, below) for below in (0, 0, 1, 2, 3)]
    questions += [_dead_end(rng, 32, below) for below in (0, 4)]
    for length in (8, 8, 8, 10):
        bits = random_bits(rng, length)
        high, low = sorted(rng.sample(range(1, length), 2))
        turned = _turned(rng, bits, rng.randint(low, length - 1))
        for hops in ([bits[:high], bits[:low]], [bits[:high], bits], ["", bits[:low]], [bits]):
            trie = trie_of(_with_piers(rng, *hops, turned), (bits,))
            questions.append(Question("on the way", (trie, bits)))
    last = rng.choice("01")
    questions.append(Question("on the way", (trie_of({last: "Reed", "": "Gull"}), last)))
    for below in ([], ["0"], ["10", "01"]):  # what leads the other way
        bits = random_bits(rng, 8)
        others = [_other(bits[0]) + name for name in below]
        for root in ([""], []):
            trie = trie_of(_with_piers(rng, *root, *others))
            questions.append(Question("default and no route", (trie, bits)))
    bits = random_bits(rng, 8)
    names = [_turned(rng, bits, place) for place in (2, 5)]
    questions.append(Question("default and no route", (trie_of(_with_piers(rng, *names)), bits)))
    return questions


def _dead_end(rng: random.Random, length: int, below: int) -> Question:
    """Draw a way that ends `below` so many nodes under its only next hop."""
    bits = random_bits(rng, length)
    hop = rng.randint(1, min(8, length) - 2 - below)
    end = bits[: hop + below]
    names = [bits[:hop], *([end + _other(bits[len(end)])] if rng.random() < 0.5 else [])]
    names.append(_turned(rng, bits, 0))
    return Question("dead ends", (trie_of(_with_piers(rng, *names), (end,)), bits))


def _other(bit: str) -> str:
    return "1" if bit == "0" else "0"


def _turned(rng: random.Random, bits: str, shared: int) -> str:
    """Return other bits that begin with `shared` of these, and then part."""
    longest = min(5, len(bits) - 1 - shared)
    return bits[:shared] + _other(bits[shared]) + random_bits(rng, 8)[: rng.randint(0, longest)]


def _with_piers(rng: random.Random, *names: str) -> dict[str, str]:
    different = list(dict.fromkeys(names))
    return dict(zip(different, rng.sample(PIERS, len(different)), strict=True))
