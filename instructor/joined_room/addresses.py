"""Address blocks by plan: whoever knows the pier knows its block, and the other way round.

* the network at a pier, where its host stands: 10.100.PIER.0/24, with piers from 1 on; the router
  has .1 in it and the host .2;
* the network of a link: two addresses of 10.101.0.0/16, in the order of the links' numbers. A link
  of two needs no more (RFC 3021).

These are private addresses (RFC 1918), as unit 03 hands them out. The blocks for documentation (RFC
5737) hold 768 addresses in three pieces: 60 piers would fit only in crumbs of eight, and nobody
could read from an address whose it is. No address of these ever leaves a machine but inside a link.

Hardware addresses are those for documentation (RFC 9542); they need to differ on one link only.
"""

__all__ = ["HOST_NUMBER", "MTU", "ROOM_BLOCK", "PierNetwork", "link_interface", "pier_network"]

from typing import NamedTuple

from course_lib.ip.packets import Interface
from course_lib.network.building import HARDWARE_ADDRESSES
from course_lib.prefixes.prefix import Prefix, parse_prefix

ROOM_BLOCK = parse_prefix("10.100.0.0/15")
_PIERS, _LINKS = parse_prefix("10.100.0.0/16"), parse_prefix("10.101.0.0/16")
ROUTER_NUMBER, HOST_NUMBER = 1, 2
MTU = 1400  # octets inside a link: the outer headers and the seal fit into 1500 (RFC 894)
HOST_INTERFACE, TO_HOST = "wired", "to the host"
_HOST_MAC, _ROUTER_MAC = 0xFE, 0xFF


class PierNetwork(NamedTuple):
    """The network at a pier: its block, and the interfaces of its router and its host."""

    block: Prefix
    router: Interface
    host: Interface


def pier_network(pier: int) -> PierNetwork:
    """Return the network at a pier; `pier` counts from 0.

    >>> str(pier_network(0).block)
    '10.100.1.0/24'
    """
    block = Prefix(_PIERS.network + ((pier + 1) << 8), 24)
    return PierNetwork(
        block,
        Interface(TO_HOST, _mac(_ROUTER_MAC), block.network + ROUTER_NUMBER, block, MTU),
        Interface(HOST_INTERFACE, _mac(_HOST_MAC), block.network + HOST_NUMBER, block, MTU),
    )


def link_interface(number: int, end: int, to: str) -> Interface:
    """Return the interface at one end of a link, 0 or 1; `to` is the pier at the other end.

    >>> str(link_interface(3, 1, "Reed Pier").prefix)
    '10.101.0.6/31'
    """
    prefix = Prefix(_LINKS.network + 2 * number, 31)
    return Interface(f"to {to}", _mac(2 * number + end), prefix.network + end, prefix, MTU)


def _mac(last: int) -> bytes:
    return HARDWARE_ADDRESSES + bytes([last])
