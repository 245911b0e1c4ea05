"""Other right answers to exercise 3.5, each by a way of its own."""

__all__ = ["AGGREGATES"]

from collections.abc import Callable
from typing import Any

Routes = list[tuple[str, str]]


def fewer_move_by_move(routes: Routes) -> Routes:
    """Do what the contract says: look for what can be done, do it, and look again."""

    def bits(prefix: str) -> str:
        address, _, length = prefix.partition("/")
        return "".join(f"{int(octet):08b}" for octet in address.split("."))[: int(length)]

    left = {bits(prefix): hop for prefix, hop in routes}
    while pair := max(halves_in(left), key=len, default=""):
        left[pair[:-1]] = left.pop(pair)
        del left[pair[:-1] + "1"]
    while spare := [name for name in left if around(left, name) == left[name]]:
        del left[spare[0]]
    found = []
    for name in sorted(left):
        whole = name.ljust(32, "0")
        octets = [str(int(whole[at : at + 8], 2)) for at in range(0, 32, 8)]
        found.append((f"{'.'.join(octets)}/{len(name)}", left[name]))
    return found


def halves_in(left: dict[str, str]) -> list[str]:
    """Return the lower halves of all that can be joined."""
    return [
        name
        for name, hop in left.items()
        if name.endswith("0") and left.get(name[:-1] + "1") == hop
    ]


def around(left: dict[str, str], name: str) -> str | None:
    """Return the next hop of the longest prefix around another one."""
    shorter = [one for one in left if one != name and name.startswith(one)]
    return left[max(shorter, key=len)] if shorter else None


class Node:
    """A node of a trie: its two children, and perhaps a next hop."""

    def __init__(self) -> None:
        self.children: list[Node | None] = [None, None]
        self.hop: str | None = None


def fewer_by_a_trie(routes: Routes) -> list[Any]:
    """Put all into a trie; halves join on the way up, and on the way down spare routes go."""
    root = Node()
    for prefix, hop in routes:
        address, length = prefix.split("/")
        number = int.from_bytes(bytes(map(int, address.split("."))), "big")
        node = root
        for place in range(int(length)):
            side = number >> 31 - place & 1
            child = node.children[side] or Node()
            node.children[side] = child
            node = child
        node.hop = hop
    join_upwards(root)
    found: list[Any] = []
    write_down(root, 0, 0, None, found)
    return found


def join_upwards(node: Node) -> None:
    """Join what is below, then both children, if they say the same."""
    both = [child for child in node.children if child is not None]
    for child in both:
        join_upwards(child)
    hops = [child.hop for child in both]
    if len(hops) == 2 and hops[0] is not None and hops[0] == hops[1]:
        node.hop, both[0].hop, both[1].hop = hops[0], None, None


def write_down(node: Node, number: int, length: int, around: str | None, found: list[Any]) -> None:
    """Write a node's route unless the one around says the same, then what lies below."""
    if node.hop is not None and node.hop != around:
        address = f"{number >> 24}.{number >> 16 & 255}.{number >> 8 & 255}.{number & 255}"
        found.append((f"{address}/{length}", node.hop))
    for side, child in enumerate(node.children):
        if child is not None:
            below = number | side << 31 - length
            write_down(child, below, length + 1, node.hop or around, found)


def fewer_with_a_stack(routes: Routes) -> list[Any]:
    """Drop in order of address, with those around on a stack; join, and begin again."""

    def start(route: Any) -> tuple[int, int]:
        address, length = route[0].split("/")
        a, b, c, d = (int(part) for part in address.split("."))
        return ((a * 256 + b) * 256 + c) * 256 + d, int(length)

    left = sorted((*start(route), route[1]) for route in routes)
    while True:
        kept: list[tuple[int, int, str]] = []
        around: list[tuple[int, int, str]] = []
        for first, length, hop in left:
            while around and first >= around[-1][0] + 2 ** (32 - around[-1][1]):
                around.pop()
            if not around or around[-1][2] != hop:
                kept.append((first, length, hop))
                around.append((first, length, hop))
        halves = set(kept)
        joins = [
            one for one in kept
            if one[1] and not one[0] & 1 << 32 - one[1]
            and (one[0] + (1 << 32 - one[1]), one[1], one[2]) in halves
        ]  # fmt: skip
        if not joins:
            return [(f"{dotted(first)}/{length}", hop) for first, length, hop in kept]
        first, length, hop = max(joins, key=lambda one: one[1])
        gone = {(first, length), (first + (1 << 32 - length), length), (first, length - 1)}
        left = sorted([one for one in kept if one[:2] not in gone] + [(first, length - 1, hop)])


def dotted(number: int) -> str:
    """Write a number as an address."""
    octets: list[str] = []
    for _ in range(4):
        number, octet = divmod(number, 256)
        octets.insert(0, str(octet))
    return ".".join(octets)


AGGREGATES: tuple[Callable[..., Any], ...] = (
    fewer_move_by_move,
    fewer_by_a_trie,
    fewer_with_a_stack,
)
