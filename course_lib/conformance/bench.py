"""The place in which every router is tried: three links, who stands at them, and four routes.

    Ticket Office 192.0.2.7 --+                                                +-- Plover .2
    Reed Pier 192.0.2.9 ------+-- quay [192.0.2.1 router 198.51.100.1] radio --+-- Curlew .3
                                            192.0.2.254                        +-- (nobody) .40
                                                 |
                                               cable, a link of two (RFC 3021)
                                                 |
                                           Gull Rock 192.0.2.255

    203.0.113.0/25    lies behind Plover
    203.0.113.64/26   within it lies behind Gull Rock
    203.0.113.70/32   within that lies behind Curlew
    203.0.113.192/27  lies behind Reed Pier, so that the office could go there directly
    198.51.100.192/26 lies behind a neighbour that never answers

The radio link carries 576 octets at most. All addresses are those set aside for documentation.
Who stands where is never told to the router: it has to ask (RFC 826), and `stations` answers.
"""

__all__ = [
    "CABLE",
    "CURLEW",
    "DEFAULT_ROUTE",
    "GULL_ROCK",
    "IMPOSTORS",
    "INTERFACES",
    "NOWHERE",
    "OFFICE",
    "OWN_ADDRESSES",
    "PLOVER",
    "QUAY",
    "RADIO",
    "REED",
    "ROUTES",
    "SILENT",
    "STATIONS",
    "RouteGiven",
    "Station",
    "name_of_station",
]

from typing import NamedTuple

from course_lib.ip.packets import Interface
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import format_mac, parse_address


class Station(NamedTuple):
    """A neighbour: its name, the link at which it stands, and its two addresses there."""

    name: str
    interface: str
    address: int
    hardware_address: bytes


class RouteGiven(NamedTuple):
    """A route that the router is told; its links it knows from its interfaces.

    The three values are what `add_route` of the library's router takes, in this order.
    """

    prefix: Prefix
    next_hop: int | None
    interface: str


def _card(last: int) -> bytes:
    """Return a hardware address for documentation (RFC 9542)."""
    return bytes([0, 0, 0x5E, 0, 0x53, last])


def _interface(name: str, last: int, address: str, prefix: str, mtu: int) -> Interface:
    return Interface(name, _card(last), parse_address(address), parse_prefix(prefix), mtu)


QUAY = _interface("quay", 0x01, "192.0.2.1", "192.0.2.0/26", 1500)
RADIO = _interface("radio", 0x02, "198.51.100.1", "198.51.100.0/26", 576)
CABLE = _interface("cable", 0x03, "192.0.2.254", "192.0.2.254/31", 1500)
INTERFACES = (QUAY, RADIO, CABLE)
OWN_ADDRESSES = frozenset(each.address for each in INTERFACES)

OFFICE = Station("Ticket Office", "quay", parse_address("192.0.2.7"), _card(0x07))
REED = Station("Reed Pier", "quay", parse_address("192.0.2.9"), _card(0x09))
PLOVER = Station("Plover", "radio", parse_address("198.51.100.2"), _card(0x12))
CURLEW = Station("Curlew", "radio", parse_address("198.51.100.3"), _card(0x13))
GULL_ROCK = Station("Gull Rock", "cable", parse_address("192.0.2.255"), _card(0x20))
STATIONS = (OFFICE, REED, PLOVER, CURLEW, GULL_ROCK)
# Addresses that stand for all hosts of a link. Who takes them for one host's asks for its hardware
# address; somebody answers, so that it comes out.
IMPOSTORS = (
    Station("somebody", "quay", parse_address("192.0.2.63"), _card(0x66)),
    Station("somebody", "radio", parse_address("198.51.100.63"), _card(0x67)),
    Station("somebody", "radio", parse_address("198.51.100.0"), _card(0x68)),
)
SILENT = parse_address("198.51.100.40")  # a next hop at which nobody stands
NOWHERE = parse_address("203.0.113.250")  # no route leads there

ROUTES = (
    RouteGiven(parse_prefix("203.0.113.0/25"), PLOVER.address, "radio"),
    RouteGiven(parse_prefix("203.0.113.64/26"), GULL_ROCK.address, "cable"),
    RouteGiven(parse_prefix("203.0.113.70/32"), CURLEW.address, "radio"),
    RouteGiven(parse_prefix("203.0.113.192/27"), REED.address, "quay"),
    RouteGiven(parse_prefix("198.51.100.192/26"), SILENT, "radio"),
)

DEFAULT_ROUTE = RouteGiven(parse_prefix("0.0.0.0/0"), PLOVER.address, "radio")

_CARDS = {each.hardware_address: each.name for each in (*STATIONS, *IMPOSTORS)} | {
    each.hardware_address: f"the router's {each.name}" for each in INTERFACES
}


def name_of_station(hardware_address: bytes) -> str:
    """Return whose hardware address it is, in words.

    >>> name_of_station(PLOVER.hardware_address), name_of_station(b"\\xff" * 6)
    ('Plover', 'all stations')
    """
    if hardware_address == b"\xff" * 6:
        return "all stations"
    return _CARDS.get(hardware_address) or format_mac(hardware_address)
