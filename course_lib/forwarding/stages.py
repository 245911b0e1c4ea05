"""The stages of the fast path: receive, validate, decide, rewrite, queue, send.

The stage in which packets wait is in `course_lib.forwarding.queue`, the others are here. They
follow the steps of RFC 1812, section 5.2.1.2, in its order. Each one decides by reading a table and
nothing else, and each says in its text which clause it keeps. Whatever needs more than that is
diverted to the slow path (`course_lib.forwarding.slow_path`).

A stage is called with a packet and returns a packet or a verdict (see `verdicts`).
A plain function will do:

    def no_curlew(packet):
        return Drop(Reason.FILTERED) if packet.header.source == CURLEW else packet

    router.stages.insert(2, no_curlew)

Real routers: the same steps in hardware, each working on another packet at the same moment.
"""

__all__ = ["Decide", "ForwardingEntry", "NamedStage", "Receive", "Rewrite", "Send", "Validate"]

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from course_lib.checksum import update_checksum
from course_lib.forwarding.filled_options import refused_options
from course_lib.forwarding.verdicts import (
    Divert,
    Drop,
    Refuse,
    SlowPathTask,
    StageOrderError,
    Verdict,
)
from course_lib.headers.assigned_numbers import ETHER_TYPE_ARP, ETHER_TYPE_IPV4
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ETHERNET_OCTETS, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.icmp_errors import read_quote
from course_lib.ip.neighbours import Neighbours
from course_lib.ip.packets import Interface, OutgoingFrame, Packet, link_broadcasts
from course_lib.lookup.protocol import LookupTable
from course_lib.prefixes.special import (
    FIRST_MULTICAST,
    LIMITED_BROADCAST,
    NEVER_DESTINATION,
    NEVER_SOURCE,
    broadcasts_of,
    is_invalid_source,
    is_multicast,
)

_IPV4_TYPE = ETHER_TYPE_IPV4.to_bytes(2, "big")

# Makes a named tuple of a plain one, at half the cost of calling the type.
_new = tuple.__new__


class ForwardingEntry(NamedTuple):
    """What the forwarding table holds for a prefix: an interface, and a router there or None.

    None stands for "whoever has the destination address is a neighbour himself".

    >>> ForwardingEntry("sea", None).hop_towards(0xC6336407) == 0xC6336407
    True
    """

    interface: str
    next_hop: int | None

    def hop_towards(self, destination: int) -> int:
        """Return the neighbour to whom a packet for `destination` is handed."""
        return destination if self.next_hop is None else self.next_hop


class NamedStage:
    """A stage that prints as the verb it is."""

    def __repr__(self) -> str:
        return type(self).__name__.lower()


class Receive(NamedStage):
    """Take the frames that are for this router and carry IPv4; hand on those that carry ARP."""

    def __init__(self, interfaces: Sequence[Interface]) -> None:
        self._own = {each.name: each.hardware_address for each in interfaces}

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Look at the Ethernet header; group addresses have the lowest bit of octet 0 set."""
        _, arrived_on, frame, _, _, _, _ = packet
        if frame[12:14] == _IPV4_TYPE and frame[:6] == self._own.get(arrived_on or ""):
            return packet  # what nearly all frames are: to us alone, and IPv4
        destination, _, ether_type = EthernetHeader.parse(frame)
        if destination != self._own.get(arrived_on or "") and not destination[0] & 1:
            return Drop(Reason.OTHER_STATION)
        if ether_type == ETHER_TYPE_IPV4:
            return packet
        if ether_type == ETHER_TYPE_ARP:
            return Divert(SlowPathTask.READ_RESOLUTION, packet)
        return Drop(Reason.UNKNOWN_ETHER_TYPE)


class Validate(NamedStage):
    """Read the IPv4 header, and refuse what no honest packet can hold.

    RFC 1812, section 5.2.2: length, checksum, version, header length, total length; whatever fails
    is discarded silently. All are checked; where a packet fails several, which one is named depends
    on the order, which is the parser's. Only a datagram that was cut on its way is reported.

    RFC 1812, section 5.2.1.1, step 3: options come next, before anything is made of the destination
    or the time to live. They are filled in later, when the way is known.

    RFC 1812, section 5.3.7: martians. One of our own addresses as source is forged, or a loop.
    """

    def __init__(self, interfaces: Sequence[Interface]) -> None:
        own = {each.address for each in interfaces}
        self._never_a_source = own | link_broadcasts(interfaces)

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Fill in `header` and `payload`; what lies behind the total length is padding."""
        now_s, arrived_on, frame, _, _, _, _ = packet
        datagram = frame[ETHERNET_OCTETS:]
        try:
            header = IPv4Header.parse(datagram, verify_checksum=True)
        except PacketError as error:
            return self._refused(packet, datagram, error)
        _, total, _, _, _, _, _, _, source, destination, options = header
        if source >> 24 in NEVER_SOURCE or source in self._never_a_source:
            return Drop(Reason.INVALID_SOURCE)
        payload = datagram[20 + len(options) : total]
        if options and (refused := refused_options(options)) is not None:
            read = packet._replace(header=header, payload=payload)
            is_told = isinstance(refused, Refuse)
            return Divert(SlowPathTask.REPORT_OPTION, read) if is_told else refused
        if destination >> 24 in NEVER_DESTINATION and destination != LIMITED_BROADCAST:
            return Drop(Reason.INVALID_DESTINATION)
        return _new(Packet, (now_s, arrived_on, frame, header, payload, None, None))

    def _refused(self, packet: Packet, datagram: bytes, error: PacketError) -> Verdict:
        """Drop silently, but let a datagram that was cut on its way be reported."""
        if error.reason is not Reason.WRONG_TOTAL_LENGTH:
            return Drop(error.reason)
        header, payload = read_quote(datagram)
        has_source = (
            not is_invalid_source(header.source) and header.source not in self._never_a_source
        )
        if header.total_length <= len(datagram) or not has_source:
            return Drop(error.reason)
        return Divert(SlowPathTask.REPORT_CUT, packet._replace(header=header, payload=payload))


