"""The packets that the router makes itself: ICMP errors and answers.

They have a header of their own, so nothing is received, validated or rewritten. What they need is
an entry of the forwarding table, as all others do, and a source address, which is that of the
interface by which they leave (RFC 1812, section 4.3.2.4).

Packets are made here and not sent: `slow_path` takes them through the stages.
"""

__all__ = ["OwnPackets"]

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from course_lib.forwarding.counters import Counters
from course_lib.forwarding.stages import Decide
from course_lib.headers.assigned_numbers import PROTOCOL_ICMP
from course_lib.headers.errors import Reason
from course_lib.ip.datagrams import Datagram
from course_lib.ip.icmp_errors import ErrorLimit, error_message, why_not_told
from course_lib.ip.packets import Interface, Packet, link_broadcasts, original_datagram

_INTERNETWORK_CONTROL = 6 << 5  # the precedence of errors: RFC 1812, section 4.3.2.5
_KIND_OF_SERVICE = 0x1E  # the bits of the type of service that are not the precedence (RFC 1349)


@dataclass(eq=False, repr=False)
class OwnPackets:
    """Makes the router's own packets, and counts them."""

    interfaces: Mapping[str, Interface]
    decide: Decide
    counters: Counters
    error_limit: ErrorLimit
    _identification: int = 0

    @cached_property
    def _broadcasts(self) -> frozenset[int]:
        return link_broadcasts(self.interfaces.values())

    def packet(self, now_s: float, own: Datagram) -> Packet | None:
        """Return the packet, ready to be sent; None if no route leads to its destination."""
        entry = self.decide.entry_for(own.destination)
        if entry is None:
            # Nobody is told: the sender, who would have to know, is the router itself.
            self.counters.made += 1
            self.counters.dropped[Reason.NO_ROUTE] += 1
            return None
        next_hop = entry.hop_towards(own.destination)
        # Real routers: numbers that strangers cannot guess; one counter for all destinations tells
        # them how many packets we send (common practice).
        self._identification += 1
        header = own.header(self.interfaces[entry.interface].address, self._identification)
        self.counters.made += 1  # not earlier: making a header fails for what fits into none
        return Packet(now_s, None, b"", header, own.content, entry.interface, next_hop)

    def error(self, about: Packet, kind: tuple[int, int], rest_of_header: int) -> Packet | None:
        """Return an ICMP error about a packet, for its source; None if a rule forbids that."""
        why_not = why_not_told(about, self._broadcasts)
        if why_not is None and not self.error_limit.allows(about.now_s):
            why_not = "too many errors lately"
        if why_not is not None or about.header is None:
            self.counters.errors_withheld[str(why_not)] += 1
            return None
        service = about.header.type_of_service & _KIND_OF_SERVICE | _INTERNETWORK_CONTROL
        # The packet as it came in is quoted, and not what the stages have made of it.
        message = error_message(kind, rest_of_header, original_datagram(about))
        self.counters.errors_sent[kind] += 1
        own = Datagram(about.header.source, PROTOCOL_ICMP, message, service)
        return self.packet(about.now_s, own)
