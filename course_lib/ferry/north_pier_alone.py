"""A router and packets to try things out with: North Pier of Quillwater Ferries, and nine frames.

    Ticket Office 198.51.100.2 ---- North Pier ---- 192.0.2.1 Reed Pier, 198.51.100.64/27 behind it
                                     |      :
    198.51.100.96/27, 192.0.2.6 Gull Rock   192.0.2.9 Plover, 203.0.113.0/28 behind it

Names and addresses are those of `course_lib.ferry.network`. But the radio link to Plover carries
576 octets at most, and Gull Rock has not been asked for its hardware address yet. Each frame takes
another way through the router; all of them come from the ticket office.
"""

__all__ = ["ARRIVALS", "Arrival", "north_pier"]

from typing import Any, NamedTuple

from course_lib.forwarding.router import Router
from course_lib.headers.assigned_numbers import (
    ETHER_TYPE_IPV4,
    ICMP_ECHO,
    PROTOCOL_ICMP,
    PROTOCOL_UDP,
)
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.fragmentation import DONT_FRAGMENT
from course_lib.ip.packets import Interface
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address

_HERE = "to Ticket Office"
_LINKS = (  # the last octet of the hardware address, our address, the prefix, the largest datagram
    ("to Reed Pier", 0x00, "192.0.2.0", "192.0.2.0/31", 1500),
    ("to Gull Rock", 0x07, "192.0.2.7", "192.0.2.6/31", 1500),
    ("to Plover", 0x08, "192.0.2.8", "192.0.2.8/31", 576),
    (_HERE, 0x12, "198.51.100.1", "198.51.100.0/27", 1500),
)
_NEIGHBOURS = (
    ("to Reed Pier", 0x01, "192.0.2.1"),
    ("to Plover", 0x09, "192.0.2.9"),
    (_HERE, 0x13, "198.51.100.2"),
)
_ROUTES = (
    ("198.51.100.64/27", "192.0.2.1", "to Reed Pier"),
    ("198.51.100.96/27", "192.0.2.6", "to Gull Rock"),
    ("203.0.113.0/28", "192.0.2.9", "to Plover"),
)
_TIMETABLE_BOARD, _WEATHER_MAST = "198.51.100.66", "198.51.100.98"
_PLOVER_SCREEN, _NORTH_PIER, _NOWHERE = "203.0.113.2", "198.51.100.1", "203.0.113.200"
_RECORD_ROUTE = bytes.fromhex("07070400 00000000")  # room for one address: RFC 791, section 3.1
_PORT = 49152  # the first of those for free use: RFC 6335, section 6


class Arrival(NamedTuple):
    """A frame, and the interface on which it arrives."""

    interface: str
    frame: bytes


def north_pier() -> Router:
    """Return a router that has received nothing yet. It knows all its neighbours but Gull Rock.

    >>> north_pier()
    <router North Pier: receive, validate, decide, rewrite, queue, send; 7 routes>
    """
    interfaces = [
        Interface(name, _station(last), parse_address(ours), parse_prefix(prefix), mtu)
        for name, last, ours, prefix, mtu in _LINKS
    ]
    router = Router("North Pier", interfaces)
    for prefix, next_hop, interface in _ROUTES:
        router.add_route(parse_prefix(prefix), parse_address(next_hop), interface)
    for interface, last, neighbour in _NEIGHBOURS:
        router.neighbours[interface].keep(parse_address(neighbour), _station(last))
    return router


def _station(last: int) -> bytes:
    """Return a hardware address for documentation (RFC 9542)."""
    return bytes([0, 0, 0x5E, 0, 0x53, last])


def _arrival(destination: str, payload: bytes, **fields: Any) -> Arrival:
    """Return the arrival of a datagram from the ticket office; `fields` may be any other ones."""
    usual = IPv4Header(
        type_of_service=0,
        total_length=20 + len(payload) + len(fields.get("options", b"")),
        identification=7,
        flags=0,
        fragment_offset=0,
        time_to_live=64,
        protocol=PROTOCOL_UDP,
        checksum=0,
        source=parse_address("198.51.100.2"),
        destination=parse_address(destination),
    )
    ethernet = EthernetHeader(_station(0x12), _station(0x13), ETHER_TYPE_IPV4)
    header = usual._replace(**fields).with_checksum()
    return Arrival(_HERE, ethernet.build() + header.build() + payload)


def _timetable(destination: str, octets: int = 26, **fields: Any) -> Arrival:
    """Return the arrival of a UDP datagram that holds text; checksum 0 says that it has none."""
    text = b"Curlew leaves Reed at 7:40".ljust(octets, b".")
    udp = UDPHeader(_PORT, _PORT, 8 + octets, 0)
    return _arrival(destination, udp.build() + text, **fields)


def _echo(destination: str) -> Arrival:
    """Return the arrival of an ICMP echo message (RFC 792, page 14)."""
    data = b"are you there?"
    icmp = ICMPHeader(ICMP_ECHO, 0, 0, 0x0007_0001).with_checksum(data)
    return _arrival(destination, icmp.build() + data, protocol=PROTOCOL_ICMP)


def _damaged(arrival: Arrival) -> Arrival:
    """Flip the lowest bit of the header checksum, which is in octet 25 of the frame."""
    frame = bytearray(arrival.frame)
    frame[25] ^= 1
    return arrival._replace(frame=bytes(frame))


ARRIVALS = {
    "plain": _timetable(_TIMETABLE_BOARD),
    "time to live 1": _timetable(_TIMETABLE_BOARD, time_to_live=1),
    "too large": _timetable(_PLOVER_SCREEN, 1000),
    "too large, may not be cut": _timetable(_PLOVER_SCREEN, 1000, flags=DONT_FRAGMENT),
    "no route": _timetable(_NOWHERE),
    "for the router": _echo(_NORTH_PIER),
    "wrong checksum": _damaged(_timetable(_TIMETABLE_BOARD)),
    "with options": _timetable(_TIMETABLE_BOARD, options=_RECORD_ROUTE),
    "unknown neighbour": _timetable(_WEATHER_MAST),
}
