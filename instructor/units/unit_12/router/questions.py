"""Questions about a router of parts (12.1): the public ones are two draws of many.

What one aspect asks for must not fall with another. So only "the order" has answers that leave by
another interface than they came, times to live above 200, and frames for others; only
"neighbours" has next hops and packets that leave after a wait; only "errors" has errors that are
sent. Elsewhere nobody may be told: what comes says an error itself.
"""

__all__ = ["ROUTER", "router_questions"]

import random
from collections.abc import Callable
from typing import Any, NamedTuple

from course_lib.exercises.registry import Expected
from course_lib.runner.paper_parts import WORLD
from instructor.units.items import Question

ORDER, NEAR, ERRORS, COUNTERS = "the order", "neighbours", "errors", "counters"
FOR_ALL = "ff:ff:ff:ff:ff:ff"
NETS = ("192.0.2", "198.51.100", "203.0.113")
NAMES = ("west", "east", "bay", "lock", "reed", "quay")
Packet = dict[str, Any]
Step = list[Any]
Draw = Callable[[random.Random], Question]


class Place(NamedTuple):
    """A router with three interfaces, and who is where. Packets come in by the first one."""

    world: dict[str, Any]
    names: list[str]
    near: list[str]  # a neighbour on each, whose hardware address is known
    new: list[str]  # two neighbours on the second, not known yet
    behind_known: str  # far away, by way of the second's known neighbour
    behind_new: str  # far away, by way of the second's first new neighbour
    nowhere: str


