"""Which IPv4 addresses are special to a router (RFC 1812, sections 4.2.2.11, 4.2.3.1 and 5.3.7).

Packets with a source or destination that no honest packet can have on a wire are called martians.
Private and documentation addresses are none: inside a network they are used like all others.
"""

__all__ = [
    "FIRST_MULTICAST",
    "LIMITED_BROADCAST",
    "NEVER_DESTINATION",
    "NEVER_SOURCE",
    "broadcasts_of",
    "is_invalid_destination",
    "is_invalid_source",
    "is_multicast",
]

from course_lib.prefixes.prefix import Prefix

LIMITED_BROADCAST = 0xFFFFFFFF  # RFC 1812, section 4.2.2.11: all hosts of this link
FIRST_MULTICAST = 224 << 24  # RFC 1112, section 4; no address from here on is a single host's
# Whole nets, by the first octet of the address: net 0 (this net), 127 (loopback), 224 to 239
# (multicast), 240 to 255 (class E, and the limited broadcast).
NEVER_SOURCE = frozenset([0, 127, *range(224, 256)])
NEVER_DESTINATION = frozenset([0, 127, *range(240, 256)])  # but for the limited broadcast
_LONGEST_WITH_BROADCAST = 30  # RFC 3021: the two addresses of a /31 are both hosts


def is_invalid_source(address: int) -> bool:
    """Return True for net 0, the loopback net, and whatever is not one single host.

    Broadcasts of a link can only be told by whoever knows its prefix: see `broadcasts_of`.

    >>> is_invalid_source(0x7F000001), is_invalid_source(0xC0000201)
    (True, False)
    """
    return address >> 24 in NEVER_SOURCE


def is_invalid_destination(address: int) -> bool:
    """Return True for net 0, the loopback net and class E, of which 255.255.255.255 is no part.

    >>> is_invalid_destination(0x7F000001), is_invalid_destination(LIMITED_BROADCAST)
    (True, False)
    """
    return address >> 24 in NEVER_DESTINATION and address != LIMITED_BROADCAST


def is_multicast(address: int) -> bool:
    """Return True for an address that stands for a group of hosts.

    >>> is_multicast(224 << 24 | 5), is_multicast(0xC0000201)
    (True, False)
    """
    return address >> 28 == FIRST_MULTICAST >> 28


def broadcasts_of(prefix: Prefix) -> tuple[int, ...]:
    """Return the two addresses of a link that mean all its hosts, if it has such addresses.

    The last one is the directed broadcast. The first one is an old form of it, which a router
    takes for a broadcast and never sends (RFC 1812, section 4.2.3.1).

    >>> [hex(address) for address in broadcasts_of(Prefix(0xC0000200, 24))]
    ['0xc0000200', '0xc00002ff']
    """
    if prefix.length > _LONGEST_WITH_BROADCAST:
        return ()
    return prefix.first, prefix.last
