"""Other right answers for unit 04, exercises 4.4 to 4.6: tables, levels and routes to spare."""

__all__ = ["BUILD_TABLES", "NEW_TABLE", "SPARE_ROUTES"]

from bisect import insort
from ipaddress import IPv4Address, IPv4Network, ip_address, ip_network
from typing import Any

import numpy as np

Route = tuple[str, str]

# 4.4 new_table


class ByLength:
    """One dictionary; a look-up tries all 33 lengths."""

    def __init__(self) -> None:
        self.hops: dict[str, str] = {}

    def insert(self, prefix: str, next_hop: str) -> None:
        """Write the prefix in its one right form, and keep it."""
        self.hops[str(ip_network(prefix, strict=False))] = next_hop

    def withdraw(self, prefix: str) -> None:
        """Drop it; a dictionary raises KeyError by itself."""
        self.hops.pop(str(ip_network(prefix, strict=False)))

    def look_up(self, address: str) -> str | None:
        """Try the longest first."""
        for length in range(32, -1, -1):
            prefix = str(ip_network(f"{address}/{length}", strict=False))
            if prefix in self.hops:
                return self.hops[prefix]
        return None


def new_table_by_length() -> ByLength:
    """Make a dictionary in a class."""
    return ByLength()


class InOrder:
    """A list that stays sorted, the longest prefix first."""

    def __init__(self) -> None:
        self.routes: list[tuple[int, int, str]] = []

    def insert(self, prefix: str, next_hop: str) -> None:
        """Take out the old one, if there is one, and put in the new one."""
        length, network = self.parts(prefix)
        self.routes = [route for route in self.routes if route[:2] != (-length, network)]
        insort(self.routes, (-length, network, next_hop))

    def withdraw(self, prefix: str) -> None:
        """Keep all others, and see whether one has gone."""
        length, network = self.parts(prefix)
        left = [route for route in self.routes if route[:2] != (-length, network)]
        if len(left) == len(self.routes):
            raise KeyError(f"no route {prefix}")
        self.routes = left

    def look_up(self, address: str) -> str | None:
        """Return the first match."""
        number = int(IPv4Address(address))
        for minus_length, network, next_hop in self.routes:
            if number >> 32 + minus_length == network:
                return next_hop
        return None

    def parts(self, prefix: str) -> tuple[int, int]:
        """Return the length, and the number that the bits of the prefix make."""
        network, length = prefix.split("/")
        return int(length), int(IPv4Address(network)) >> 32 - int(length)


def new_table_in_order() -> InOrder:
    """Make a sorted list in a class."""
    return InOrder()


class Node:
    """A node of a trie as an object, with two children in a list."""

    def __init__(self) -> None:
        self.hop: str | None = None
        self.children: list[Node | None] = [None, None]


class TrieOfObjects:
    """A trie that cuts off branches that lead nowhere."""

    def __init__(self) -> None:
        self.root = Node()

    def insert(self, prefix: str, next_hop: str) -> None:
        """Grow the branch."""
        node = self.root
        for bit in path_of(prefix):
            child = node.children[bit]
            if child is None:
                child = node.children[bit] = Node()
            node = child
        node.hop = next_hop

    def withdraw(self, prefix: str) -> None:
        """Take the mark away, then cut from below what is empty."""
        path, bits = [self.root], path_of(prefix)
        for bit in bits:
            child = path[-1].children[bit]
            if child is None:
                raise KeyError(prefix)
            path.append(child)
        if path[-1].hop is None:
            raise KeyError(prefix)
        path[-1].hop = None
        for node, bit in zip(reversed(path[:-1]), reversed(bits), strict=True):
            child = node.children[bit]
            if child is not None and child.hop is None and child.children == [None, None]:
                node.children[bit] = None

    def look_up(self, address: str) -> str | None:
        """Walk down."""
        node, answer = self.root, self.root.hop
        for bit in path_of(address + "/32"):
            child = node.children[bit]
            if child is None:
                break
            node, answer = child, answer if child.hop is None else child.hop
        return answer


def path_of(prefix: str) -> list[int]:
    """Return the bits of a prefix as numbers."""
    address, length = prefix.split("/")
    number = int(IPv4Address(address))
    return [number >> 31 - place & 1 for place in range(int(length))]


def new_table_of_objects() -> TrieOfObjects:
    """Make a trie of objects."""
    return TrieOfObjects()


def new_table_of_ranges() -> Any:
    """Make the class inside, and let the smallest range win."""

    class Ranges:
        def __init__(self) -> None:
            self.hops: dict[tuple[int, int], str] = {}

        def insert(self, prefix: str, next_hop: str) -> None:
            self.hops[self.ends(prefix)] = next_hop

        def withdraw(self, prefix: str) -> None:
            if self.ends(prefix) not in self.hops:
                raise KeyError("nothing to withdraw")
            del self.hops[self.ends(prefix)]

        def look_up(self, address: str) -> str | None:
            number = int(ip_address(address))
            fitting = [ends for ends in self.hops if ends[0] <= number <= ends[1]]
            return self.hops[min(fitting, key=lambda ends: ends[1] - ends[0])] if fitting else None

        def ends(self, prefix: str) -> tuple[int, int]:
            network = IPv4Network(prefix, strict=False)
            return int(network.network_address), int(network.broadcast_address)

    return Ranges()


