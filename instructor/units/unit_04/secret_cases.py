"""Questions of unit 04, longest prefix match: the secret ones of 4.1 to 4.3, drawn for each seed.

They are of the same kinds as the public ones, and every aspect is there for every seed.
"""

__all__ = ["cover_questions", "list_questions", "walk_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import (
    MASK,
    PIERS,
    other_pier,
    prefix_of,
    private,
    random_bits,
    text,
    trie_of,
)

# 4.1


def cover_questions(rng: random.Random) -> list[Question]:
    """Draw prefixes with an address inside, and with one that just lies outside."""
    questions = []
    for length in (8, 16, 24, 16):
        questions += _inside_and_outside(rng, "whole octets", length)
    digit = rng.randint(1, 9)
    longer = f"10.{digit}{rng.randint(0, 9)}.{rng.randint(0, 255)}.9"
    questions.append(Question("whole octets", (f"10.{digit}.0.0/16", longer)))
    for low, high in ((9, 15), (17, 23), (25, 31), (25, 30)):
        questions += _inside_and_outside(rng, "inside an octet", rng.randint(low, high))
    for length in (0, 32):
        questions += _inside_and_outside(rng, "edges", length)
    for _ in range(3):
        questions += _inside_and_outside(rng, "edges", rng.randint(9, 30), host_bits=True)
    return questions


def _inside_and_outside(
    rng: random.Random, aspect: str, length: int, *, host_bits: bool = False
) -> list[Question]:
    host_mask = MASK >> length
    network = private(rng) & ~host_mask
    written = network | (rng.randint(1, host_mask) if host_bits else 0)
    prefix = f"{text(written)}/{length}"
    inside = network | rng.randint(0, host_mask)
    questions = [Question(aspect, (prefix, text(inside)))]
    if length:
        flipped = inside ^ 1 << 32 - length
        questions.append(Question(aspect, (prefix, text(flipped))))
    return questions


# 4.2


def list_questions(rng: random.Random) -> list[Question]:
    """Draw nested routes in any order, with others in between."""
    questions = []
    for _ in range(6):
        address = private(rng)
        lengths = [rng.randint(7, 9), *sorted(rng.sample(range(10, 29), 2))]
        routes = _nested(rng, address, lengths)
        longest = routes.pop()
        routes += _elsewhere(rng, address, 2)
        rng.shuffle(routes)
        routes.insert(rng.randint(1, len(routes) - 1), longest)
        questions.append(_listed("longest prefix", routes, address))
    for _ in range(2):  # the default in front, at the end, alone, or missing
        address = private(rng)
        inner = _nested(rng, address, sorted(rng.sample(range(9, 29), 2)))
        default = ["0.0.0.0/0", rng.choice(PIERS), rng.randint(1, 9)]
        others = _elsewhere(rng, address, 2)
        for routes in ([default, *others, *inner], [*others, default], others):
            questions.append(_listed("default and no route", routes, address))
    for _ in range(4):
        address = private(rng)
        outer, inner_route = _nested(rng, address, sorted(rng.sample(range(9, 29), 2)))
        prefix, pier, metric = inner_route
        other = [prefix, other_pier(rng, pier), metric + rng.choice((3, 100))]
        pair = [other, inner_route]
        if rng.random() < 0.4:
            pair.reverse()
        questions.append(_listed("equal prefixes", [*pair, outer], address))
    address = private(rng)  # a metric that is higher as a number but lower as text, later on
    prefix = prefix_of(address, rng.randint(17, 28))
    pair = [[prefix, "Reed", 30], [prefix, "Gull", 20], ["0.0.0.0/0", "North", 1]]
    return [*questions, _listed("equal prefixes", pair, address)]


def _listed(aspect: str, routes: list[list[Any]], address: int) -> Question:
    return Question(aspect, ([tuple(route) for route in routes], text(address)))


def _nested(rng: random.Random, address: int, lengths: list[int]) -> list[list[Any]]:
    """Return routes around an address, the shortest first; its metric is the lowest."""
    piers = rng.sample(PIERS, len(lengths))
    metrics = sorted(rng.sample(range(1, 60), len(lengths)))
    return [
        [prefix_of(address, length), pier, metric]
        for length, pier, metric in zip(lengths, piers, metrics, strict=True)
    ]


def _elsewhere(rng: random.Random, address: int, count: int) -> list[list[Any]]:
    """Return routes that do not cover an address: one of their bits differs."""
    routes = []
    for _ in range(count):
        length = rng.randint(9, 28)
        other = address ^ 1 << 32 - rng.randint(9, length)
        routes.append([prefix_of(other, length), rng.choice(PIERS), rng.randint(60, 90)])
    return routes


# 4.3


def walk_questions(rng: random.Random) -> list[Question]:
    """Draw tries of 8 bits around the way of an address."""
    questions = []
    for _ in range(5):
        bits = random_bits(rng, 8)
        high, low = sorted(rng.sample(range(1, 7), 2))
        turn = rng.randint(low + 1, 7)
        hops = _with_piers(rng, bits[:high], bits[:low], _turned(rng, bits, turn))
        questions.append(Question("on the way", (trie_of(hops), bits)))
    bits = random_bits(rng, 8)
    hops = _with_piers(rng, bits[: rng.randint(1, 5)], bits)
    questions.append(Question("on the way", (trie_of(hops), bits)))
    for with_route in (True, True, False, False):
        bits = random_bits(rng, 8)
        turn = rng.randint(3, 6)
        names: list[str] = [_turned(rng, bits, turn), _turned(rng, bits, 0)]
        names += [bits[: rng.randint(1, 2)]] if with_route else []
        questions.append(Question("dead ends", (trie_of(_with_piers(rng, *names)), bits)))
    for turns in ((), (1,), (3,), (5,)):
        bits = random_bits(rng, 8)
        hops = _with_piers(rng, "", *(_turned(rng, bits, turn) for turn in turns))
        questions.append(Question("default route", (trie_of(hops), bits)))
    questions.append(Question("default route", ({}, random_bits(rng, 8))))
    bits = random_bits(rng, 8)
    hops = _with_piers(rng, "", bits[:3], _turned(rng, bits, 5))
    questions.append(Question("default route", (trie_of(hops), bits)))
    return questions


def _turned(rng: random.Random, bits: str, shared: int) -> str:
    """Return other bits that begin with `shared` of these, and then part."""
    other = "1" if bits[shared] == "0" else "0"
    return bits[:shared] + other + random_bits(rng, 8)[: rng.randint(0, 7 - shared)]


def _with_piers(rng: random.Random, *names: str) -> dict[str, str]:
    different = list(dict.fromkeys(names))
    return dict(zip(different, rng.sample(PIERS, len(different)), strict=True))
