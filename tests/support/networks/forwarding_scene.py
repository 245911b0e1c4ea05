"""North Pier, a router of Quillwater Ferries, and packets for it; shared by the forwarding tests.

ticket office 192.0.2.7 --- harbour 192.0.2.1 [North Pier] 198.51.100.1 sea --- Plover 198.51.100.2
                                                                203.0.113.0/24 lies behind Plover
"""

from typing import NamedTuple

from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.icmp_errors import read_quote
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.prefixes.prefix import parse_prefix as prefix
from course_lib.prefixes.text import parse_address as address


def station(number):
    """A hardware address for documentation (RFC 9542)."""
    return bytes([0, 0, 0x5E, 0, 0x53, number])


HARBOUR, SEA, OFFICE_MAC, PLOVER_MAC = station(1), station(2), station(7), station(0x12)
NORTH_PIER, NORTH_PIER_AT_SEA = address("192.0.2.1"), address("198.51.100.1")
OFFICE, PLOVER, ISLAND = address("192.0.2.7"), address("198.51.100.2"), address("203.0.113.9")
ISLANDS = prefix("203.0.113.0/24")
BROADCAST = b"\xff" * 6


def interfaces(sea_mtu=1500):
    return [
        Interface("harbour", HARBOUR, NORTH_PIER, prefix("192.0.2.0/24")),
        Interface("sea", SEA, NORTH_PIER_AT_SEA, prefix("198.51.100.0/24"), sea_mtu),
    ]


def north_pier(sea_mtu=1500, **options):
    """A router with a route to the islands, which knows its two neighbours."""
    router = Router("North Pier", interfaces(sea_mtu), **options)
    router.add_route(ISLANDS, PLOVER, "sea")
    learn(router, "harbour", OFFICE_MAC, OFFICE)
    learn(router, "sea", PLOVER_MAC, PLOVER)
    fresh = type(router.counters)()
    for name in fresh.__dataclass_fields__:
        setattr(router.counters, name, getattr(fresh, name))
    return router


def learn(router, interface, mac, neighbour, now_s=0.0):
    """Let a neighbour ask for the router, which teaches the router the neighbour's address."""
    ours = router.interfaces[interface]
    question = ARPPacket(1, mac, neighbour, bytes(6), ours.address)
    return router.receive(now_s, interface, arp_frame(BROADCAST, mac, question))


def arp_frame(destination, source, packet):
    return EthernetHeader(destination, source, 0x0806).build() + packet.build()


def datagram(payload=b"", **fields):
    """A datagram from the ticket office to an island, with a right checksum; fields may differ."""
    defaults = {
        "type_of_service": 0, "total_length": 20 + len(payload) + len(fields.get("options", b"")),
        "identification": 7, "flags": 0, "fragment_offset": 0, "time_to_live": 64, "protocol": 253,
        "checksum": 0, "source": OFFICE, "destination": ISLAND,
    }  # fmt: skip
    return IPv4Header(**(defaults | fields)).with_checksum().build() + payload


def frame(data, destination=HARBOUR, source=OFFICE_MAC, ether_type=0x0800):
    return EthernetHeader(destination, source, ether_type).build() + data


def give(router, data, interface="harbour", now_s=0.0, destination=None):
    """Hand a datagram to the router; return what it sends."""
    to = router.interfaces[interface].hardware_address if destination is None else destination
    return router.receive(now_s, interface, frame(data, to))


class Seen(NamedTuple):
    """A frame that was sent, taken to pieces."""

    interface: str
    ethernet: EthernetHeader
    header: IPv4Header
    payload: bytes


def seen(outgoing: OutgoingFrame) -> Seen:
    ethernet = EthernetHeader.parse(outgoing.frame)
    data = ethernet.payload(outgoing.frame)
    header = IPv4Header.parse(data, verify_checksum=True)
    return Seen(outgoing.interface, ethernet, header, header.payload(data))


class Message(NamedTuple):
    """An ICMP error, taken to pieces."""

    header: IPv4Header
    icmp: ICMPHeader
    quoted: bytes


def error(outgoing: OutgoingFrame) -> Message:
    """The one ICMP error that is in a frame; its checksum is verified."""
    _, _, header, payload = seen(outgoing)
    assert header.protocol == 1
    icmp = ICMPHeader.parse(payload, verify_checksum=True)
    quoted = icmp.payload(payload)
    read_quote(quoted)
    return Message(header, icmp, quoted)


def only_error(frames):
    (outgoing,) = frames
    return error(outgoing)


def only_drop(router):
    """The one reason for which one packet was dropped; no stage failed."""
    assert not router.complaints
    ((reason, count),) = router.counters.dropped.items()
    assert count == 1
    return reason
