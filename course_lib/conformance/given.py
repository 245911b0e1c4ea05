"""The frames that are sent to a router: by default a datagram that nothing is wrong with.

    datagram()                          from the Ticket Office to a host behind Plover
    datagram(time_to_live=1)            the same, with one field that differs
    at_quay(datagram())                 in a frame from the office to the router
    asks(PLOVER, RADIO.address)         a question for a hardware address

Every function returns octets, or a `Given`: octets with the link and the time at which they come.
"""

__all__ = [
    "ECHOED",
    "ISLAND",
    "TEXT",
    "Given",
    "answers",
    "arp",
    "asks",
    "at_quay",
    "datagram",
    "echo",
    "icmp",
    "udp_octets",
]

from typing import Any, NamedTuple

from course_lib.checksum import checksum
from course_lib.conformance.bench import INTERFACES, OFFICE, QUAY, STATIONS, Station
from course_lib.headers.assigned_numbers import (
    ARP_REPLY,
    ARP_REQUEST,
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
    ICMP_ECHO,
    PROTOCOL_ICMP,
    PROTOCOL_UDP,
)
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.datagrams import udp
from course_lib.ip.neighbours import BROADCAST
from course_lib.prefixes.text import parse_address

TEXT = b"Curlew leaves Reed at 7:40"
ECHOED = b"are you there?"
ISLAND = parse_address("203.0.113.9")  # behind Plover
_PORTS = (49152, 49153)  # of those for free use: RFC 6335, section 6
_CARDS = {each.interface: each.hardware_address for each in reversed(STATIONS)}
_OURS = {each.name: each.hardware_address for each in INTERFACES}


class Given(NamedTuple):
    """A frame that the router receives: when, on which interface, and its octets."""

    at_s: float
    interface: str
    frame: bytes


def udp_octets(source: int, destination: int, data: bytes = TEXT) -> bytes:
    """Return a UDP datagram with a right checksum, without an IPv4 header."""
    return udp(source, destination, _PORTS, data).content


def datagram(payload: bytes | None = None, **fields: Any) -> bytes:
    """Return an IPv4 datagram with a right checksum; `fields` are those that differ.

    A `checksum` or `total_length` that is given stays as it is. Without a payload it carries UDP.
    """
    source = fields.get("source", OFFICE.address)
    destination = fields.get("destination", ISLAND)
    content = udp_octets(source, destination) if payload is None else payload
    usual: dict[str, Any] = {
        "type_of_service": 0,
        "total_length": 20 + len(fields.get("options", b"")) + len(content),
        "identification": 0x1812,
        "flags": 0,
        "fragment_offset": 0,
        "time_to_live": 64,
        "protocol": PROTOCOL_UDP,
        "checksum": 0,
        "source": source,
        "destination": destination,
    }
    header = IPv4Header(**(usual | fields))
    return (header if "checksum" in fields else header.with_checksum()).build() + content


def resummed(octets: bytes) -> bytes:
    """Return a datagram with the checksum that belongs to its first 20 octets as they are now."""
    bare = octets[:10] + bytes(2) + octets[12:20]
    return octets[:10] + checksum(bare).to_bytes(2, "big") + octets[12:]


def icmp(kind: int, code: int, rest: int, data: bytes) -> bytes:
    """Return an ICMP message with a right checksum."""
    return ICMPHeader(kind, code, 0, rest).with_checksum(data).build() + data


def echo(destination: int, data: bytes = ECHOED, **fields: Any) -> bytes:
    """Return a datagram with an echo message for `destination` (RFC 792, page 14)."""
    message = icmp(ICMP_ECHO, 0, 0x0007_0001, data)
    return datagram(message, protocol=PROTOCOL_ICMP, destination=destination, **fields)


def at_quay(
    octets: bytes,
    at_s: float = 0.0,
    *,
    interface: str = QUAY.name,
    to: bytes | None = None,
    ether_type: int = ETHER_TYPE_IPV4,
) -> Given:
    """Return a datagram in a frame from a neighbour to the router's interface.

    to: the hardware address to which the frame goes instead.
    """
    header = EthernetHeader(to or _OURS[interface], _CARDS[interface], ether_type)
    return Given(at_s, interface, header.build() + octets)


def arp(
    packet: ARPPacket, interface: str, at_s: float = 0.0, to: bytes = BROADCAST, tail: bytes = b""
) -> Given:
    """Return an address resolution packet in a frame from its sender; `tail` is padding."""
    header = EthernetHeader(to, packet.sender_hardware_address, ETHER_TYPE_ARP)
    return Given(at_s, interface, header.build() + packet.build() + tail)


def asks(
    asker: Station, target: int, at_s: float = 0.0, card: bytes | None = None, tail: bytes = b""
) -> Given:
    """Return the question of a station: who has the address `target`?

    card: the hardware address that it tells, if that is another one than the bench knows.
    """
    ends = (card or asker.hardware_address, asker.address, bytes(6), target)
    return arp(ARPPacket(ARP_REQUEST, *ends), asker.interface, at_s, tail=tail)


def answers(
    who: Station, at_s: float = 0.0, *, card: bytes | None = None, target: int | None = None
) -> Given:
    """Return the answer of a station to the router."""
    ours = next(each for each in INTERFACES if each.name == who.interface)
    ends = (card or who.hardware_address, who.address, ours.hardware_address)
    packet = ARPPacket(ARP_REPLY, *ends, ours.address if target is None else target)
    return arp(packet, who.interface, at_s, ours.hardware_address)
