"""Packets that the router sends itself: ICMP errors and answers.

They have a header of their own, so nothing is received, validated or rewritten. What they need is
a way (the same table as for all others) and a source address, which is that of the interface by
which they leave (RFC 1812, section 4.3.2.4).
"""

__all__ = ["Own", "OwnPackets"]

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from course_lib.forwarding.counters import Counters
from course_lib.forwarding.stages import Decide
from course_lib.forwarding.verdicts import Refuse, Stage
from course_lib.headers.assigned_numbers import PROTOCOL_ICMP
from course_lib.headers.errors import Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.icmp_errors import ERRORS, ErrorLimit, error_message, why_not_told
from course_lib.ip.packets import Interface, OutgoingFrame, Packet, original_datagram
from course_lib.prefixes.special import broadcasts_of

OWN_TIME_TO_LIVE = 64  # RFC 1122, section 3.2.1.7, leaves the value to us; 64 is the usual one
_INTERNETWORK_CONTROL = 6 << 5  # the precedence of errors: RFC 1812, section 4.3.2.5
_KIND_OF_SERVICE = 0x1E  # the bits of the type of service that are not the precedence (RFC 1349)


class Own(NamedTuple):
    """A datagram that the router wants to send itself."""

    destination: int
    protocol: int
    payload: bytes
    type_of_service: int = 0
    options: bytes = b""
    source: int | None = None  # None: the address of the interface by which it leaves


class OwnPackets:
    """Makes the router's own packets; `carry` takes them through the stages, cut to fit the link.

    `stages` is a plain list, like that of the fast path.
    """

    def __init__(
        self,
        interfaces: Mapping[str, Interface],
        decide: Decide,
        counters: Counters,
        error_limit: ErrorLimit,
        carry: Callable[[Packet, Sequence[Stage]], list[OutgoingFrame]],
    ) -> None:
        self.stages: list[Stage] = []
        self._interfaces, self._decide, self._counters = interfaces, decide, counters
        self._limit, self._carry = error_limit, carry
        self._identification = 0
        self._broadcasts = frozenset(
            broadcast for each in interfaces.values() for broadcast in broadcasts_of(each.prefix)
        )

    def send(self, now_s: float, own: Own) -> list[OutgoingFrame]:
        """Send one datagram."""
        way = self._decide.way_to(own.destination)
        if way is None:
            self._counters.made += 1
            self._counters.dropped[Reason.NO_ROUTE] += 1
            return []
        next_hop = way.hop_towards(own.destination)
        header = self._header(own, self._interfaces[way.interface].address)
        self._counters.made += 1
        packet = Packet(now_s, None, b"", header, own.payload, way.interface, next_hop)
        return self._carry(packet, self.stages)

    def refuse(self, packet: Packet, verdict: Refuse) -> list[OutgoingFrame]:
        """Count a packet as dropped, and tell its sender if an error is meant for this reason."""
        frames: list[OutgoingFrame] = []
        if verdict.reason in ERRORS:
            frames = self.report(packet, ERRORS[verdict.reason], verdict.rest_of_header)
        else:
            self._counters.errors_withheld["no error message is meant for it"] += 1
        self._counters.dropped[verdict.reason] += 1
        return frames

    def report(
        self, packet: Packet, kind: tuple[int, int], rest_of_header: int = 0
    ) -> list[OutgoingFrame]:
        """Send an ICMP error about the packet to its source, unless a rule forbids that."""
        why_not = why_not_told(packet, self._broadcasts)
        if why_not is None and not self._limit.allows(packet.now_s):
            why_not = "too many errors lately"
        if why_not is not None or packet.header is None:
            self._counters.errors_withheld[str(why_not)] += 1
            return []
        service = packet.header.type_of_service & _KIND_OF_SERVICE | _INTERNETWORK_CONTROL
        message = error_message(kind, rest_of_header, original_datagram(packet))
        own = Own(packet.header.source, PROTOCOL_ICMP, message, service)
        self._counters.errors_sent[kind] += 1
        return self.send(packet.now_s, own)

    def _header(self, own: Own, address: int) -> IPv4Header:
        self._identification = (self._identification + 1) % 0x10000
        return IPv4Header(
            type_of_service=own.type_of_service,
            total_length=20 + len(own.options) + len(own.payload),
            identification=self._identification,
            flags=0,
            fragment_offset=0,
            time_to_live=OWN_TIME_TO_LIVE,
            protocol=own.protocol,
            checksum=0,
            source=address if own.source is None else own.source,
            destination=own.destination,
            options=own.options,
        ).with_checksum()
