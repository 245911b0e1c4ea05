"""Questions about neighbours, known and not yet (12.1)."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_12.router.scene import (
    FOR_ALL,
    NEAR,
    Draw,
    asked,
    comes,
    new_packet,
    new_place,
    own_address,
    own_station,
    told,
)


def _two_wait(rng: random.Random) -> Question:
    """Let two packets wait for one neighbour, and one for another."""
    place = new_place(rng)
    one, other = rng.sample(place.new, 2)
    packets = [new_packet(rng, place.near[0], one, "echo") for _ in range(rng.randint(2, 3))]
    packets.insert(rng.randint(0, 1), new_packet(rng, place.near[0], other, "echo"))
    steps = [comes(place, now / 4, packet) for now, packet in enumerate(packets)]
    return asked(NEAR, place, *steps, told(place, 2, one, own_station(place, 1)))


def _question(rng: random.Random) -> Question:
    place = new_place(rng)
    by = rng.randint(0, 2)
    step = told(place, 0, place.near[by], FOR_ALL, by, own_address(place, by))
    return asked(NEAR, place, step)


def _question_while_waiting(rng: random.Random) -> Question:
    place = new_place(rng)
    one = rng.choice(place.new)
    packet = new_packet(rng, place.near[0], one, "echo")
    asks = told(place, 1, one, own_station(place, 1), 1, own_address(place, 1))
    return asked(NEAR, place, comes(place, 0, packet), asks)


def _far(rng: random.Random) -> Question:
    place = new_place(rng)
    ends = [place.behind_known, place.behind_new]
    rng.shuffle(ends)
    packets = [new_packet(rng, place.near[0], end, "echo") for end in ends]
    steps = [comes(place, now, packet) for now, packet in enumerate(packets)]
    return asked(NEAR, place, *steps, told(place, 2, place.new[0], own_station(place, 1)))


def _asked_again(rng: random.Random) -> Question:
    place = new_place(rng)
    names = rng.sample(place.new, rng.randint(1, 2))
    steps = [comes(place, 0, new_packet(rng, place.near[0], one, "echo")) for one in names]
    return asked(NEAR, place, *steps, ["tick", 1], ["tick", 2])


def _data_waits(rng: random.Random) -> Question:
    place = new_place(rng)
    packets = [new_packet(rng, place.near[0], one) for one in rng.sample(place.new, 2)]
    return asked(NEAR, place, *[comes(place, 0, one) for one in packets])


DRAWS: tuple[Draw, ...] = (
    _two_wait,
    _question,
    _question_while_waiting,
    _far,
    _far,
    _asked_again,
    _data_waits,
)
