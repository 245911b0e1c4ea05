"""Answers that break one clause of 12.4 about time and room, and keep all others.

Ports far away tell the aspects apart (`questions.PORTS_FAR`), and so do times, and codes of errors.
"""

__all__ = [
    "EarlyGone",
    "FullIsNone",
    "LateGone",
    "PartnersStay",
    "PortNeverFree",
    "TcpDiesEarly",
    "TcpDiesLate",
]

from typing import Any

from instructor.units.unit_12.misconceptions.right_translator import RightTranslator, Way


class LateGone(RightTranslator):
    """Let UDP's mappings go a second late."""

    def is_old(self, now_s: float, way: Way) -> bool:
        """Tell whether a mapping is gone."""
        return super().is_old(now_s - (way.protocol == 17), way)


class EarlyGone(RightTranslator):
    """Let UDP's mappings go a second early."""

    def is_old(self, now_s: float, way: Way) -> bool:
        """Tell whether a mapping is gone."""
        return super().is_old(now_s + (way.protocol == 17), way)


class TcpDiesLate(RightTranslator):
    """Let TCP's mappings go a second late."""

    def is_old(self, now_s: float, way: Way) -> bool:
        """Tell whether a mapping is gone."""
        return super().is_old(now_s - (way.protocol == 6), way)


class TcpDiesEarly(RightTranslator):
    """Let TCP's mappings go a second early."""

    def is_old(self, now_s: float, way: Way) -> bool:
        """Tell whether a mapping is gone."""
        return super().is_old(now_s + (way.protocol == 6), way)


class PortNeverFree(RightTranslator):
    """Give no port to another host that somebody had."""

    def __init__(self, outside: str, ports: list[int]) -> None:
        super().__init__(outside, ports)
        self.had: dict[tuple[int, int], bytes] = {}

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        taken = {way.outside for way in self.ways if way.protocol == packet[9]}
        for port in self.ports:
            owner = self.had.get((packet[9], port), packet[12:16])
            if port not in taken and owner == packet[12:16]:
                self.had[packet[9], port] = owner
                return port
        return None


class PartnersStay(RightTranslator):
    """Remember to whom a host has sent when its mapping is gone."""

    def __init__(self, outside: str, ports: list[int]) -> None:
        super().__init__(outside, ports)
        self.all_peers: dict[bytes, set[bytes]] = {}

    def went_out(self, now_s: float, way: Way, packet: bytes) -> None:
        """Note that something goes out."""
        super().went_out(now_s, way, packet)
        way.peers = self.all_peers.setdefault(way.address + way.port, set())
        way.peers.add(packet[16:20])


class FullIsNone(RightTranslator):
    """Return None where no port is left."""

    def full(self, now_s: float, packet: bytes) -> Any:
        """Say that no port is left."""
        return None
