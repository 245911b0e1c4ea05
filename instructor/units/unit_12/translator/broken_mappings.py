"""Answers that break one clause of 12.4 about out and back, and keep all others.

Ports far away tell the aspects apart (`questions.PORTS_FAR`), and so do times, and codes of errors.
"""

__all__ = [
    "AnyPeerOfAll",
    "AnybodyMayAnswer",
    "ByHostAlone",
    "ByPortAlone",
    "InsidePortLeft",
    "LastOfPorts",
    "NobodyIsStranger",
    "OnePortForBoth",
    "OutsideLeft",
    "PerDestination",
    "PortKept",
    "PortMustAnswer",
    "ServiceForgotten",
    "Shared",
    "SmallestFirst",
]

import weakref
from typing import Any, ClassVar

from instructor.units.unit_12.misconceptions.right_translator import RightTranslator, Way

NTP = 123


def seems_back(packet: bytes) -> bool:
    """Tell whether a packet goes to the port of the aspect "out and back"."""
    return int.from_bytes(packet[22:24], "big") == NTP


class OutsideLeft(RightTranslator):
    """Leave the inside address in what goes out."""

    def outward(self, now_s: float, packet: bytes) -> Any:
        """Translate a packet that goes out."""
        right = super().outward(now_s, packet)
        return right if isinstance(right, str) else right[:12] + packet[12:16] + right[16:]


class PortKept(RightTranslator):
    """Keep a port that is among the free ones."""

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        own = int.from_bytes(packet[20:22], "big")
        return own if own in self.ports else super().free_port(packet)


class OnePortForBoth(RightTranslator):
    """Take no port for TCP that UDP has."""

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        taken = {way.outside for way in self.ways}
        return next((port for port in self.ports if port not in taken), None)


class ByHostAlone(RightTranslator):
    """Let the ports of a host share a mapping."""

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        """Tell whether a mapping is that of a packet that goes out."""
        return (way.protocol, way.address) == (packet[9], packet[12:16])


class ByPortAlone(RightTranslator):
    """Let the same port of two hosts share a mapping."""

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        """Tell whether a mapping is that of a packet that goes out."""
        return (way.protocol, way.port) == (packet[9], packet[20:22])


class PerDestination(RightTranslator):
    """Give each destination a mapping of its own."""

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        """Tell whether a mapping is that of a packet that goes out."""
        is_mine = super().is_way_of(way, packet)
        return is_mine and (packet[16:20] in way.peers or not seems_back(packet))


class LastOfPorts(RightTranslator):
    """Take the last free port, where there are two."""

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        if not seems_back(packet) or len(self.ports) != 2:
            return super().free_port(packet)
        taken = {way.outside for way in self.ways if way.protocol == packet[9]}
        return [port for port in self.ports if port not in taken][-1]


class SmallestFirst(RightTranslator):
    """Take the smallest free port, where there are two."""

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        if not seems_back(packet) or len(self.ports) != 2:
            return super().free_port(packet)
        taken = {way.outside for way in self.ways if way.protocol == packet[9]}
        return min(port for port in self.ports if port not in taken)


class InsidePortLeft(RightTranslator):
    """Leave the outside port in what comes in, if the inside one is large."""

    def inward(self, now_s: float, packet: bytes) -> Any:
        """Translate a packet that comes in."""
        right = super().inward(now_s, packet)
        if isinstance(right, str) or packet[9] == 1 or right[22:24] < b"\xee\x48":
            return right
        return right[:22] + packet[22:24] + right[24:]


class NobodyIsStranger(RightTranslator):
    """Call everybody a stranger where there is no mapping."""

    def nobody(self, now_s: float, packet: bytes) -> Any:
        """Say that there is no mapping."""
        return "stranger" if int.from_bytes(packet[20:22], "big") == NTP else "no mapping"


class AnybodyMayAnswer(RightTranslator):
    """Let everybody in who comes from the first aspect's port."""

    def is_stranger(self, way: Way, packet: bytes) -> bool:
        """Tell whether nothing went out to the sender."""
        from_there = int.from_bytes(packet[20:22], "big") == NTP
        return not from_there and super().is_stranger(way, packet)


class PortMustAnswer(RightTranslator):
    """Let in only what comes from the very port."""

    def peer(self, address: bytes, port: bytes) -> Any:
        """Return what is remembered of the other end."""
        return address, port


class AnyPeerOfAll(RightTranslator):
    """Let in whoever heard something by any mapping."""

    def is_stranger(self, way: Way, packet: bytes) -> bool:
        """Tell whether nothing went out to the sender."""
        from_there = int.from_bytes(packet[20:22], "big") == NTP
        if from_there:
            return all(super(AnyPeerOfAll, self).is_stranger(one, packet) for one in self.ways)
        return super().is_stranger(way, packet)


class ServiceForgotten(RightTranslator):
    """Write 0 for a type of service."""

    def changed(self, packet: bytes, at: int, address: bytes, port: bytes) -> bytes:
        """Put another address and port into a packet."""
        right = super().changed(packet, at, address, port)
        return right[:1] + bytes(1) + right[2:]


class Shared(RightTranslator):
    """Keep the mappings of all translators together."""

    alive: ClassVar[weakref.WeakSet[RightTranslator]] = weakref.WeakSet()

    def __init__(self, outside: str, ports: list[int]) -> None:
        super().__init__(outside, ports)
        self.alive.add(self)

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        taken = {way.outside for one in self.alive for way in one.ways if way.protocol == packet[9]}
        return next((port for port in self.ports if port not in taken), None)
