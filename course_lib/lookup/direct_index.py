"""Longest prefix match by direct index: the table holds the answer for every address in advance.

After P. Gupta, S. Lin, N. McKeown, "Routing Lookups in Hardware at Memory Access Speeds",
IEEE INFOCOM 1998. Two levels:

* the first has an entry for each of the 2**24 values of an address's first three octets;
* where some prefix is longer than 24 bits, that entry names a block of 256 entries in the second
  level, one for each value of the last octet.

So a lookup is one read, seldom two, and the price is paid when routes change. Inserting a prefix
overwrites the entries that it covers and where no longer prefix stands; withdrawing it hands its
own entries back to the next shorter prefix around it. To tell these apart, each entry also holds
the length of its prefix.

The routes are kept beside it, to find that shorter prefix, by node number. The empty prefix is
node 1, and a bit more leads from node n to node 2n or 2n + 1. So all prefixes have different
numbers, and cutting the last bit off node n leads to n >> 1. Only a route of exactly 24 bits is
its own entry in the first level and kept nowhere else, unless a block stands there.

The paper's entries have 16 bits, which leaves numbers for 32,768 blocks; a table with more of them
would silently read the wrong block. The 32 bits here leave room for as many blocks as there can
be (2**24), at twice the memory: 64 MiB for the first level, 1 KiB for each block. The routes
take another 64 MiB when there are many, of which a lookup needs nothing.

IPv6: use `BinaryTrie`. A first level for the usual /48 would need 2**48 entries, a pebibyte.
With 24 bits first and eight at a time after, each route of /48 may need three blocks of its own,
3 KiB, and looking up a /64 takes up to six reads.

Real routers: several levels of smaller steps, packed so that they fit into fast memory (common
practice).
"""

__all__ = ["DirectIndex"]

from itertools import pairwise
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from course_lib.lookup.array_checks import as_addresses, in_order
from course_lib.lookup.direct_index_reader import (
    BLOCK,
    LENGTH_SHIFT,
    NUMBER,
    Blocks,
    Entries,
    read_entries,
)
from course_lib.lookup.protocol import (
    Addresses,
    LookupTable,
    NextHops,
    check_next_hop,
    check_prefix,
    no_such_route,
)
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, check_address

_FIRST_BITS = 24
_BLOCK_SIZE = 256
_FIRST_BLOCKS = 64  # room for so many at the start; doubled when it is used up
_FIRST_NODE = 1 << _FIRST_BITS  # the nodes of 24 bits start here,
_LONG_NODE = 2 * _FIRST_NODE  # and the longer ones here
_FIRST_ENTRY = _FIRST_BITS << LENGTH_SHIFT  # the smallest entry of a route of 24 bits
# Plain integers, since NumPy's are slow one at a time.
_BLOCK = int(BLOCK)
_NUMBER = int(NUMBER)


