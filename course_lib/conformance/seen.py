"""What a router sends, taken to pieces as far as it can be, and in words.

A frame may hold anything, so nothing here raises: what cannot be read stays as octets, and the kind
of the frame says so. Fields are asked for by layer and name, such as "ipv4.time_to_live".
"""

__all__ = [
    "Seen",
    "Sent",
    "Value",
    "field_in_words",
    "frame_in_words",
    "take_apart",
    "value_in_words",
]

from collections.abc import Container
from typing import NamedTuple, TypeAlias

from course_lib.checksum import is_intact
from course_lib.conformance.bench import OWN_ADDRESSES, name_of_station
from course_lib.headers.assigned_numbers import (
    ARP_REQUEST,
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
    ICMP_ECHO,
    ICMP_ECHO_REPLY,
    PROTOCOL_ICMP,
)
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ETHERNET_OCTETS, ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import ARP, ETHERNET, ICMP, IPV4
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.fragmentation import MORE_FRAGMENTS
from course_lib.ip.icmp_errors import is_error, read_quote
from course_lib.prefixes.text import format_address

Value: TypeAlias = int | bytes | str | bool | None
_LAYOUTS = {"ethernet": ETHERNET, "arp": ARP, "ipv4": IPV4, "icmp": ICMP}
_MOST_OCTETS = 24  # of octets that are shown at one place
_UNREADABLE = "an unreadable frame"


class Sent(NamedTuple):
    """A frame that the router sent: when, on which interface, and its octets."""

    at_s: float
    interface: str
    frame: bytes


class Seen(NamedTuple):
    """A frame with its parts; None stands for a part that is not there."""

    kind: str  # "a question", "an answer", "a forwarded packet", "an ICMP error", ...
    sent: Sent
    ethernet: EthernetHeader | None = None
    arp: ARPPacket | None = None
    ipv4: IPv4Header | None = None
    payload: bytes = b""  # what the IPv4 header carries
    icmp: ICMPHeader | None = None

    @property
    def header_octets(self) -> bytes:
        """The octets of the IPv4 header, with its options."""
        datagram = self.sent.frame[ETHERNET_OCTETS:]
        return datagram[: (datagram[0] & 0x0F) * 4]

    def value(self, name: str) -> Value:
        """Return a field by layer and name; None if this frame has no such part."""
        match name:
            case "interface":
                return self.sent.interface
            case "payload":
                return self.payload
            case "header sum":
                return is_intact(self.header_octets)
            case "message sum":
                return is_intact(self.payload)
            case "message data":
                return self.payload[8:]
            case "quote":
                return self.payload[8:]
        layer, field = name.split(".")
        found: Value = getattr(getattr(self, layer), field, None)
        return found


def take_apart(sent: Sent, senders: Container[int], targets: Container[int]) -> Seen:
    """Take a frame apart, and say what kind of frame it is.

    senders, targets: sources and destinations of the datagrams that were given to the router. They
    tell what it forwards from what it says itself, also where it gives a wrong source.
    """
    try:
        ethernet = EthernetHeader.parse(sent.frame)
        octets = sent.frame[ETHERNET_OCTETS:]
        if ethernet.ether_type == ETHER_TYPE_ARP:
            packet = ARPPacket.parse(octets)
            kind = "a question" if packet.opcode == ARP_REQUEST else "an answer"
            return Seen(kind, sent, ethernet, packet)
        if ethernet.ether_type != ETHER_TYPE_IPV4:
            return Seen("a frame of another type", sent, ethernet)
        header, payload = read_quote(octets)
    except PacketError:
        return Seen(_UNREADABLE, sent)
    is_message = header.protocol == PROTOCOL_ICMP and len(payload) >= 8
    message = ICMPHeader.parse(payload) if is_message else None
    kind = _kind(header, payload, senders, targets)
    return Seen(kind, sent, ethernet, None, header, payload, message)