class Decide(NamedStage):
    """Look up where the packet goes: to the router itself, or out of which interface to whom.

    RFC 1812, section 5.2.3: is it for us? Section 5.3.4: what came as a link-layer broadcast is
    not forwarded. Section 5.3.5, RFC 2644: nor are broadcasts, unless that was switched on for
    directed ones. Section 5.2.4: the longest prefix tells the way.
    """

    def __init__(
        self, interfaces: Sequence[Interface], table: LookupTable, *, directed_broadcasts: bool
    ) -> None:
        self.entries: list[ForwardingEntry] = []  # numbers in the table are places in this list
        self.table = table
        self._own = {each.address for each in interfaces}
        self._broadcasts = {b: each.name for each in interfaces for b in broadcasts_of(each.prefix)}
        self._to_all = {each.prefix.last for each in interfaces if directed_broadcasts}
        self._special = self._own | set(self._broadcasts)

    def entry_for(self, destination: int) -> ForwardingEntry | None:
        """Return the entry of the longest prefix, None if no prefix holds the address."""
        number = self.table.lookup(destination)
        return None if number is None else self.entries[number]

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Fill in `leaves_on` and `next_hop`."""
        now_s, arrived_on, frame, header, payload, _, _ = packet
        if header is None:
            raise StageOrderError("decide", "validate")
        destination = header.destination
        if frame[0] & 1 or destination >= FIRST_MULTICAST or destination in self._special:
            verdict = self._not_plain(packet, destination)
            if verdict is not None:
                return verdict
        number = self.table.lookup(destination)
        if number is None:
            return Refuse(Reason.NO_ROUTE)
        leaves_on, next_hop = self.entries[number]
        if next_hop is None:
            next_hop = destination
        decided = _new(Packet, (now_s, arrived_on, frame, header, payload, leaves_on, next_hop))
        return decided if leaves_on != arrived_on else Divert(SlowPathTask.REDIRECT, decided)

    def _not_plain(self, packet: Packet, destination: int) -> Verdict | None:
        """Return what becomes of a packet that is for us or for many, None if it goes on."""
        if is_multicast(destination):
            return Drop(Reason.MULTICAST)
        of_link = self._broadcasts.get(destination)
        if destination == LIMITED_BROADCAST or of_link == packet.arrived_on is not None:
            return Divert(SlowPathTask.DELIVER, packet)
        if packet.frame[0] & 1:
            return Drop(Reason.LINK_LAYER_BROADCAST)
        if destination in self._own:
            return Divert(SlowPathTask.DELIVER, packet)
        return None if destination in self._to_all else Drop(Reason.DIRECTED_BROADCAST)


class Rewrite(NamedStage):
    """Lower the time to live, and bring the checksum in line with it.

    RFC 1812, section 5.3.1: a packet that cannot live on after this hop is discarded, and one that
    can must not be, however little it has left. Section 4.2.2.5: the checksum may be updated.
    Options, and datagrams larger than the next link carries, are left to the slow path.
    """

    def __init__(self, interfaces: Sequence[Interface]) -> None:
        self._mtu = {each.name: each.mtu for each in interfaces}

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Change two fields of the header; everything else stays as it came."""
        now_s, arrived_on, frame, header, payload, leaves_on, next_hop = packet
        if header is None or leaves_on is None:
            raise StageOrderError("rewrite", "decide")
        service, total, ident, flags, offset, hops, protocol, check, source, target, options = (
            header
        )
        if hops <= 1:
            return Refuse(Reason.TIME_EXCEEDED)
        old = hops << 8 | protocol  # the two share a 16-bit word of the header
        check = update_checksum(check, old, old - 0x0100)
        # fmt: off
        lowered = _new(IPv4Header, (service, total, ident, flags, offset, hops - 1, protocol,
                                    check, source, target, options))
        # fmt: on
        rewritten = _new(Packet, (now_s, arrived_on, frame, lowered, payload, leaves_on, next_hop))
        if options:
            return Divert(SlowPathTask.OPTIONS, rewritten)
        return (
            rewritten if total <= self._mtu[leaves_on] else Divert(SlowPathTask.FRAGMENT, rewritten)
        )


class Send(NamedStage):
    """Put the packet into a frame for the next hop, if that one's hardware address is known."""

    def __init__(self, neighbours: Mapping[str, Neighbours[Any]]) -> None:
        self._links = {
            name: (each, each.hardware_address + _IPV4_TYPE) for name, each in neighbours.items()
        }

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Pack the header; the payload is untouched."""
        now_s, _, _, header, payload, leaves_on, next_hop = packet
        if header is None or leaves_on is None or next_hop is None:
            raise StageOrderError("send", "decide")
        neighbours, source_and_type = self._links[leaves_on]
        destination = neighbours.find(now_s, next_hop)
        if destination is None:
            return Divert(SlowPathTask.RESOLVE, packet)
        frame = destination + source_and_type + header.build() + payload
        return _new(OutgoingFrame, (leaves_on, frame))
