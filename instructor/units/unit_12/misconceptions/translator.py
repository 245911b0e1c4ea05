"""Misconceptions about address translation: exercise 12.4."""

__all__ = ["NEW_TRANSLATOR"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_12.misconceptions.right_translator import RightTranslator, Way

Pair = tuple[bytes, bytes]


class MappingPerDestination(RightTranslator):
    """Believe that each destination gets a mapping of its own."""

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        return super().is_way_of(way, packet) and packet[16:20] in way.peers


class MappingPerHost(RightTranslator):
    """Believe that a host has one mapping, whatever its ports."""

    def is_way_of(self, way: Way, packet: bytes) -> bool:
        return (way.protocol, way.address) == (packet[9], packet[12:16])


class PortIsKept(RightTranslator):
    """Believe that a host keeps its own port where that is free."""

    def free_port(self, packet: bytes) -> int | None:
        own = int.from_bytes(packet[20:22], "big")
        taken = {way.outside for way in self.ways if way.protocol == packet[9]}
        return own if own not in taken else super().free_port(packet)


class OnePortForBothProtocols(RightTranslator):
    """Believe that a port of UDP is taken for TCP, too."""

    def free_port(self, packet: bytes) -> int | None:
        taken = {way.outside for way in self.ways}
        return next((port for port in self.ports if port not in taken), None)


class AnybodyMayAnswer(RightTranslator):
    """Believe that a mapping is open to everybody."""

    def is_stranger(self, way: Way, packet: bytes) -> bool:
        return False


class PortMustAnswer(RightTranslator):
    """Believe that only the very port answers to which something went out."""

    def peer(self, address: bytes, port: bytes) -> Any:
        return address, port


class TransportSumLeft(RightTranslator):
    """Believe that a checksum of UDP or TCP has nothing to do with addresses and ports."""

    def follow_sum(self, before: bytes) -> bytes:
        return before

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.follow_sum(before)

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.follow_sum(before)


class AddressesNotSummed(RightTranslator):
    """Believe that a checksum of UDP or TCP covers their own header and data alone."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.follow(before, old[1], new[1])

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.follow(before, old[1], new[1])


class ZeroIsASum(RightTranslator):
    """Believe that 0 is a checksum of UDP like any other."""

    def no_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.udp_sum(packet, before, old, new)


class ZeroIsWritten(RightTranslator):
    """Believe that a checksum of UDP that comes out as 0 is written so."""

    def zero(self, packet: bytes) -> bytes:
        return bytes(2)


class CarryIsLost(RightTranslator):
    """Believe that a carry out of 16 bits is dropped."""

    def follow(self, before: bytes, old: bytes, new: bytes) -> bytes:
        total = 0xFFFF - int.from_bytes(before, "big")
        for place in range(0, len(old), 2):
            total += 0xFFFF - int.from_bytes(old[place : place + 2], "big")
            total += int.from_bytes(new[place : place + 2], "big")
        return (0xFFFF - total % 0x10000).to_bytes(2, "big")


class ComputedAnew(RightTranslator):
    """Believe that checksums of UDP and TCP are computed anew."""

    def anew(self, packet: bytes, old: Pair, new: Pair) -> bytes:
        length = int.from_bytes(packet[2:4], "big") - 20
        at = {6: 36, 17: 26}[packet[9]]
        covered = packet[12:at] + bytes(2) + packet[at + 2 : length + 20]
        covered += bytes(length % 2) + bytes([0, packet[9]]) + length.to_bytes(2, "big")
        return self.follow(self.follow(b"\xff\xff", bytes(len(covered)), covered),
                           b"".join(old), b"".join(new))  # fmt: skip

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.anew(packet, old, new)

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        return self.anew(packet, old, new)


class AnswersProlong(RightTranslator):
    """Believe that what comes in keeps a mapping."""

    def came_in(self, now_s: float, way: Way) -> None:
        way.used_s = now_s


class FromTheFirst(RightTranslator):
    """Believe that the time of a mapping counts from its first packet."""

    def went_out(self, now_s: float, way: Way, packet: bytes) -> None:
        way.peers.add(packet[16:20])


class OneTimeForAll(RightTranslator):
    """Believe that TCP's mappings live no longer than UDP's."""

    lives_s = {17: 120, 6: 120}  # noqa: RUF012


class NothingIsForgotten(RightTranslator):
    """Believe that a mapping stays for ever."""

    def is_old(self, now_s: float, way: Way) -> bool:
        return False


class OldestMakesRoom(RightTranslator):
    """Believe that the mapping that has been idle longest makes room for a new one."""

    def full(self, now_s: float, packet: bytes) -> Any:
        rivals = [way for way in self.ways if way.protocol == packet[9]]
        self.ways.remove(min(rivals, key=lambda way: way.used_s))
        return self.outward(now_s, packet)


class QuoteIsLeft(RightTranslator):
    """Believe that the quote inside an error may stay as it is."""

    def quote_back(self, packet: bytes, way: Way) -> bytes:
        return packet[28:56]


class ErrorsOfStrangers(RightTranslator):
    """Believe that an error from a router on the way is a stranger's."""

    def error(self, now_s: float, packet: bytes) -> Any:
        way = self.way_in(17, int.from_bytes(packet[48:50], "big"))
        if way is not None and packet[12:16] not in way.peers:
            return "stranger"
        return super().error(now_s, packet)


class ErrorSumLeft(RightTranslator):
    """Believe that the checksum of ICMP does not cover the quote."""

    def error_sum(self, packet: bytes, quote: bytes) -> bytes:
        return packet[22:24]


NEW_TRANSLATOR: dict[str, Callable[..., Any]] = {
    "mapping-per-destination": MappingPerDestination,
    "mapping-per-host": MappingPerHost,
    "port-is-kept": PortIsKept,
    "one-port-for-both-protocols": OnePortForBothProtocols,
    "anybody-may-answer": AnybodyMayAnswer,
    "port-must-answer": PortMustAnswer,
    "transport-sum-left": TransportSumLeft,
    "addresses-not-summed": AddressesNotSummed,
    "zero-is-a-sum": ZeroIsASum,
    "zero-is-written": ZeroIsWritten,
    "carry-is-lost": CarryIsLost,
    "computed-anew": ComputedAnew,
    "answers-prolong": AnswersProlong,
    "from-the-first": FromTheFirst,
    "one-time-for-all": OneTimeForAll,
    "nothing-is-forgotten": NothingIsForgotten,
    "oldest-makes-room": OldestMakesRoom,
    "quote-is-left": QuoteIsLeft,
    "errors-of-strangers": ErrorsOfStrangers,
    "error-sum-left": ErrorSumLeft,
}
