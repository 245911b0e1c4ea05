"""Questions about who is told what went wrong (12.1)."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_12.router.scene import (
    ERRORS,
    Draw,
    asked,
    comes,
    new_packet,
    new_place,
    own_address,
)


def _no_route(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.nowhere)
    return asked(ERRORS, place, comes(place, 0, packet))


def _no_route_and_old(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.nowhere, "echo", life=1)
    return asked(ERRORS, place, comes(place, 0, packet | {"says": "hello"}))


def _too_old(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.near[rng.randint(1, 2)], life=1)
    return asked(ERRORS, place, comes(place, 0, packet | {"time to live": rng.randint(0, 1)}))


def _sender_elsewhere(rng: random.Random) -> Question:
    """Let a packet come in by an interface that is not on the way to its source."""
    place = new_place(rng)
    old = rng.random() < 0.5
    to = place.near[1] if old else place.nowhere
    packet = new_packet(rng, place.near[2], to, "hello", life=1 if old else 0)
    return asked(ERRORS, place, comes(place, 0, packet))


def _given_up(rng: random.Random) -> Question:
    place = new_place(rng)
    packets = [
        new_packet(rng, place.near[0], place.new[0], "hello") for _ in range(rng.randint(1, 2))
    ]
    return asked(ERRORS, place, *[comes(place, 0, one) for one in packets], ["tick", 4])


def _sender_not_known(rng: random.Random) -> Question:
    """Let an error wait for its neighbour."""
    place = new_place(rng)
    packet = new_packet(rng, rng.choice(place.new), place.nowhere, "hello")
    return asked(ERRORS, place, comes(place, 0, packet, 1))


def _sender_far(rng: random.Random) -> Question:
    """Let the way of an error have a next hop."""
    place = new_place(rng)
    packet = new_packet(rng, place.behind_known, place.nowhere, "hello")
    return asked(ERRORS, place, comes(place, 0, packet, 1))


def _late_and_new(rng: random.Random) -> Question:
    """Let one packet be given up while another one still waits."""
    place = new_place(rng)
    packets = [new_packet(rng, place.near[0], one, "bell") for one in rng.sample(place.new, 2)]
    steps = [comes(place, 3 * turn, one) for turn, one in enumerate(packets)]
    return asked(ERRORS, place, *steps, ["tick", 4])


def _own_given_up(rng: random.Random) -> Question:
    """Let an answer wait in vain."""
    place = new_place(rng)
    packet = new_packet(rng, place.new[0], own_address(place, 1), "echo")
    other = new_packet(rng, place.near[0], place.near[2])
    steps = [comes(place, 0, packet, 1), ["tick", rng.choice((3, 3.5))], comes(place, 9, other)]
    return asked(ERRORS, place, *steps)


def _echo_fails(rng: random.Random) -> Question:
    place = new_place(rng)
    packet = new_packet(rng, place.near[0], place.nowhere, "echo")
    return asked(ERRORS, place, comes(place, 0, packet))


def _no_way_back(rng: random.Random) -> Question:
    place = new_place(rng)
    strange = f"{place.nowhere[:-3]}{rng.randint(120, 129)}"
    packets = [new_packet(rng, one, place.nowhere, "hello") for one in (strange, place.near[0])]
    rng.shuffle(packets)
    return asked(ERRORS, place, *[comes(place, 0, one) for one in packets])


def _no_way_to_answer(rng: random.Random) -> Question:
    place = new_place(rng)
    strange = f"{place.nowhere[:-3]}{rng.randint(120, 129)}"
    packet = new_packet(rng, strange, own_address(place, 0), "echo")
    other = new_packet(rng, place.near[0], place.nowhere, "hello")
    return asked(ERRORS, place, *[comes(place, 0, one) for one in rng.sample((packet, other), 2)])


DRAWS: tuple[Draw, ...] = (
    _no_route,
    _no_route_and_old,
    _too_old,
    _too_old,
    _sender_elsewhere,
    _sender_elsewhere,
    _sender_not_known,
    _sender_far,
    _given_up,
    _late_and_new,
    _own_given_up,
    _echo_fails,
    _no_way_back,
    _no_way_to_answer,
)