def router_questions(rng: random.Random) -> list[Question]:
    """Draw a world for each case, and what one clause asks for."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_forwarded, 1), (_turned_back, 1), (_for_others, 1), (_for_all, 1),
        (_other_kind, 1), (_unsound, 2), (_other_address, 1), (_own_too_old, 1),
        (_no_answer, 1), (_answer_elsewhere, 1), (_message_for_others, 1),
        (_two_wait, 1), (_question, 1), (_question_while_waiting, 1), (_far, 2),
        (_asked_again, 1), (_data_waits, 1),
        (_no_route, 1), (_no_route_and_old, 1), (_too_old, 2), (_sender_elsewhere, 2),
        (_given_up, 1), (_own_given_up, 1), (_echo_fails, 1), (_no_way_back, 1),
        (_no_way_to_answer, 1),
        (_bad_headers, 1), (_for_us, 1), (_no_routes, 1), (_too_olds, 1),
        (_forwards, 1), (_waiting, 1), (_given_ups, 1), (_own_words, 1), (_own_given_ups, 1),
    )  # fmt: skip
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _place(rng: random.Random) -> Place:
    names, nets = rng.sample(NAMES, 3), rng.sample(NETS, 3)
    stations = [f"00:00:5e:00:53:{number:02x}" for number in rng.sample(range(256), 6)]
    hosts = [rng.sample(range(2, 120), 3) for _ in nets]
    near = [f"{net}.{one[0]}" for net, one in zip(nets, hosts, strict=True)]
    new = [f"{nets[1]}.{one}" for one in hosts[1][1:]]
    far = [f"{nets[1]}.{one}" for one in rng.sample(range(130, 250), 2)]
    ways: dict[str, tuple[str, str | None]]
    ways = {one: (name, None) for name, one in zip(names, near, strict=True)}
    ways |= dict.fromkeys(new, (names[1], None))
    ways |= {far[0]: (names[1], near[1]), far[1]: (names[1], new[0])}
    world = {
        "own": {
            name: (f"{net}.1", station)
            for name, net, station in zip(names, nets, stations[:3], strict=True)
        },
        "ways": ways,
        "known": {
            f"{name} {one}": station
            for name, one, station in zip(names, near, stations[3:], strict=True)
        },
    }
    nowhere = f"{nets[2]}.{rng.randint(130, 250)}"
    return Place(world, names, near, new, far[0], far[1], nowhere)


def _asked(aspect: str, place: Place, *steps: Step) -> Question:
    return Question(aspect, (place.world, list(steps)))


def _packet(
    rng: random.Random, source: str, destination: str, says: str = "data", life: int = 0
) -> Packet:
    """Return a sound packet that may go on, and not very far."""
    return {
        "source": source, "destination": destination,
        "time to live": life or rng.randint(2, 120), "sound": True, "says": says,
    }  # fmt: skip


def _comes(place: Place, now_s: float, packet: Packet, by: int = 0, **other: str) -> Step:
    """Return the step in which a frame with a packet comes in by an interface."""
    name = place.names[by]
    frame = {
        "to": place.world["own"][name][1],
        "from": place.world["known"][f"{name} {place.near[by]}"],
        "kind": "packet",
        "holds": packet,
    }
    return ["receive", now_s, name, frame | other]


def _own(place: Place, which: int) -> str:
    address: str = place.world["own"][place.names[which]][0]
    return address


def _told(
    place: Place, now_s: float, address: str, to: str, by: int = 1, asks_for: str | None = None
) -> Step:
    """Return the step in which a neighbour says its hardware address; perhaps it asks."""
    station = "00:00:5e:00:53:" + f"{int(address.rpartition('.')[2]):02x}"
    holds = {"from": address, "hardware address": station, "asks for": asks_for}
    frame = {"to": to, "from": station, "kind": "message", "holds": holds}
    return ["receive", now_s, place.names[by], frame]


def _station(place: Place, which: int) -> str:
    station: str = place.world["own"][place.names[which]][1]
    return station


# the order


def _forwarded(rng: random.Random) -> Question:
    place = _place(rng)
    lives = rng.randint(210, 255), rng.randint(2, 120)
    packets = [
        _packet(rng, place.near[0], place.near[to], life=life)
        for to, life in zip(rng.sample((1, 2), 2), lives, strict=True)
    ]
    return _asked(ORDER, place, *[_comes(place, now, one) for now, one in enumerate(packets)])


def _turned_back(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[1], place.near[0])
    return _asked(ORDER, place, _comes(place, 0, packet))


def _for_others(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.near[1])
    to = rng.choice((_station(place, 1), "00:00:5e:00:53:ff"))
    return _asked(ORDER, place, _comes(place, 0, packet, to=to), _comes(place, 1, packet))


def _for_all(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.near[2])
    return _asked(ORDER, place, _comes(place, 0, packet, to=FOR_ALL), _comes(place, 1, packet))


def _other_kind(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.near[1])
    return _asked(ORDER, place, _comes(place, 0, packet, kind="other"), _comes(place, 1, packet))


def _unsound(rng: random.Random) -> Question:
    place = _place(rng)
    to = rng.choice((place.near[1], place.near[2]))
    packet = _packet(rng, place.near[0], to)
    torn = packet | {"sound": False}
    return _asked(ORDER, place, *[_comes(place, 0, one) for one in rng.sample((packet, torn), 2)])


def _other_address(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], _own(place, rng.choice((1, 2))), "echo")
    return _asked(ORDER, place, _comes(place, 0, packet))


def _own_too_old(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], _own(place, 0), "echo", life=1)
    return _asked(ORDER, place, _comes(place, 0, packet))


def _no_answer(rng: random.Random) -> Question:
    place = _place(rng)
    steps = [
        _comes(place, 0, _packet(rng, place.near[0], _own(place, 0), says))
        for says in rng.sample(("data", "echo"), 2)
    ]
    return _asked(ORDER, place, *steps)


def _answer_elsewhere(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[2], _own(place, 0), "echo")
    return _asked(ORDER, place, _comes(place, 0, packet))


def _message_for_others(rng: random.Random) -> Question:
    place = _place(rng)
    new = place.new[0]
    step = _told(place, 0, new, _station(place, 2), 1, _own(place, 1))
    packet = _packet(rng, place.near[0], new, "echo")
    return _asked(ORDER, place, step, _comes(place, 1, packet))


# neighbours


def _two_wait(rng: random.Random) -> Question:
    """Let two packets wait for one neighbour, and one for another."""
    place = _place(rng)
    one, other = rng.sample(place.new, 2)
    packets = [_packet(rng, place.near[0], one, "echo") for _ in range(rng.randint(2, 3))]
    packets.insert(rng.randint(0, 1), _packet(rng, place.near[0], other, "echo"))
    steps = [_comes(place, now / 4, packet) for now, packet in enumerate(packets)]
    return _asked(NEAR, place, *steps, _told(place, 2, one, _station(place, 1)))


def _question(rng: random.Random) -> Question:
    place = _place(rng)
    by = rng.randint(0, 2)
    step = _told(place, 0, place.near[by], FOR_ALL, by, _own(place, by))
    return _asked(NEAR, place, step)


def _question_while_waiting(rng: random.Random) -> Question:
    place = _place(rng)
    one = rng.choice(place.new)
    packet = _packet(rng, place.near[0], one, "echo")
    asks = _told(place, 1, one, _station(place, 1), 1, _own(place, 1))
    return _asked(NEAR, place, _comes(place, 0, packet), asks)


def _far(rng: random.Random) -> Question:
    place = _place(rng)
    ends = [place.behind_known, place.behind_new]
    rng.shuffle(ends)
    packets = [_packet(rng, place.near[0], end, "echo") for end in ends]
    steps = [_comes(place, now, packet) for now, packet in enumerate(packets)]
    return _asked(NEAR, place, *steps, _told(place, 2, place.new[0], _station(place, 1)))


def _asked_again(rng: random.Random) -> Question:
    place = _place(rng)
    names = rng.sample(place.new, rng.randint(1, 2))
    steps = [_comes(place, 0, _packet(rng, place.near[0], one, "echo")) for one in names]
    return _asked(NEAR, place, *steps, ["tick", 1], ["tick", 2])


def _data_waits(rng: random.Random) -> Question:
    place = _place(rng)
    packets = [_packet(rng, place.near[0], one) for one in rng.sample(place.new, 2)]
    return _asked(NEAR, place, *[_comes(place, 0, one) for one in packets])


# errors


def _no_route(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.nowhere)
    return _asked(ERRORS, place, _comes(place, 0, packet))


def _no_route_and_old(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.nowhere, "echo", life=1)
    return _asked(ERRORS, place, _comes(place, 0, packet | {"says": "hello"}))


def _too_old(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.near[rng.randint(1, 2)], life=1)
    return _asked(ERRORS, place, _comes(place, 0, packet | {"time to live": rng.randint(0, 1)}))


def _sender_elsewhere(rng: random.Random) -> Question:
    """Let a packet come in by an interface that is not on the way to its source."""
    place = _place(rng)
    old = rng.random() < 0.5
    to = place.near[1] if old else place.nowhere
    packet = _packet(rng, place.near[2], to, "hello", life=1 if old else 0)
    return _asked(ERRORS, place, _comes(place, 0, packet))


def _given_up(rng: random.Random) -> Question:
    place = _place(rng)
    packets = [_packet(rng, place.near[0], place.new[0], "hello") for _ in range(rng.randint(1, 2))]
    return _asked(ERRORS, place, *[_comes(place, 0, one) for one in packets], ["tick", 4])


def _own_given_up(rng: random.Random) -> Question:
    """Let an answer wait in vain."""
    place = _place(rng)
    packet = _packet(rng, place.new[0], _own(place, 1), "echo")
    other = _packet(rng, place.near[0], place.near[2])
    steps = [_comes(place, 0, packet, 1), ["tick", rng.choice((3, 3.5))], _comes(place, 9, other)]
    return _asked(ERRORS, place, *steps)


def _echo_fails(rng: random.Random) -> Question:
    place = _place(rng)
    packet = _packet(rng, place.near[0], place.nowhere, "echo")
    return _asked(ERRORS, place, _comes(place, 0, packet))


def _no_way_back(rng: random.Random) -> Question:
    place = _place(rng)
    strange = f"{place.nowhere[:-3]}{rng.randint(120, 129)}"
    packets = [_packet(rng, one, place.nowhere, "hello") for one in (strange, place.near[0])]
    rng.shuffle(packets)
    return _asked(ERRORS, place, *[_comes(place, 0, one) for one in packets])


def _no_way_to_answer(rng: random.Random) -> Question:
    place = _place(rng)
    strange = f"{place.nowhere[:-3]}{rng.randint(120, 129)}"
    packet = _packet(rng, strange, _own(place, 0), "echo")
    other = _packet(rng, place.near[0], place.nowhere, "hello")
    return _asked(ERRORS, place, *[_comes(place, 0, one) for one in rng.sample((packet, other), 2)])


# counters: what comes says an error itself, so that nobody is told


def _counted(place: Place, *steps: Step) -> Question:
    return _asked(COUNTERS, place, *steps, ["counters"])


def _silent(rng: random.Random, place: Place, to: str, number: int, life: int = 0) -> list[Step]:
    packets = [_packet(rng, place.near[0], to, "error", life) for _ in range(number)]
    return [_comes(place, 0, one) for one in packets]


def _bad_headers(rng: random.Random) -> Question:
    place = _place(rng)
    steps = _silent(rng, place, place.near[1], rng.randint(3, 6))
    for step in steps:
        step[3]["holds"]["sound"] = False
    return _counted(place, *steps)


def _for_us(rng: random.Random) -> Question:
    place = _place(rng)
    return _counted(place, *_silent(rng, place, _own(place, 0), rng.randint(3, 6)))


def _no_routes(rng: random.Random) -> Question:
    place = _place(rng)
    return _counted(place, *_silent(rng, place, place.nowhere, rng.randint(3, 6)))


def _too_olds(rng: random.Random) -> Question:
    place = _place(rng)
    return _counted(place, *_silent(rng, place, place.near[1], rng.randint(3, 6), life=1))


def _forwards(rng: random.Random) -> Question:
    place = _place(rng)
    steps = _silent(rng, place, place.near[rng.randint(1, 2)], rng.randint(3, 6))
    return _counted(place, ["counters"], *steps)


def _waiting(rng: random.Random) -> Question:
    place = _place(rng)
    steps = _silent(rng, place, place.new[0], rng.randint(1, 3))
    return _counted(place, *steps)


def _given_ups(rng: random.Random) -> Question:
    place = _place(rng)
    steps = _silent(rng, place, place.new[1], rng.randint(3, 6))
    return _counted(place, *steps, ["tick", rng.randint(3, 6)])


def _own_words(rng: random.Random) -> Question:
    place = _place(rng)
    echoes = [_packet(rng, place.near[0], _own(place, 0), "echo") for _ in range(rng.randint(1, 2))]
    return _counted(place, *[_comes(place, 0, one) for one in echoes])


def _own_given_ups(rng: random.Random) -> Question:
    """Let an answer wait in vain."""
    place = _place(rng)
    packet = _packet(rng, place.new[0], _own(place, 1), "echo")
    return _counted(place, _comes(place, 0, packet, 1), ["tick", rng.randint(4, 6)])


def _example() -> Question:
    """Ask for the contract's example, in the world that students try things in."""
    station = WORLD["own"]["west"][1]
    packet = {
        "source": "192.0.2.7", "destination": "198.51.100.1", "time to live": 1,
        "sound": True, "says": "echo",
    }  # fmt: skip
    frame = {"to": station, "from": "00:00:5e:00:53:a7", "kind": "packet", "holds": packet}
    reply = {
        "source": "198.51.100.1", "destination": "192.0.2.7", "time to live": 64,
        "sound": True, "says": "echo reply",
    }  # fmt: skip
    sent = {"to": "00:00:5e:00:53:a7", "from": station, "kind": "packet", "holds": reply}
    return Question(
        ORDER,
        (WORLD, [["receive", 0, "west", frame]]),
        "the contract's own example; RFC 1812, section 4.2.2.9",
        Expected(value=[[("west", sent)]]),
    )


ROUTER = (
    _example(),
    *router_questions(random.Random("what everybody may see")),
    *router_questions(random.Random("once more")),
)
