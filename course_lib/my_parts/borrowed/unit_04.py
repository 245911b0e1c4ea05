"""Borrowed parts of unit 04: its exercises' contracts, kept by way of the library's tables.

The library's tables take numbers and give numbers; here texts come in and names come out.

Not here: `walk_trie`, `build_tables` and `spare_routes`. They explain how tables work, and no
router calls them.
"""

__all__ = ["covers", "look_up", "new_table"]

from course_lib.lookup import BinaryTrie, LinearList
from course_lib.prefixes.prefix import Prefix, parse_prefix, prefix_around
from course_lib.prefixes.text import parse_address


def covers(prefix: str, address: str) -> bool:
    """Tell whether a prefix, host bits or not, covers an address: exercise 4.1."""
    return _without_host_bits(prefix).contains(parse_address(address))


def look_up(routes: list[tuple[str, str, int]], address: str) -> tuple[str, str] | None:
    """Return prefix and next hop of the route that an address takes: exercise 4.2.

    Of equal prefixes a table keeps the one inserted last; so the lowest metric comes last.
    """
    table = LinearList()
    for number in sorted(range(len(routes)), key=lambda number: routes[number][2], reverse=True):
        table.insert(parse_prefix(routes[number][0]), number)
    found = table.lookup(parse_address(address))
    return None if found is None else (routes[found][0], routes[found][1])


def new_table() -> "NamedTable":
    """Return an empty route table for prefixes as text and next hops with names: exercise 4.4."""
    return NamedTable()


class NamedTable:
    """The library's trie, with a list of names beside it: the trie holds places in that list."""

    def __init__(self) -> None:
        self._trie = BinaryTrie()
        self._names: list[str] = []

    def insert(self, prefix: str, next_hop: str) -> None:
        """Add a route, or give its prefix another next hop."""
        if next_hop not in self._names:
            self._names.append(next_hop)
        self._trie.insert(_without_host_bits(prefix), self._names.index(next_hop))

    def withdraw(self, prefix: str) -> None:
        """Take a route away; raise `KeyError` if there is none with exactly this prefix."""
        self._trie.withdraw(_without_host_bits(prefix))

    def look_up(self, address: str) -> str | None:
        """Return the next hop of the longest prefix that covers an address."""
        place = self._trie.lookup(parse_address(address))
        return None if place is None else self._names[place]


def _without_host_bits(prefix: str) -> Prefix:
    address, _, bits = prefix.partition("/")
    return prefix_around(parse_address(address), int(bits))
