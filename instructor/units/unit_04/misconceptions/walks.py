"""Misconceptions about a walk down a trie: exercise 4.3."""

__all__ = ["WALK_TRIE"]

from collections.abc import Callable
from typing import Any

Node = dict[str, Any]
Walked = tuple[str | None, int]


def right_path(trie: Node, bits: str) -> list[Node]:
    """Return the nodes on the way."""
    path = [trie]
    for bit in bits:
        if bit not in path[-1]:
            break
        path.append(path[-1][bit])
    return path


def right_hop(path: list[Node]) -> str | None:
    """Return the last next hop on a way."""
    hops = [node["hop"] for node in path if "hop" in node]
    return hops[-1] if hops else None


def right_walk(trie: Node, bits: str) -> Walked:
    """Return what is right."""
    path = right_path(trie, bits)
    return right_hop(path), len(path)


def walk_to_the_last_node(trie: Node, bits: str) -> Walked:
    """Believe that the answer stands in the last node that one gets to."""
    path = right_path(trie, bits)
    return path[-1].get("hop"), len(path)


def walk_to_the_first_hop(trie: Node, bits: str) -> Walked:
    """Believe that the walk ends at the first next hop."""
    path = right_path(trie, bits)
    for nodes, node in enumerate(path, start=1):
        if "hop" in node:
            return node["hop"], nodes
    return None, len(path)


def walk_or_nothing(trie: Node, bits: str) -> Walked:
    """Believe that a dead end means that there is no route."""
    path = right_path(trie, bits)
    return (right_hop(path) if len(path) == len(bits) + 1 else None), len(path)


def walk_or_default(trie: Node, bits: str) -> Walked:
    """Believe that a dead end means the default route."""
    path = right_path(trie, bits)
    return right_hop(path if len(path) == len(bits) + 1 else path[:1]), len(path)


def walk_or_raise(trie: Node, bits: str) -> Walked:
    """Believe that there is a child for each bit."""
    hop, node = trie.get("hop"), trie
    for bit in bits:
        node = node[bit]
        hop = node.get("hop", hop)
    return hop, len(bits) + 1


def walk_where_each_has_a_hop(trie: Node, bits: str) -> Walked:
    """Believe that each node has a next hop."""
    path = right_path(trie, bits)
    return [node["hop"] for node in path][-1], len(path)


def walk_below_the_root(trie: Node, bits: str) -> Walked:
    """Believe that the root holds no route."""
    path = right_path(trie, bits)
    return right_hop(path[1:]), len(path)


def walk_default_first(trie: Node, bits: str) -> Walked:
    """Believe that a default route takes everything."""
    hop, nodes = right_walk(trie, bits)
    return trie.get("hop", hop), nodes


def walk_low_bit_first(trie: Node, bits: str) -> Walked:
    """Believe that the walk begins with the last bit."""
    return right_walk(trie, bits[::-1])


def walk_turned_over(trie: Node, bits: str) -> Walked:
    """Believe that a bit of 0 leads to the child 1."""
    return right_walk(trie, bits.translate(str.maketrans("01", "10")))


def walk_without_the_last_bit(trie: Node, bits: str) -> Walked:
    """Believe that the walk ends in front of the last bit."""
    return right_walk(trie, bits[:-1])


def walk_counting_steps(trie: Node, bits: str) -> Walked:
    """Believe that there are as many nodes as steps."""
    hop, nodes = right_walk(trie, bits)
    return hop, nodes - 1


def walk_counting_one_more(trie: Node, bits: str) -> Walked:
    """Believe that the count begins at 1 and goes up at the root, too."""
    hop, nodes = right_walk(trie, bits)
    return hop, nodes + 1


def walk_counting_all_bits(trie: Node, bits: str) -> Walked:
    """Believe that each bit costs a node, also behind a dead end."""
    return right_hop(right_path(trie, bits)), len(bits) + 1


def walk_counting_the_missing_child(trie: Node, bits: str) -> Walked:
    """Believe that a child is looked at also where it is not."""
    hop, nodes = right_walk(trie, bits)
    return hop, nodes + (nodes <= len(bits))


def walk_counting_to_the_answer(trie: Node, bits: str) -> Walked:
    """Believe that nodes behind the answer need not be looked at."""
    path = right_path(trie, bits)
    places = [place for place, node in enumerate(path, start=1) if "hop" in node]
    return right_hop(path), places[-1] if places else len(path)


def walk_counting_routes(trie: Node, bits: str) -> Walked:
    """Believe that only nodes with a route are counted."""
    path = right_path(trie, bits)
    return right_hop(path), sum("hop" in node for node in path)


def nodes_in(trie: Node) -> int:
    """Return how many nodes a trie has."""
    return 1 + sum(nodes_in(trie[bit]) for bit in "01" if bit in trie)


def walk_counting_the_trie(trie: Node, bits: str) -> Walked:
    """Believe that all nodes of the trie are looked at."""
    return right_hop(right_path(trie, bits)), nodes_in(trie)


def walk_the_other_way(trie: Node, bits: str) -> Walked:
    """Believe that where a child is missing the other one will do."""
    path = [trie]
    for bit in bits:
        other = "1" if bit == "0" else "0"
        child = path[-1].get(bit, path[-1].get(other))
        if child is None:
            break
        path.append(child)
    return right_hop(path), len(path)


def walk_count_first(trie: Node, bits: str) -> tuple[Any, ...]:
    """Believe that the number of nodes comes first."""
    return right_walk(trie, bits)[::-1]


def walk_pair_or_none(trie: Node, bits: str) -> Walked | None:
    """Believe that without a route there is nothing to be counted."""
    hop, nodes = right_walk(trie, bits)
    return None if hop is None else (hop, nodes)


WALK_TRIE: dict[str, Callable[..., Any]] = {
    "last-node-walked": walk_to_the_last_node,
    "first-hop-wins": walk_to_the_first_hop,
    "dead-end-means-no-route": walk_or_nothing,
    "dead-end-means-default": walk_or_default,
    "child-for-each-bit": walk_or_raise,
    "hop-in-each-node": walk_where_each_has_a_hop,
    "root-holds-no-route": walk_below_the_root,
    "default-takes-all": walk_default_first,
    "low-bit-first": walk_low_bit_first,
    "bits-turned-over": walk_turned_over,
    "last-bit-left-out": walk_without_the_last_bit,
    "counts-steps": walk_counting_steps,
    "counts-one-too-many": walk_counting_one_more,
    "counts-all-bits": walk_counting_all_bits,
    "counts-the-missing-child": walk_counting_the_missing_child,
    "counts-to-the-answer": walk_counting_to_the_answer,
    "counts-routes": walk_counting_routes,
    "counts-the-whole-trie": walk_counting_the_trie,
    "takes-the-other-child": walk_the_other_way,
    "count-first": walk_count_first,
    "nothing-in-place-of-a-pair": walk_pair_or_none,
}
