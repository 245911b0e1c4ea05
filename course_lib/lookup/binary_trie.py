"""Longest prefix match in a binary trie: one step down per bit of the address.

Every node is a prefix: the root is the empty one, and a step to `zero` or `one` adds a bit. A node
holds a next hop if its prefix is in the table; the others only lead further down. A lookup walks
as far as the address leads it and answers with the last next hop that it came by.

Rules: a leaf always holds a next hop (a withdrawal cuts off what leads nowhere), and the root
always exists. So the work depends on the length of the prefix and never on how many routes there
are: at most 32 steps for IPv4 and 128 for IPv6.

Real routers: skip chains of nodes with one child, or take several bits in a step.
"""

__all__ = ["BinaryTrie"]

from course_lib.lookup.protocol import LookupTable, check_next_hop, check_prefix, no_such_route
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, check_address


class BinaryTrie(LookupTable):
    """A tree of prefixes, one bit per level.

    >>> table = BinaryTrie(bits=128)
    >>> table.insert(Prefix(0x20010DB8 << 96, 32, 128), 7)
    >>> table.lookup(0x20010DB8 << 96 | 1)
    7
    """

    def __init__(self, bits: int = IPV4_BITS) -> None:
        self.bits = bits
        self._root = _Node()
        self._size = 0

    def insert(self, prefix: Prefix, next_hop: int) -> None:
        """Walk down to the prefix, making nodes on the way, and leave the next hop there."""
        check_prefix(prefix, self.bits)
        check_next_hop(next_hop)
        node = self._root
        for shift in _shifts(prefix):
            child = node.child(prefix.network >> shift & 1)
            if child is None:
                child = node.grow(prefix.network >> shift & 1)
            node = child
        self._size += node.next_hop is None
        node.next_hop = next_hop

    def withdraw(self, prefix: Prefix) -> None:
        """Walk down to the prefix, clear it, and cut off the branch if it leads nowhere now."""
        check_prefix(prefix, self.bits)
        path = self._path(prefix)
        if len(path) <= prefix.length or path[-1].next_hop is None:
            raise no_such_route(prefix)
        path[-1].next_hop = None
        self._size -= 1
        while len(path) > 1 and path[-1].is_empty():
            path[-2].cut(path.pop())

    def lookup(self, address: int) -> int | None:
        """Return the last next hop on the way that the bits of the address lead."""
        check_address(address, self.bits)
        node = self._root
        best = node.next_hop
        for shift in range(self.bits - 1, -1, -1):
            child = node.one if address >> shift & 1 else node.zero
            if child is None:
                break
            node = child
            if node.next_hop is not None:
                best = node.next_hop
        return best

    def __len__(self) -> int:
        return self._size

    def _path(self, prefix: Prefix) -> list["_Node"]:
        """Return the nodes from the root towards `prefix`, as far as there are any."""
        path = [self._root]
        for shift in _shifts(prefix):
            child = path[-1].child(prefix.network >> shift & 1)
            if child is None:
                break
            path.append(child)
        return path


class _Node:
    """A prefix in the tree: what it answers, and what follows after a 0 and after a 1."""

    __slots__ = ("next_hop", "one", "zero")

    def __init__(self) -> None:
        self.next_hop: int | None = None
        self.zero: _Node | None = None
        self.one: _Node | None = None

    def child(self, bit: int) -> "_Node | None":
        return self.one if bit else self.zero

    def grow(self, bit: int) -> "_Node":
        node = _Node()
        if bit:
            self.one = node
        else:
            self.zero = node
        return node

    def cut(self, child: "_Node") -> None:
        if self.one is child:
            self.one = None
        else:
            self.zero = None

    def is_empty(self) -> bool:
        return self.next_hop is None and self.zero is None and self.one is None


def _shifts(prefix: Prefix) -> range:
    """Return how far to shift each bit of the prefix to the right, first bit first."""
    return range(prefix.bits - 1, prefix.bits - prefix.length - 1, -1)
