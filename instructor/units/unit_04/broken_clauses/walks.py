"""Answers to 4.3 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from typing import Any

from instructor.units.unit_04.misconceptions.walks import Node, Walked, right_hop, right_path


def walk_as_list(trie: Node, bits: str) -> list[Any]:
    """Return a list."""
    path = right_path(trie, bits)
    return [right_hop(path), len(path)]


def walk_first_of_many(trie: Node, bits: str) -> Walked:
    """Take the first next hop where the bits end."""
    path = right_path(trie, bits)
    ends = len(path) > len(bits)
    return right_hop(path[::-1] if ends else path), len(path)


def walk_last_node_or_default(trie: Node, bits: str) -> Walked:
    """Take what the last node has where the bits end, or else the default route."""
    path = right_path(trie, bits)
    hop = path[-1].get("hop", trie.get("hop")) if len(path) > len(bits) else right_hop(path)
    return hop, len(path)


def walk_not_to_the_end(trie: Node, bits: str) -> Walked:
    """Leave out the node to which the last bit leads, if it alone has a next hop."""
    path = right_path(trie, bits)
    if len(path) > len(bits) and right_hop(path) and not right_hop(path[:-1]):
        path.pop()
    return right_hop(path), len(path)


def walk_counting_at_an_answer(trie: Node, bits: str) -> Walked:
    """Count a missing child below a node with a next hop, but not below the root."""
    path = right_path(trie, bits)
    missing = 1 < len(path) <= len(bits) and "hop" in path[-1]
    return right_hop(path), len(path) + missing


def walk_forgetting_at_a_dead_end(trie: Node, bits: str) -> Walked:
    """Take what the last node has where a child is missing, or else the default route."""
    path = right_path(trie, bits)
    hop = path[-1].get("hop", trie.get("hop")) if len(path) <= len(bits) else right_hop(path)
    return hop, len(path)


def walk_not_at_the_root(trie: Node, bits: str) -> Walked:
    """Look for a next hop only after the first step."""
    path = right_path(trie, bits)
    return (right_hop(path) if len(path) > 1 else None), len(path)


def walk_with_a_word(trie: Node, bits: str) -> Walked:
    """Return an empty text for no route."""
    path = right_path(trie, bits)
    return right_hop(path) or "", len(path)
