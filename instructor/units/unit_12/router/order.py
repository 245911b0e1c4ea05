"""Questions about the order of calls (12.1)."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_12.router.scene import (
    FOR_ALL,
    ORDER,
    Draw,
    asked,
    comes,
    new_packet,
    new_place,
    own_address,
    own_station,
    told,
)


def _forwarded(rng: random.Random) -> Question:
    place = new_place(rng)
    lives = rng.randint(210, 255), rng.randint(2, 120)
    packets = [
        new_packet(rng, place.near[0], place.near[to], life=life)
        for to, life in zip(rng.sample((1, 2), 2), lives, strict=True)
    ]
    return asked(ORDER, place, *[comes(place, now, one) for now, one in enumerate(packets)])


def _turned_back(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[1], place.near[0])
    return asked(ORDER, place, comes(place, 0, packet))


def _for_others(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.near[1])
    to = rng.choice((own_station(place, 1), "00:00:5e:00:53:ff"))
    return asked(ORDER, place, comes(place, 0, packet, to=to), comes(place, 1, packet))


def _for_all(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.near[2])
    return asked(ORDER, place, comes(place, 0, packet, to=FOR_ALL), comes(place, 1, packet))


def _other_kind(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.near[1])
    return asked(ORDER, place, comes(place, 0, packet, kind="other"), comes(place, 1, packet))


def _unsound(rng: random.Random) -> Question:
    place = new_place(rng)
    to = rng.choice((place.near[1], place.near[2]))
    packet = new_packet(rng, place.near[0], to)
    torn = packet | {"sound": False}
    return asked(ORDER, place, *[comes(place, 0, one) for one in rng.sample((packet, torn), 2)])


def _unsound_for_us(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], own_address(place, 0), "echo")
    torn = packet | {"sound": False}
    return asked(ORDER, place, comes(place, 0, torn), comes(place, 1, packet))


def _unsound_for_others(rng: random.Random) -> Question:
    """Let a frame for another host hold a packet that is not sound: nobody counts it."""
    place = new_place(rng)
    torn = new_packet(rng, place.near[0], place.near[1]) | {"sound": False}
    return asked(ORDER, place, comes(place, 0, torn, to=own_station(place, 1)), ["counters"])


def _other_address(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], own_address(place, rng.choice((1, 2))), "echo")
    return asked(ORDER, place, comes(place, 0, packet))


def _own_too_old(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], own_address(place, 0), "echo", life=1)
    return asked(ORDER, place, comes(place, 0, packet))


def _no_answer(rng: random.Random) -> Question:
    place = new_place(rng)
    steps = [
        comes(place, 0, new_packet(rng, place.near[0], own_address(place, 0), says))
        for says in rng.sample(("data", "echo"), 2)
    ]
    return asked(ORDER, place, *steps)


def _answer_elsewhere(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[2], own_address(place, 0), "echo")
    return asked(ORDER, place, comes(place, 0, packet))


def _message_for_others(rng: random.Random) -> Question:
    place = new_place(rng)
    new = place.new[0]
    step = told(place, 0, new, own_station(place, 2), 1, own_address(place, 1))
    packet = new_packet(rng, place.near[0], new, "echo")
    return asked(ORDER, place, step, comes(place, 1, packet))


DRAWS: tuple[Draw, ...] = (
    _forwarded,
    _turned_back,
    _for_others,
    _for_all,
    _other_kind,
    _unsound,
    _unsound_for_us,
    _unsound_for_others,
    _other_address,
    _own_too_old,
    _no_answer,
    _answer_elsewhere,
    _message_for_others,
)
