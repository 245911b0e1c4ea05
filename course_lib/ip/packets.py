"""What stands at a link and what travels over it: interfaces, frames, and packets on their way.

A packet is an immutable value. Whoever finds something out, or changes something, makes a new one;
so one can lay the packet before a stage of a router and the one behind it side by side. Hosts and
routers share these types.
"""

__all__ = ["Interface", "OutgoingFrame", "Packet", "link_broadcasts", "original_datagram"]

from collections.abc import Iterable
from typing import NamedTuple

from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.special import broadcasts_of


class Interface(NamedTuple):
    """One attachment of the router to a link: its addresses there, and what the link can carry."""

    name: str
    hardware_address: bytes
    address: int
    prefix: Prefix
    mtu: int = 1500  # octets of IP datagram; the Ethernet header is not counted (RFC 894)


class OutgoingFrame(NamedTuple):
    """A frame that the caller is asked to send out of `interface`."""

    interface: str
    frame: bytes


class Packet(NamedTuple):
    """One packet on its way, and what the stages have found out so far (None: nothing yet)."""

    now_s: float  # when it arrived, or left a place in which it waited
    arrived_on: str | None  # the interface; None for a packet of the router's own
    frame: bytes  # as it arrived, whatever happens to the rest
    header: IPv4Header | None = None
    payload: bytes = b""
    leaves_on: str | None = None
    next_hop: int | None = None  # the neighbour's address; the destination if it is a neighbour


def link_broadcasts(interfaces: Iterable[Interface]) -> frozenset[int]:
    """Return all addresses that mean "everybody" on one of these links.

    255.255.255.255 is not among them: it means everybody on whichever link it is met.
    """
    return frozenset(address for each in interfaces for address in broadcasts_of(each.prefix))


def original_datagram(packet: Packet) -> bytes:
    """Return the datagram as it arrived, without padding: ICMP errors quote this.

    RFC 1812, section 4.3.2.3: what is quoted is the packet as it came in.
    """
    datagram = packet.frame[ETHERNET_OCTETS:]
    return datagram[: int.from_bytes(datagram[2:4], "big")]
