"""Longest prefix match in a list: the definition, turned into code.

The routes stand in order of length, the longest first, so the first match is the longest match.
A lookup reads the whole list when nothing matches: with a million routes, a million comparisons.

Real routers: a ternary content-addressable memory is such a list, in which all comparisons are made
at the same moment; it pays with silicon and power what is paid here with time (common practice).
"""

__all__ = ["LinearList"]

from bisect import bisect_left
from typing import NamedTuple

from course_lib.lookup.protocol import LookupTable, check_next_hop, check_prefix, no_such_route
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, check_address


class LinearList(LookupTable):
    """All routes in one list, longest prefix first.

    >>> table = LinearList()
    >>> table.insert(Prefix(0x0A000000, 8), 1)
    >>> table.lookup(0x0A010203), table.lookup(0x0B000000)
    (1, None)
    """

    def __init__(self, bits: int = IPV4_BITS) -> None:
        self.bits = bits
        self._routes: list[_Route] = []

    def insert(self, prefix: Prefix, next_hop: int) -> None:
        """Put the route in its place: a binary search, then all behind it move up by one."""
        check_prefix(prefix, self.bits)
        check_next_hop(next_hop)
        place, is_there = self._find(prefix)
        self._routes[place : place + is_there] = [_Route(prefix, next_hop)]

    def withdraw(self, prefix: Prefix) -> None:
        """Remove the route; all behind it move down by one."""
        check_prefix(prefix, self.bits)
        place, is_there = self._find(prefix)
        if not is_there:
            raise no_such_route(prefix)
        del self._routes[place]

    def lookup(self, address: int) -> int | None:
        """Return the next hop of the first, so the longest, prefix that holds the address."""
        check_address(address, self.bits)
        for route in self._routes:
            if route.prefix.contains(address):
                return route.next_hop
        return None

    def __len__(self) -> int:
        return len(self._routes)

    def _find(self, prefix: Prefix) -> tuple[int, bool]:
        """Return the place where `prefix` belongs and whether it stands there already."""
        place = bisect_left(self._routes, _order(prefix), key=lambda route: _order(route.prefix))
        return place, place < len(self) and self._routes[place].prefix == prefix


class _Route(NamedTuple):
    prefix: Prefix
    next_hop: int


def _order(prefix: Prefix) -> tuple[int, int]:
    return -prefix.length, prefix.network