def _kind(
    header: IPv4Header, payload: bytes, senders: Container[int], targets: Container[int]
) -> str:
    is_own = header.source in OWN_ADDRESSES or header.destination in senders
    if header.destination in targets or not is_own:
        return "a forwarded packet"
    if header.fragment_offset == 0 and is_error(header, payload):
        return "an ICMP error"
    is_reply = header.protocol == PROTOCOL_ICMP and payload[:1] == bytes([ICMP_ECHO_REPLY])
    return "an echo reply" if is_reply or header.fragment_offset else "another packet of its own"


def field_in_words(name: str) -> str:
    """Return what a field is called, and the octet of its header in which it begins."""
    layer, _, field = name.partition(".")
    if layer not in _LAYOUTS:
        return _OTHER_WORDS.get(name, f"the {name}")
    if field == "options":
        return "the IPv4 options (from octet 20)"
    layout = _LAYOUTS[layer]
    place = layout.field(field).octet
    return f"{layout.name} {field.replace('_', ' ')} (octet {place} of the header)"


_OTHER_WORDS = {
    "header sum": "the IPv4 header checksum (octet 10 of the header)",
    "message sum": "the ICMP checksum (octet 2 of the message)",
    "message data": "the data behind the ICMP header (from octet 8 of the message)",
    "quote": "what the error quotes (from octet 8 of the message)",
    "payload": "what the IPv4 header carries",
}


def value_in_words(name: str, value: Value) -> str:
    """Return a value as people write it."""
    if name in ("header sum", "message sum"):
        return "right" if value else "wrong"
    if name == "interface":
        return repr(value)
    layer, _, field = name.partition(".")
    if layer in _LAYOUTS and field != "options" and isinstance(value, int | bytes):
        return _LAYOUTS[layer].field(field).to_text(value)
    if isinstance(value, bytes):
        more = f" ... ({len(value)} octets)" if len(value) > _MOST_OCTETS else ""
        return (value[:_MOST_OCTETS].hex(" ", 2) or "nothing") + more
    return "not there" if value is None else str(value)


def frame_in_words(frame: bytes) -> str:
    """Return what a frame is, in one line.

    >>> from course_lib.conformance.given import at_quay, datagram
    >>> print(frame_in_words(at_quay(datagram(time_to_live=1)).frame))
    UDP 192.0.2.7 to 203.0.113.9, time to live 1, 54 octets, to the router's quay
    """
    seen = take_apart(Sent(0.0, "", frame), (), ())
    if seen.ethernet is None:
        return f"{len(frame)} octets that cannot be read: {frame[:_MOST_OCTETS].hex(' ', 2)}"
    to = f"to {name_of_station(seen.ethernet.destination)}"
    if seen.arp is not None:
        return f"{_resolution(seen.arp)}, {to}"
    if seen.ipv4 is None:
        return f"a frame of type {seen.ethernet.ether_type:#06x}, {to}"
    return f"{_datagram(seen.ipv4, seen)}, {to}"


def _resolution(packet: ARPPacket) -> str:
    sender, target = map(
        format_address, (packet.sender_protocol_address, packet.target_protocol_address)
    )
    says = f"{sender} is {packet.sender_hardware_address.hex(':')}"
    if packet.opcode == ARP_REQUEST:
        return f"ARP: who is {target}? ({says})"
    return f"ARP answer to {target}: {says}"


def _datagram(header: IPv4Header, seen: Seen) -> str:
    what = {1: "ICMP", 6: "TCP", 17: "UDP"}.get(header.protocol, f"protocol {header.protocol}")
    if seen.icmp is not None and not header.fragment_offset:
        names = {ICMP_ECHO_REPLY: "echo reply", ICMP_ECHO: "echo"}
        usual = f"ICMP type {seen.icmp.type}, code {seen.icmp.code}:"
        what = f"ICMP {names[seen.icmp.type]}" if seen.icmp.type in names else usual
    part = ""
    if header.fragment_offset or header.flags & MORE_FRAGMENTS:
        part = f", a fragment from octet {8 * header.fragment_offset} on"
    ends = f"{format_address(header.source)} to {format_address(header.destination)}"
    octets = f"{header.total_length} octets{part}"
    return f"{what} {ends}, time to live {header.time_to_live}, {octets}"
