"""Model answers for unit 04, longest prefix match: written to be read out in front of a class.

Sources: RFC 4632 section 5.1 and RFC 1812 section 5.2.4.3 (the longest prefix wins), P. Gupta,
S. Lin, N. McKeown, "Routing Lookups in Hardware at Memory Access Speeds", IEEE INFOCOM 1998 (the
direct-index table).
"""

__all__ = ["build_tables", "covers", "look_up", "new_table", "spare_routes", "walk_trie"]

from typing import Any


def covers(prefix: str, address: str) -> bool:
    """Tell whether the address begins with the same bits as the prefix."""
    network, length = prefix.split("/")
    free_bits = 32 - int(length)
    return number_of(network) >> free_bits == number_of(address) >> free_bits


def number_of(address: str) -> int:
    """Return the number of 32 bits that an address in dotted decimals stands for."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def length_of(prefix: str) -> int:
    """Return the number behind the slash."""
    return int(prefix.split("/")[1])


def look_up(routes: list[tuple[str, str, int]], address: str) -> tuple[str, str] | None:
    """Return prefix and next hop of the longest match; the lowest metric decides among equals."""
    matching = [route for route in routes if covers(route[0], address)]
    if not matching:
        return None
    prefix, next_hop, _ = max(matching, key=lambda route: (length_of(route[0]), -route[2]))
    return prefix, next_hop


def walk_trie(trie: dict[str, Any], bits: str) -> tuple[str | None, int]:
    """Return the last next hop on the way down, and the number of nodes on the way."""
    node = trie
    next_hop, nodes = node.get("hop"), 1
    for bit in bits:
        if bit not in node:
            break
        node = node[bit]
        nodes += 1
        next_hop = node.get("hop", next_hop)  # a node without a route leaves the answer as it is
    return next_hop, nodes


def new_table() -> "Trie":
    """Return an empty route table."""
    return Trie()


class Trie:
    """A route table: nodes are dictionaries, as in exercise 4.3."""

    def __init__(self) -> None:
        self.root: dict[str, Any] = {}

    def insert(self, prefix: str, next_hop: str) -> None:
        """Walk down, making nodes where there are none, and leave the next hop at the end."""
        node = self.root
        for bit in bits_of(prefix):
            node = node.setdefault(bit, {})
        node["hop"] = next_hop

    def withdraw(self, prefix: str) -> None:
        """Take the mark away and leave the branch: longer routes may stand on it."""
        node = self.root
        for bit in bits_of(prefix):
            node = node[bit]  # raises KeyError where the trie ends
        del node["hop"]  # and so does this where no route stands

    def look_up(self, address: str) -> str | None:
        """Return the last next hop on the way down, that of the longest prefix."""
        node = self.root
        next_hop = node.get("hop")
        for bit in bits_of(address + "/32"):
            if bit not in node:
                break
            node = node[bit]
            next_hop = node.get("hop", next_hop)
        return next_hop


def bits_of(prefix: str) -> str:
    """Return the bits of a prefix as text; host bits are cut off."""
    network, length = prefix.split("/")
    return f"{number_of(network):032b}"[: int(length)]


def build_tables(routes: list[tuple[str, str]]) -> tuple[list[str | int | None], list[list[Any]]]:
    """Return both levels: an entry holds the answer, or the number of the block that does."""
    first: list[str | int | None] = []
    blocks: list[list[Any]] = []
    for entry in ("000", "001", "010", "011", "100", "101", "110", "111"):
        if any(len(prefix) > 3 and prefix.startswith(entry) for prefix, _ in routes):
            first.append(len(blocks))
            blocks.append([best(routes, entry + f"{last:03b}") for last in range(8)])
        else:
            first.append(best(routes, entry))
    return first, blocks


def best(routes: list[tuple[str, str]], bits: str) -> str | None:
    """Return the next hop of the longest prefix with which the bits begin."""
    matching = [route for route in routes if bits.startswith(route[0])]
    return max(matching, key=lambda route: len(route[0]))[1] if matching else None


def spare_routes(routes: list[tuple[str, str]]) -> list[str]:
    """Return the routes without which no address gets another next hop.

    The answer changes only where some prefix begins or has ended; so these places are enough.
    """
    places = [place for prefix, _ in routes for place in beginning_and_end(prefix)]
    spare = []
    for route in routes:
        others = [other for other in routes if other != route]
        if all(hop_at(routes, place) == hop_at(others, place) for place in places):
            spare.append(route[0])
    return spare


def beginning_and_end(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    first = number_of(prefix.split("/")[0])
    return first, first + 2 ** (32 - length_of(prefix))


def hop_at(routes: list[tuple[str, str]], address: int) -> str | None:
    """Return the next hop for an address, given as a number."""
    matching = []
    for prefix, next_hop in routes:
        first, behind = beginning_and_end(prefix)
        if first <= address < behind:
            matching.append((length_of(prefix), next_hop))
    return max(matching)[1] if matching else None
