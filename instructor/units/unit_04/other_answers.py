"""Other right answers for unit 04: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

import socket
import struct
from collections.abc import Callable, Mapping
from ipaddress import IPv4Address, IPv4Network, ip_address, ip_network
from typing import Any

import numpy as np

from instructor.units.unit_04.other_tables import BUILD_TABLES, NEW_TABLE, SPARE_ROUTES

# 4.1 covers


def covers_by_ipaddress(prefix: str, address: str) -> bool:
    """Let the standard library clear the host bits."""
    return ip_address(address) in ip_network(prefix, strict=False)


def covers_by_bit_texts(prefix: str, address: str) -> bool:
    """Compare the first binary digits as text, all of them written out."""
    network, length = prefix.split("/")
    one, other = (
        "".join(f"{int(part):08b}" for part in text.split(".")) for text in (network, address)
    )
    return one[: int(length)] == other[: int(length)]


def covers_octet_by_octet(prefix: str, address: str) -> bool:
    """Compare whole octets, then the part of an octet that is left."""
    network, _, behind = prefix.partition("/")
    left = int(behind)
    for one, other in zip(network.split("."), address.split("."), strict=True):
        bits = min(max(left, 0), 8)
        if int(one) >> 8 - bits != int(other) >> 8 - bits:
            return False
        left -= 8
    return True


def covers_by_mask(prefix: str, address: str) -> Any:
    """Use masks and NumPy's numbers; return a NumPy boolean."""
    network, length = prefix.split("/")
    one, other = (struct.unpack("!I", socket.inet_aton(text))[0] for text in (network, address))
    mask = 0xFFFFFFFF << (32 - int(length)) & 0xFFFFFFFF
    return np.int64(one & mask) == np.int64(other & mask)


def covers_by_range(prefix: str, address: str) -> bool:
    """Ask whether the address lies between the first and the last one."""
    network, length = prefix.split("/")
    size = 1 << 32 - int(length)
    first = int(IPv4Address(network)) // size * size
    return first <= int(IPv4Address(address)) < first + size


# 4.2 look_up


def look_up_by_ipaddress(
    routes: list[tuple[str, str, int]], address: str
) -> tuple[str, str] | None:
    """Keep the best so far, and compare metrics among equals."""
    best = None
    for prefix, next_hop, metric in routes:
        network = ip_network(prefix)
        if ip_address(address) not in network:
            continue
        if (
            best is None
            or network.prefixlen > best[0]
            or (network.prefixlen == best[0] and metric < best[1])
        ):
            best = (network.prefixlen, metric, prefix, next_hop)
    return None if best is None else (best[2], best[3])


def look_up_by_sorting(routes: list[tuple[str, str, int]], address: str) -> tuple[str, str] | None:
    """Sort the list the longest first, lower metrics in front, and take the first match."""
    number = int(IPv4Address(address))
    in_order = sorted(routes, key=lambda route: (-int(route[0].partition("/")[2]), route[2]))
    for prefix, next_hop, _ in in_order:
        network = IPv4Network(prefix)
        if int(network.network_address) <= number <= int(network.broadcast_address):
            return prefix, next_hop
    return None


def look_up_by_lengths(routes: list[tuple[str, str, int]], address: str) -> tuple[str, str] | None:
    """Cut the address at every length, from 32 down, and look that prefix up in a dictionary."""
    lowest: dict[str, tuple[int, str]] = {}
    for prefix, next_hop, metric in routes:
        if prefix not in lowest or metric < lowest[prefix][0]:
            lowest[prefix] = (metric, next_hop)
    for length in range(32, -1, -1):
        prefix = str(IPv4Network(f"{address}/{length}", strict=False))
        if prefix in lowest:
            return prefix, lowest[prefix][1]
    return None


def look_up_by_recursion(
    routes: list[tuple[str, str, int]], address: str
) -> tuple[str, str] | None:
    """Compare the first route with the best of the rest."""
    if not routes:
        return None
    (prefix, next_hop, _), *rest = sorted(routes, key=lambda route: route[2])
    behind = look_up_by_recursion(rest, address)
    if ip_address(address) not in ip_network(prefix):
        return behind
    if behind and int(behind[0].split("/")[1]) > int(prefix.split("/")[1]):
        return behind
    return prefix, next_hop


# 4.3 walk_trie


def walk_by_recursion(trie: dict[str, Any], bits: str) -> tuple[str | None, int]:
    """Ask the child for what lies below, and fall back to the own next hop."""
    own = trie.get("hop")
    if not bits or bits[0] not in trie:
        return own, 1
    below, nodes = walk_by_recursion(trie[bits[0]], bits[1:])
    return (own if below is None else below), nodes + 1


def walk_and_look_back(trie: dict[str, Any], bits: str) -> tuple[Any, ...]:
    """Note the nodes on the way, then search them from the end."""
    path = [trie]
    for bit in bits:
        child = path[-1].get(bit)
        if child is None:
            break
        path.append(child)
    hops = [node["hop"] for node in path if "hop" in node]
    return (hops[-1] if hops else None), len(path)


def walk_with_a_loop(trie: dict[str, Any], bits: str) -> tuple[str | None, Any]:
    """Count places in a while loop; return a NumPy integer."""
    node: dict[str, Any] | None = trie
    answer, place = None, 0
    while node is not None:
        if "hop" in node:
            answer = node["hop"]
        node = node.get(bits[place]) if place < len(bits) else None
        place += 1
    return answer, np.int64(place)


def walk_all_prefixes(trie: dict[str, Any], bits: str) -> tuple[str | None, int]:
    """List all nodes by the bits that lead there, and see which of them the address begins with."""
    found: dict[str, str | None] = {}
    waiting = [("", trie)]
    while waiting:
        name, node = waiting.pop()
        found[name] = node.get("hop")
        waiting += [(name + bit, node[bit]) for bit in "01" if bit in node]
    on_the_way = sorted((name for name in found if bits.startswith(name)), key=len)
    hops = [found[name] for name in on_the_way if found[name] is not None]
    return (hops or [None])[-1], len(on_the_way)


OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "4.1": (
        covers_by_ipaddress,
        covers_by_bit_texts,
        covers_octet_by_octet,
        covers_by_mask,
        covers_by_range,
    ),
    "4.2": (look_up_by_ipaddress, look_up_by_sorting, look_up_by_lengths, look_up_by_recursion),
    "4.3": (walk_by_recursion, walk_and_look_back, walk_with_a_loop, walk_all_prefixes),
    "4.4": NEW_TABLE,
    "4.5": BUILD_TABLES,
    "4.6": SPARE_ROUTES,
}
