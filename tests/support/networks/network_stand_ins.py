"""Simple things to put at the ends of wires, so that a test of the network needs no real router."""

import itertools
import math
from collections.abc import Callable, Iterable

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network import End, Network, Wire
from course_lib.prefixes.prefix import parse_prefix, prefix_around

PAIR = parse_prefix("192.0.2.0/31")


def interface(name, address, number, length=31, mtu=1500):
    """Return an interface with the hardware address 00:00:5e:00:53:`number`."""
    hardware = bytes.fromhex("00005e0053") + bytes([number])
    return Interface(name, hardware, address, prefix_around(address, length), mtu)


def frame_of(octets, number=0):
    """Return a frame of so many octets, of an ether type for experiments, with a number inside."""
    header = bytes.fromhex("00005e005302 00005e005301 88b5")
    return header + number.to_bytes(octets - 14, "big")


class Script:
    """Sends given frames at given times, and keeps what it gets: (time, interface, frame)."""

    def __init__(self, scenes: Iterable[tuple[float, str, bytes]] = ()) -> None:
        self.scenes = sorted(scenes, key=lambda scene: scene[0])
        self.got: list[tuple[float, str, bytes]] = []

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        self.got.append((now_s, interface, frame))
        return []

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        due = [scene for scene in self.scenes if scene[0] <= now_s]
        del self.scenes[: len(due)]
        return [OutgoingFrame(name, frame) for _, name, frame in due]

    def next_tick_s(self) -> float:
        return self.scenes[0][0] if self.scenes else math.inf


class Relay:
    """Hands every frame on, unchanged, from its first interface to its second and back."""

    def __init__(self, interfaces: list[Interface]) -> None:
        self.names = [interface.name for interface in interfaces]

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        return [OutgoingFrame(name, frame) for name in self.names if name != interface]

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        return []

    def next_tick_s(self) -> float:
        return math.inf


class Faulty(Relay):
    """A relay of which single calls can be replaced."""

    def __init__(self, interfaces: list[Interface], **calls: Callable[..., object]) -> None:
        super().__init__(interfaces)
        for name, call in calls.items():
            setattr(self, name, call)


def chain(scenes, relays=2, make=Relay, **wire):
    """Return a network Plover - Pier 1 - Pier 2 - ... - Curlew of `relays` + 1 wires.

    Plover plays the scenes; Curlew keeps what arrives. All wires have the settings `wire`.
    """
    network = Network(seed=1)
    names = ["Plover", *(f"Pier {number + 1}" for number in range(relays)), "Curlew"]
    for place, name in enumerate(names):
        own = []
        if place > 0:
            own.append(interface("west", PAIR.first + 2 * place - 1, 2 * place - 1))
        if place < len(names) - 1:
            own.append(interface("east", PAIR.first + 2 * place, 2 * place))
        thing = Script(scenes if name == "Plover" else []) if len(own) == 1 else make(own)
        network.add_router(name, thing, own)
    for one, other in itertools.pairwise(names):
        ends = (End(one, "east"), End(other, "west"))
        network.connect(Wire(f"{one} - {other}", ends, **wire))
    return network


def arrivals(network, place="Curlew"):
    """Return what a script at `place` has got."""
    return network.routers[place].got
