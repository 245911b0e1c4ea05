"""Questions about what is counted (12.1): what comes says an error itself, so nobody is told."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_12.router.scene import (
    COUNTERS,
    Draw,
    Place,
    Step,
    asked,
    comes,
    new_packet,
    new_place,
    own_address,
)


def _counted(place: Place, *steps: Step) -> Question:
    return asked(COUNTERS, place, *steps, ["counters"])


def _silent(rng: random.Random, place: Place, to: str, number: int, life: int = 0) -> list[Step]:
    packets = [new_packet(rng, place.near[0], to, "error", life) for _ in range(number)]
    return [comes(place, 0, one) for one in packets]


def _bad_headers(rng: random.Random) -> Question:
    place = new_place(rng)
    steps = _silent(rng, place, place.near[1], rng.randint(3, 6))
    for step in steps:
        step[3]["holds"]["sound"] = False
    return _counted(place, *steps)


def _for_us(rng: random.Random) -> Question:
    place = new_place(rng)
    return _counted(place, *_silent(rng, place, own_address(place, 0), rng.randint(3, 6)))


def _no_routes(rng: random.Random) -> Question:
    place = new_place(rng)
    return _counted(place, *_silent(rng, place, place.nowhere, rng.randint(3, 6)))


def _too_olds(rng: random.Random) -> Question:
    place = new_place(rng)
    return _counted(place, *_silent(rng, place, place.near[1], rng.randint(3, 6), life=1))


def _forwards(rng: random.Random) -> Question:
    place = new_place(rng)
    steps = _silent(rng, place, place.near[rng.randint(1, 2)], rng.randint(3, 6))
    return _counted(place, ["counters"], *steps)


def _waiting(rng: random.Random) -> Question:
    place = new_place(rng)
    steps = _silent(rng, place, place.new[0], rng.randint(1, 3))
    return _counted(place, *steps)


def _given_ups(rng: random.Random) -> Question:
    place = new_place(rng)
    steps = _silent(rng, place, place.new[1], rng.randint(3, 6))
    return _counted(place, *steps, ["tick", rng.randint(3, 6)])


def _own_words(rng: random.Random) -> Question:
    place = new_place(rng)
    echoes = [
        new_packet(rng, place.near[0], own_address(place, 0), "echo")
        for _ in range(rng.randint(1, 2))
    ]
    return _counted(place, *[comes(place, 0, one) for one in echoes])


def _own_given_ups(rng: random.Random) -> Question:
    """Let an answer wait in vain."""
    place = new_place(rng)
    packet = new_packet(rng, place.new[0], own_address(place, 1), "echo")
    return _counted(place, comes(place, 0, packet, 1), ["tick", rng.randint(4, 6)])


DRAWS: tuple[Draw, ...] = (
    _bad_headers,
    _for_us,
    _no_routes,
    _too_olds,
    _forwards,
    _waiting,
    _given_ups,
    _own_words,
    _own_given_ups,
)
