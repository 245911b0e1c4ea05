"""Answers that break one clause of the contract of 12.4, and keep all others.

Ports far away tell the aspects apart (`questions.PORTS_FAR`), and so do times, and codes of errors.
"""

__all__ = [
    "AnyPeerOfAll",
    "AnybodyMayAnswer",
    "ByHostAlone",
    "ByPortAlone",
    "CodeForgotten",
    "EarlyGone",
    "ErrorSumLeft",
    "FullIsNone",
    "InsidePortLeft",
    "LastOfPorts",
    "LateGone",
    "LongQuotesCut",
    "NewestIsMeant",
    "NobodyIsStranger",
    "OnePortForBoth",
    "OnlyUnreachable",
    "OuterLeft",
    "OutsideLeft",
    "PartnersStay",
    "PerDestination",
    "PortKept",
    "PortMustAnswer",
    "PortNeverFree",
    "QuoteLeft",
    "QuotedHeaderSumLeft",
    "QuotedUdpSumLeft",
    "ServiceForgotten",
    "Shared",
    "SmallestFirst",
    "TcpAddressesNotSummed",
    "TcpAnew",
    "TcpDiesEarly",
    "TcpDiesLate",
    "TcpPortsNotSummed",
    "UdpAddressesNotSummed",
    "UdpAnew",
    "UdpPortsNotSummed",
    "UnknownQuotePasses",
    "ZeroIsASum",
    "ZeroIsWritten",
]

import weakref
from typing import Any, ClassVar

from instructor.units.unit_12.misconceptions.right_translator import RightTranslator, Way
from instructor.units.unit_12.misconceptions.translator import ComputedAnew

Pair = tuple[bytes, bytes]
NTP, MEDIA, FAR_PATH, WEB = 123, 5004, 33434, 443


def far(packet: bytes) -> bool:
    """Tell whether a packet goes to the port of the aspect "checksums", or comes from it."""
    return WEB in (int.from_bytes(packet[20:22], "big"), int.from_bytes(packet[22:24], "big"))


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


class UdpAddressesNotSummed(RightTranslator):
    """Leave addresses out of UDP's checksum, where octets are odd in number."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        is_broken = far(packet) and packet[3] % 2 == 1
        return self.follow(before, *((old[1], new[1]) if is_broken else map(b"".join, (old, new))))


class UdpPortsNotSummed(RightTranslator):
    """Leave ports out of UDP's checksum."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        return self.follow(
            before, *((old[0], new[0]) if far(packet) else map(b"".join, (old, new)))
        )


class TcpAddressesNotSummed(RightTranslator):
    """Leave addresses out of TCP's checksum."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return self.follow(
            before, *((old[1], new[1]) if far(packet) else map(b"".join, (old, new)))
        )


class TcpPortsNotSummed(RightTranslator):
    """Leave ports out of TCP's checksum."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return self.follow(
            before, *((old[0], new[0]) if far(packet) else map(b"".join, (old, new)))
        )


class UdpAnew(ComputedAnew):
    """Compute a checksum of UDP anew."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return RightTranslator.tcp_sum(self, packet, before, old, new)

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP, which is whole unless it is quoted."""
        if far(packet):
            return super().udp_sum(packet, before, old, new)
        return RightTranslator.udp_sum(self, packet, before, old, new)


class TcpAnew(ComputedAnew):
    """Compute a checksum of TCP anew."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        return RightTranslator.udp_sum(self, packet, before, old, new)


class ZeroIsASum(RightTranslator):
    """Update a checksum of UDP that is none."""

    def no_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return what stands for no checksum."""
        return self.udp_sum(packet, before, old, new) if far(packet) else before


class ZeroIsWritten(RightTranslator):
    """Write a checksum of UDP that comes out as 0."""

    def zero(self, packet: bytes) -> bytes:
        """Return what is written."""
        return bytes(2)


class OnlyUnreachable(RightTranslator):
    """Know no parameter problem."""

    kinds = 3, 11

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        return super().error(now_s, packet) if packet[20] in self.kinds else "no mapping"


class CodeForgotten(RightTranslator):
    """Forget the MTU that an error tells."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        return right if isinstance(right, str) else right[:24] + bytes(4) + right[28:]


class NewestIsMeant(RightTranslator):
    """Send an error to whoever got the newest mapping, where there are two."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        if len(self.ways) == 2:
            newest = self.ways[-1].outside.to_bytes(2, "big")
            packet = packet[:48] + newest + packet[50:]
        return super().error(now_s, packet)


class UnknownQuotePasses(RightTranslator):
    """Let an error pass that quotes a port of nobody."""

    def nobody(self, now_s: float, packet: bytes) -> Any:
        """Say that there is no mapping."""
        return packet if packet[9] == 1 else "no mapping"


class OfOneCode(RightTranslator):
    """Break something where an error has the type 3 and one code."""

    code = 0

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        is_it = packet[20:22] == bytes([3, self.code]) and not isinstance(right, str)
        return self.breaks(packet, right) if is_it else right


class OuterLeft(OfOneCode):
    """Leave the destination as it was."""

    code = 1

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:10] + packet[10:12] + right[12:16] + packet[16:20] + right[20:]


class QuoteLeft(OfOneCode):
    """Leave the quote as it was."""

    code = 0

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:22] + packet[22:24] + right[24:28] + packet[28:]


class ErrorSumLeft(OfOneCode):
    """Leave the checksum of ICMP as it was."""

    code = 10

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:22] + packet[22:24] + right[24:]


class QuotedHeaderSumLeft(OfOneCode):
    """Leave the checksum of the quoted header as it was."""

    code = 10

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        wrong = right[:38] + packet[38:40] + right[40:]
        return wrong[:22] + self.follow(right[22:24], right[38:40], packet[38:40]) + wrong[24:]


class QuotedUdpSumLeft(OfOneCode):
    """Leave the checksum of quoted UDP as it was."""

    code = 9

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        wrong = right[:54] + packet[54:56] + right[56:]
        return wrong[:22] + self.follow(right[22:24], right[54:56], packet[54:56]) + wrong[24:]


class LongQuotesCut(RightTranslator):
    """Cut a quote behind 28 octets."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        return right[:56] if isinstance(right, bytes) else right