NEW_TABLE = (new_table_by_length, new_table_in_order, new_table_of_objects, new_table_of_ranges)


# 4.5 build_tables


def build_by_filling(routes: list[Route]) -> tuple[list[Any], list[Any]]:
    """Write the shorter prefixes first, let longer ones overwrite, then number the blocks."""
    first: list[Any] = [None] * 8
    for prefix, hop in sorted(routes, key=lambda route: len(route[0])):
        if len(prefix) <= 3:
            start = int(prefix.ljust(3, "0"), 2)
            for place in range(start, start + 2 ** (3 - len(prefix))):
                first[place] = hop
        else:
            entry = int(prefix[:3], 2)
            if not isinstance(first[entry], list):
                first[entry] = [first[entry]] * 8
            start = int(prefix[3:].ljust(3, "0"), 2)
            end = start + (1 << 6 - len(prefix))
            first[entry][start:end] = [hop] * (end - start)
    blocks = [entry for entry in first if isinstance(entry, list)]
    numbers = iter(range(8))
    return [next(numbers) if isinstance(entry, list) else entry for entry in first], blocks


def build_by_recursion(routes: list[Route]) -> tuple[list[Any], list[Any]]:
    """Spread the answers bit by bit, each half inheriting from the whole."""
    hops = dict(routes)

    def spread(prefix: str, depth: int, inherited: str | None) -> list[Any]:
        own = hops.get(prefix, inherited)
        if len(prefix) == depth:
            return [own]
        return spread(prefix + "0", depth, own) + spread(prefix + "1", depth, own)

    wide, narrow = spread("", 3, None), spread("", 6, None)
    split = sorted({int(prefix[:3], 2) for prefix in hops if len(prefix) > 3})
    first = [split.index(place) if place in split else hop for place, hop in enumerate(wide)]
    return first, [narrow[8 * place : 8 * place + 8] for place in split]


def build_by_numbers(routes: list[Route]) -> tuple[list[Any], list[Any]]:
    """Work out all 64 answers, then fold rows without a longer prefix; a NumPy integer inside."""
    answers: list[tuple[int, str | None]] = [(-1, None)] * 64
    for prefix, hop in routes:
        size = 64 >> len(prefix)
        start = int("0" + prefix, 2) * size
        for address in range(start, start + size):
            answers[address] = max(answers[address], (len(prefix), hop))
    first: list[Any] = []
    blocks: list[Any] = []
    for row in range(8):
        part = answers[8 * row : 8 * row + 8]
        if max(length for length, _ in part) > 3:
            first.append(np.int64(len(blocks)))
            blocks.append([hop for _, hop in part])
        else:
            first.append(part[0][1])
    return first, blocks


BUILD_TABLES = (build_by_filling, build_by_recursion, build_by_numbers)


# 4.6 spare_routes


def spare_by_nesting(routes: list[Route]) -> list[str]:
    """Find the next route around each; spare if it says the same, or if nothing is left over."""
    networks = {prefix: IPv4Network(prefix) for prefix, _ in routes}
    hops = dict(routes)
    spare = []
    for prefix, hop in routes:
        mine = networks[prefix]
        around = [n for n in networks.values() if n != mine and mine.subnet_of(n)]
        next_around = max(around, key=lambda one: one.prefixlen, default=None)
        inside = [n for n in networks.values() if n != mine and n.subnet_of(mine)]
        widest = [n for n in inside if not any(n != m and n.subnet_of(m) for m in inside)]
        full = sum(one.num_addresses for one in widest) == mine.num_addresses
        if full or (next_around is not None and hops[str(next_around)] == hop):
            spare.append(prefix)
    return spare


def spare_by_segments(routes: list[Route]) -> list[str]:
    """Cut the addresses where any range begins or ends; compare all pieces."""
    ranges = []
    for prefix, hop in routes:
        network = IPv4Network(prefix)
        ends = int(network.network_address), int(network.broadcast_address) + 1
        ranges.append((*ends, prefix, hop))
    cuts = sorted({end for first, behind, *_ in ranges for end in (first, behind)})

    def answers(left_out: str) -> list[str | None]:
        found = []
        for cut in cuts:
            fit = [r for r in ranges if r[0] <= cut < r[1] and r[2] != left_out]
            found.append(min(fit, key=lambda one: one[1] - one[0])[3] if fit else None)
        return found

    return [prefix for prefix, _ in routes if answers(prefix) == answers("")]


def spare_by_a_tree(routes: list[Route]) -> list[str]:
    """Walk over all prefixes from the empty one down, noting which route answers each part."""
    hops = {}
    for prefix, hop in routes:
        network, length = prefix.split("/")
        hops[f"{int(IPv4Address(network)):032b}"[: int(length)]] = (prefix, hop)
    above: dict[str, str | None] = {}
    used: set[str] = set()

    def visit(bits: str, around: tuple[str, str] | None) -> None:
        if bits in hops:
            above[hops[bits][0]] = around[1] if around else None
            around = hops[bits]
        if not any(other != bits and other.startswith(bits) for other in hops):
            used.update({around[0]} if around else ())
            return
        visit(bits + "0", around)
        visit(bits + "1", around)

    visit("", None)
    return [prefix for prefix, hop in routes if prefix not in used or above[prefix] == hop]


SPARE_ROUTES = (spare_by_nesting, spare_by_segments, spare_by_a_tree)