class DirectIndex(LookupTable):
    """Two levels of ready answers, IPv4 only.

    >>> table = DirectIndex()
    >>> table.insert(Prefix(0x0A000000, 8), 1)
    >>> table.lookup_many([0x0A010203, 0x0B000000])
    array([ 1, -1], dtype=int32)
    """

    def __init__(self) -> None:
        self.bits = IPV4_BITS
        self._first: Entries = np.zeros(1 << _FIRST_BITS, np.uint32)
        self._second: Blocks = np.zeros((_FIRST_BLOCKS, _BLOCK_SIZE), np.uint32)
        # The same memory once more, for one entry at a time: twice as fast as through NumPy.
        self._first_view = self._first.data
        self._second_view = self._second.data
        self._spare_blocks = list(range(_FIRST_BLOCKS))
        self._users = [0] * _FIRST_BLOCKS  # for each block, the number of its long routes
        # The next hop plus one of each route, or 0 where there is none: by node for short routes
        # and for the few long ones, by block for those of 24 bits whose entry names a block.
        self._short_routes: Entries = np.zeros(_FIRST_NODE, np.uint32)
        self._covered_routes = [0] * _FIRST_BLOCKS
        self._short_routes_view = self._short_routes.data
        self._long_routes: dict[int, int] = {}
        self._size = 0

    @classmethod
    def from_arrays(
        cls, networks: NDArray[Any], lengths: NDArray[Any], next_hops: NDArray[Any]
    ) -> Self:
        """Build the table of many routes at once: entry i of each array makes one route.

        Raises ValueError for a route that `insert` would refuse, and for a prefix given twice.
        """
        networks, numbers, ends = in_order(networks, lengths, next_hops)
        numbers += 1
        table = cls()
        # Shortest first: what comes later is longer and may overwrite without asking.
        for length, (start, end) in enumerate(pairwise([0, *ends])):
            if start < end:
                table._add_all(length, networks[start:end], numbers[start:end])
        return table

    @property
    def memory_bytes(self) -> int:
        """Size of the two levels, which is all that a lookup reads."""
        return self._first.nbytes + self._second.nbytes

    def insert(self, prefix: Prefix, next_hop: int) -> None:
        """Overwrite the entries under the prefix which do not belong to a longer one."""
        network, length, bits = prefix
        if bits != IPV4_BITS:  # asked here: the call would cost as much as the rest
            check_prefix(prefix, self.bits)
        check_next_hop(next_hop)
        entry = length << LENGTH_SHIFT | next_hop + 1
        if length == _FIRST_BITS and (before := self._first_view[network >> 8]) < _BLOCK:
            # Of a route of 24 bits its own entry is all there is; by far the most frequent case.
            self._size += before < _FIRST_ENTRY
            self._first_view[network >> 8] = entry
            return
        self._keep(_node(network, length), next_hop + 1)
        self._overwrite(network, length, entry)

    def withdraw(self, prefix: Prefix) -> None:
        """Hand the prefix's own entries to the longest of the shorter prefixes around it."""
        check_prefix(prefix, self.bits)
        network, length, _ = prefix
        node = _node(network, length)
        if not self._kept(node):
            raise no_such_route(prefix)
        self._overwrite(network, length, self._entry_around(node))
        self._forget(node)

    def lookup(self, address: int) -> int | None:
        """Read the first level, and the second where the first says so."""
        if address >> IPV4_BITS:  # asked here and not in `check_address`: this is the hot path
            check_address(address, IPV4_BITS)
        entry = self._first_view[address >> 8]
        if entry >= _BLOCK:
            entry = self._second_view[entry & _NUMBER, address & 0xFF]
        return (entry & _NUMBER) - 1 if entry else None

    def lookup_many(self, addresses: Addresses) -> NextHops:
        """Return the next hop for each address, `NO_ROUTE` where no prefix holds it.

        An array of `uint32` is taken as it is; anything else is copied into one first.
        """
        numbers = as_addresses(addresses)
        hops = np.empty(numbers.size, np.int32)
        read_entries(self._first, self._second, numbers, hops)
        return hops

    def __len__(self) -> int:
        return self._size

    def _overwrite(self, network: int, length: int, entry: int) -> None:
        """Put `entry` over all entries under a prefix that do not belong to a longer one.

        Longer prefixes' entries, and those that name a block, are larger than any of this length.
        """
        slot = network >> 8
        end = (length + 1) << LENGTH_SHIFT
        if length > _FIRST_BITS:
            start = network & 0xFF
            block = self._second[self._first_view[slot] & _NUMBER]
            _replace(block[start : start + (1 << (IPV4_BITS - length))], end, entry)
        elif length == _FIRST_BITS and self._first_view[slot] < _BLOCK:
            self._first_view[slot] = entry
        else:
            span = self._first[slot : slot + (1 << (_FIRST_BITS - length))]
            blocks = span[span >= BLOCK] & NUMBER
            inside = self._second[blocks]
            _replace(inside, end, entry)
            self._second[blocks] = inside
            _replace(span, end, entry)

    def _entry_around(self, node: int) -> int:
        """Return the entry of the longest shorter prefix around a node; 0 if there is none."""
        while node > 1:
            node >>= 1
            number = self._kept(node)
            if number:
                return _length(node) << LENGTH_SHIFT | number
        return 0

    def _kept(self, node: int) -> int:
        """Return the next hop plus one of the route with exactly this prefix, 0 if none."""
        if node < _FIRST_NODE:
            return self._short_routes_view[node]
        if node >= _LONG_NODE:
            return self._long_routes.get(node, 0)
        entry = self._first_view[_slot(node)]
        if entry >= _BLOCK:
            return self._covered_routes[entry & _NUMBER]
        return entry & _NUMBER if entry >= _FIRST_ENTRY else 0

    def _keep(self, node: int, number: int) -> None:
        """Keep a new or changed route; a long one opens the block that it needs."""
        is_new = not self._kept(node)
        self._size += is_new
        if node >= _LONG_NODE:
            self._users[self._block_for(_slot(node))] += is_new
            self._long_routes[node] = number
        else:
            self._set(node, number)

    def _forget(self, node: int) -> None:
        """Drop a route; the last long one closes its block again."""
        self._size -= 1
        if node < _LONG_NODE:
            self._set(node, 0)
            return
        del self._long_routes[node]
        slot = _slot(node)
        block = self._first_view[slot] & _NUMBER
        self._users[block] -= 1
        if not self._users[block]:
            # What is left covers all of the block, so its 256 entries are alike.
            self._first_view[slot] = self._second_view[block, 0]
            self._spare_blocks.append(block)

    def _set(self, node: int, number: int) -> None:
        """Note down a route of at most 24 bits, unless its own entry will tell."""
        if node < _FIRST_NODE:
            self._short_routes_view[node] = number
        elif (entry := self._first_view[_slot(node)]) >= _BLOCK:
            self._covered_routes[entry & _NUMBER] = number

    def _block_for(self, slot: int) -> int:
        """Return the block behind an entry of the first level, opening one if there is none."""
        entry = self._first_view[slot]
        if entry >= _BLOCK:
            return entry & _NUMBER
        if not self._spare_blocks:
            self._add_spare_blocks()
        block = self._spare_blocks.pop()
        self._second[block] = entry
        self._covered_routes[block] = entry & _NUMBER if entry >= _FIRST_ENTRY else 0
        self._first_view[slot] = _BLOCK | block
        return block

    def _add_spare_blocks(self) -> None:
        have = len(self._second)
        self._second = np.concatenate([self._second, np.zeros_like(self._second)])
        self._second_view = self._second.data
        self._spare_blocks += range(have, 2 * have)
        self._users += [0] * have
        self._covered_routes += [0] * have

    def _add_all(self, length: int, networks: NDArray[np.int64], numbers: Entries) -> None:
        """Add all routes of one length; none of that length or longer may be there yet."""
        # Cut a level into rows as long as the prefix is wide: it covers exactly one of them.
        shift = IPV4_BITS - length
        if length <= _FIRST_BITS:
            rows, places = self._first.reshape(1 << length, -1), networks >> shift
            if length < _FIRST_BITS:
                self._short_routes[1 << length : 2 << length][places] = numbers
            self._size += networks.size
        else:
            nodes = 1 << length | networks >> shift
            for node, number in zip(nodes.tolist(), numbers.tolist(), strict=True):
                self._keep(node, number)
            blocks = (self._first[networks >> 8] & NUMBER).astype(np.int64)
            rows = self._second.reshape(-1, 1 << shift)
            places = (blocks << 8 | networks & 0xFF) >> shift
        rows[places] = (numbers | np.uint32(length << LENGTH_SHIFT))[:, np.newaxis]


def _node(network: int, length: int) -> int:
    """Return the node number of a prefix."""
    return 1 << length | network >> (IPV4_BITS - length)


def _length(node: int) -> int:
    return node.bit_length() - 1


def _slot(node: int) -> int:
    """Return the entry of the first level that a node of 24 bits or more belongs to."""
    return node >> (_length(node) - _FIRST_BITS) ^ 1 << _FIRST_BITS


def _replace(entries: Entries, end: int, entry: int) -> None:
    """Overwrite the entries below `end`."""
    entries[entries < end] = entry
