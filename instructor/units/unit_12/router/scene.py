"""Worlds on paper in which a router is asked, and the packets and messages that come (12.1)."""

__all__ = [
    "COUNTERS", "ERRORS", "FOR_ALL", "NEAR", "ORDER", "Draw", "Packet", "Place", "Step", "asked",
    "comes", "new_packet", "new_place", "own_address", "own_station", "told",
]  # fmt: skip

import random
from collections.abc import Callable
from typing import Any, NamedTuple

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


def new_place(rng: random.Random) -> Place:
    """Draw names, addresses and ways."""
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


def asked(aspect: str, place: Place, *steps: Step) -> Question:
    """Put steps to a router in a place."""
    return Question(aspect, (place.world, list(steps)))


def new_packet(
    rng: random.Random, source: str, destination: str, says: str = "data", life: int = 0
) -> Packet:
    """Return a sound packet that may go on, and not very far."""
    return {
        "source": source, "destination": destination,
        "time to live": life or rng.randint(2, 120), "sound": True, "says": says,
    }  # fmt: skip


def comes(place: Place, now_s: float, packet: Packet, by: int = 0, **other: str) -> Step:
    """Return the step in which a frame with a packet comes in by an interface."""
    name = place.names[by]
    frame = {
        "to": place.world["own"][name][1],
        "from": place.world["known"][f"{name} {place.near[by]}"],
        "kind": "packet",
        "holds": packet,
    }
    return ["receive", now_s, name, frame | other]


def own_address(place: Place, which: int) -> str:
    """Return the router's address on an interface."""
    address: str = place.world["own"][place.names[which]][0]
    return address


def told(
    place: Place, now_s: float, address: str, to: str, by: int = 1, asks_for: str | None = None
) -> Step:
    """Return the step in which a neighbour says its hardware address; perhaps it asks."""
    station = "00:00:5e:00:53:" + f"{int(address.rpartition('.')[2]):02x}"
    holds = {"from": address, "hardware address": station, "asks for": asks_for}
    frame = {"to": to, "from": station, "kind": "message", "holds": holds}
    return ["receive", now_s, place.names[by], frame]


def own_station(place: Place, which: int) -> str:
    """Return the router's hardware address on an interface."""
    station: str = place.world["own"][place.names[which]][1]
    return station
