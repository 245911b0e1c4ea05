"""A right translator with a method for each thing that can be believed otherwise: 12.4."""

__all__ = ["RightTranslator", "Way"]

from dataclasses import dataclass, field
from typing import Any


@dataclass
class Way:
    """A mapping: who is inside, by which outside port, and to whom something went out."""

    protocol: int
    address: bytes
    port: bytes
    outside: int
    used_s: float
    peers: set[Any] = field(default_factory=set)


class RightTranslator:
    """Inside hosts share one outside address."""

    lives_s = {17: 120, 6: 7440}  # noqa: RUF012

    def __init__(self, outside: str, ports: list[int]) -> None:
        self.outside = bytes(int(part) for part in outside.split("."))
        self.ports = list(ports)
        self.ways: list[Way] = []

    def outward(self, now_s: float, packet: bytes) -> Any:
        """Translate a packet that goes out."""
        self.forget(now_s)
        way = self.way_out(packet)
        if way is None:
            port = self.free_port(packet)
            if port is None:
                return self.full(now_s, packet)
            way = Way(packet[9], packet[12:16], packet[20:22], port, now_s)
            self.ways.append(way)
        self.went_out(now_s, way, packet)
        return self.changed(packet, 12, self.outside, way.outside.to_bytes(2, "big"))

    def inward(self, now_s: float, packet: bytes) -> Any:
        """Translate a packet that comes in."""
        self.forget(now_s)
        if packet[9] == 1:
            return self.error(now_s, packet)
        way = self.way_in(packet[9], int.from_bytes(packet[22:24], "big"))
        if way is None:
            return self.nobody(now_s, packet)
        if self.is_stranger(way, packet):
            return "stranger"
        self.came_in(now_s, way)
        return self.changed(packet, 16, way.address, way.port)

    def forget(self, now_s: float) -> None:
        """Let go what is too old."""
        self.ways = [way for way in self.ways if not self.is_old(now_s, way)]

    def is_old(self, now_s: float, way: Way) -> bool:
        """Tell whether a mapping is gone."""
        return now_s - way.used_s >= self.lives_s[way.protocol]

    def way_out(self, packet: bytes) -> Way | None:
        """Find the mapping of a packet that goes out."""
        for way in self.ways:
            if self.is_way_of(way, packet):
                return way
        return None

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        """Tell whether a mapping is that of a packet that goes out."""
        mine = way.protocol, way.address, way.port
        return mine == (packet[9], packet[12:16], packet[20:22])

    def free_port(self, packet: bytes) -> int | None:
        """Find a port for a new mapping."""
        taken = {way.outside for way in self.ways if way.protocol == packet[9]}
        return next((port for port in self.ports if port not in taken), None)

    def full(self, now_s: float, packet: bytes) -> Any:
        """Say that no port is left."""
        return "full"

    def nobody(self, now_s: float, packet: bytes) -> Any:
        """Say that there is no mapping."""
        return "no mapping"

    def went_out(self, now_s: float, way: Way, packet: bytes) -> None:
        """Note that something goes out."""
        way.used_s = now_s
        way.peers.add(self.peer(packet[16:20], packet[22:24]))

    def came_in(self, now_s: float, way: Way) -> None:
        """Note that something comes in."""

    def peer(self, address: bytes, port: bytes) -> Any:
        """Return what is remembered of the other end."""
        return address

    def is_stranger(self, way: Way, packet: bytes) -> bool:
        """Tell whether nothing went out to the sender."""
        return self.peer(packet[12:16], packet[20:22]) not in way.peers

    def way_in(self, protocol: int, port: int) -> Way | None:
        """Find the mapping of an outside port."""
        for way in self.ways:
            if (way.protocol, way.outside) == (protocol, port):
                return way
        return None

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        way = self.way_in(17, int.from_bytes(packet[48:50], "big"))
        if way is None:
            return self.nobody(now_s, packet)
        quote = self.quote_back(packet, way)
        both = bytearray(packet[:28] + quote + packet[56:])
        both[16:20] = way.address
        both[10:12] = self.ip_sum(packet, packet[16:20], way.address)
        both[22:24] = self.error_sum(packet, quote)
        return bytes(both)

    def quote_back(self, packet: bytes, way: Way) -> bytes:
        """Return the quote as the inside host has sent it."""
        return self.changed(packet[28:56], 12, way.address, way.port)

    def error_sum(self, packet: bytes, quote: bytes) -> bytes:
        """Return the checksum of an error with another quote."""
        return self.follow(packet[22:24], packet[28:56], quote)

    def changed(self, packet: bytes, at: int, address: bytes, port: bytes) -> bytes:
        """Put another address and port into a packet."""
        port_at = {12: 20, 16: 22}[at]
        old = packet[at : at + 4], packet[port_at : port_at + 2]
        both = bytearray(packet)
        both[at : at + 4] = address
        both[port_at : port_at + 2] = port
        both[10:12] = self.ip_sum(packet, old[0], address)
        where = {6: 36, 17: 26}[packet[9]]
        both[where : where + 2] = self.transport_sum(packet, where, old, (address, port))
        return bytes(both)

    def ip_sum(self, packet: bytes, old: bytes, new: bytes) -> bytes:
        """Return the header's checksum after a change."""
        return self.follow(packet[10:12], old, new)

    def transport_sum(
        self, packet: bytes, at: int, old: tuple[bytes, bytes], new: tuple[bytes, bytes]
    ) -> bytes:
        """Return the checksum of UDP or TCP after a change of address and port."""
        before = packet[at : at + 2]
        if packet[9] == 6:
            return self.tcp_sum(packet, before, old, new)
        if before == bytes(2):
            return self.no_sum(packet, before, old, new)
        after = self.udp_sum(packet, before, old, new)
        return self.zero(packet) if after == bytes(2) else after

    def udp_sum(
        self, packet: bytes, before: bytes, old: tuple[bytes, bytes], new: tuple[bytes, bytes]
    ) -> bytes:
        """Return a checksum of UDP."""
        return self.follow(before, b"".join(old), b"".join(new))

    def tcp_sum(
        self, packet: bytes, before: bytes, old: tuple[bytes, bytes], new: tuple[bytes, bytes]
    ) -> bytes:
        """Return a checksum of TCP."""
        return self.follow(before, b"".join(old), b"".join(new))

    def no_sum(
        self, packet: bytes, before: bytes, old: tuple[bytes, bytes], new: tuple[bytes, bytes]
    ) -> bytes:
        """Return what stands for no checksum."""
        return before

    def zero(self, packet: bytes) -> bytes:
        """Return what is written where a checksum of UDP comes out as 0."""
        return b"\xff\xff"

    def follow(self, before: bytes, old: bytes, new: bytes) -> bytes:
        """Update a checksum: RFC 1624, equation 3."""
        total = 0xFFFF - int.from_bytes(before, "big")
        for place in range(0, len(old), 2):
            total += 0xFFFF - int.from_bytes(old[place : place + 2], "big")
            total += int.from_bytes(new[place : place + 2], "big")
        while total > 0xFFFF:
            total = (total & 0xFFFF) + (total >> 16)
        return (0xFFFF - total).to_bytes(2, "big")
