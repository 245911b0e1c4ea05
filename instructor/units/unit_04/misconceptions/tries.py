"""Misconceptions about tries and about tables that change: exercises 4.3 and 4.4."""

__all__ = ["NEW_TABLE", "WALK_TRIE"]

from collections.abc import Callable
from typing import Any

Walked = tuple[str | None, int]


# 4.3 walk_trie


def right_path(trie: dict[str, Any], bits: str) -> list[dict[str, Any]]:
    """Return the nodes on the way."""
    path = [trie]
    for bit in bits:
        if bit not in path[-1]:
            break
        path.append(path[-1][bit])
    return path


def right_hop(path: list[dict[str, Any]]) -> str | None:
    """Return the last next hop on a way."""
    hops = [node["hop"] for node in path if "hop" in node]
    return hops[-1] if hops else None


def walk_to_the_last_node(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that the answer stands in the last node that one gets to."""
    path = right_path(trie, bits)
    return path[-1].get("hop"), len(path)


def walk_to_the_first_hop(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that the walk ends at the first next hop."""
    path = right_path(trie, bits)
    for nodes, node in enumerate(path, start=1):
        if "hop" in node:
            return node["hop"], nodes
    return None, len(path)


def walk_or_nothing(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that a dead end means that there is no route."""
    path = right_path(trie, bits)
    return (right_hop(path) if len(path) == len(bits) + 1 else None), len(path)


def walk_below_the_root(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that the root holds no route."""
    path = right_path(trie, bits)
    return right_hop(path[1:]), len(path)


def walk_low_bit_first(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that the walk begins with the last bit."""
    path = right_path(trie, bits[::-1])
    return right_hop(path), len(path)


def walk_counting_steps(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that there are as many nodes as steps."""
    path = right_path(trie, bits)
    return right_hop(path), len(path) - 1


def walk_counting_all_bits(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that each bit costs a node, also behind a dead end."""
    return right_hop(right_path(trie, bits)), len(bits) + 1


def walk_counting_to_the_answer(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that nodes behind the answer need not be looked at."""
    path = right_path(trie, bits)
    places = [place for place, node in enumerate(path, start=1) if "hop" in node]
    return right_hop(path), places[-1] if places else len(path)


def walk_the_other_way(trie: dict[str, Any], bits: str) -> Walked:
    """Believe that where a child is missing the other one will do."""
    path = [trie]
    for bit in bits:
        other = "1" if bit == "0" else "0"
        child = path[-1].get(bit, path[-1].get(other))
        if child is None:
            break
        path.append(child)
    return right_hop(path), len(path)


WALK_TRIE: dict[str, Callable[..., Any]] = {
    "last-node-walked": walk_to_the_last_node,
    "first-hop-wins": walk_to_the_first_hop,
    "dead-end-means-no-route": walk_or_nothing,
    "root-holds-no-route": walk_below_the_root,
    "low-bit-first": walk_low_bit_first,
    "counts-steps": walk_counting_steps,
    "counts-all-bits": walk_counting_all_bits,
    "counts-to-the-answer": walk_counting_to_the_answer,
    "takes-the-other-child": walk_the_other_way,
}


# 4.4 new_table


def right_bits(prefix: str) -> str:
    """Return the bits of a prefix, host bits cut off."""
    network, length = prefix.split("/")
    octets = "".join(f"{int(part):08b}" for part in network.split("."))
    return octets[: int(length)]


class RightTable:
    """A dictionary from bits to next hop, right in all that the others get wrong."""

    def __init__(self) -> None:
        self.hops: dict[str, Any] = {}

    def key(self, prefix: str) -> str:
        """Return under what a prefix is kept."""
        return right_bits(prefix)

    def insert(self, prefix: str, next_hop: str) -> None:
        """Keep one next hop for a prefix."""
        self.hops[self.key(prefix)] = next_hop

    def withdraw(self, prefix: str) -> None:
        """Drop this prefix alone."""
        del self.hops[self.key(prefix)]

    def matches(self, address: str) -> list[str]:
        """Return the prefixes that cover an address, the shortest first."""
        bits = right_bits(address + "/32")
        return sorted((one for one in self.hops if bits.startswith(one)), key=len)

    def look_up(self, address: str) -> Any:
        """Return the next hop of the longest match."""
        matching = self.matches(address)
        return self.hops[matching[-1]] if matching else None


def table_that_keeps_both() -> Any:
    """Believe that a prefix may stand in the table twice; the older route answers."""

    class Table(RightTable):
        def insert(self, prefix: str, next_hop: str) -> None:
            self.hops.setdefault(right_bits(prefix), []).append(next_hop)

        def withdraw(self, prefix: str) -> None:
            hops = self.hops[right_bits(prefix)]
            del hops[0]
            if not hops:
                del self.hops[right_bits(prefix)]

        def look_up(self, address: str) -> Any:
            hops = super().look_up(address)
            return hops[0] if hops else None

    return Table()


def table_that_uncovers() -> Any:
    """Believe that a new route lies on top of the old one, which comes back."""

    class Table(RightTable):
        def insert(self, prefix: str, next_hop: str) -> None:
            self.hops.setdefault(right_bits(prefix), []).append(next_hop)

        def withdraw(self, prefix: str) -> None:
            hops = self.hops[right_bits(prefix)]
            hops.pop()
            if not hops:
                del self.hops[right_bits(prefix)]

        def look_up(self, address: str) -> Any:
            hops = super().look_up(address)
            return hops[-1] if hops else None

    return Table()


def table_that_cuts_the_branch() -> Any:
    """Believe that what lies below goes together with a prefix."""

    class Table(RightTable):
        def withdraw(self, prefix: str) -> None:
            super().withdraw(prefix)
            bits = right_bits(prefix)
            self.hops = {one: hop for one, hop in self.hops.items() if not one.startswith(bits)}

    return Table()


def table_with_holes() -> Any:
    """Believe that a withdrawn prefix has no route at all, whatever lies around it."""

    class Table(RightTable):
        def withdraw(self, prefix: str) -> None:
            if self.hops.get(right_bits(prefix)) is None:
                raise KeyError(prefix)
            self.hops[right_bits(prefix)] = None

    return Table()


def table_with_host_bits() -> Any:
    """Believe that the address in front of the slash is already the network."""

    class Table(RightTable):
        def key(self, prefix: str) -> str:
            return prefix

        def matches(self, address: str) -> list[str]:
            def covers(prefix: str) -> bool:
                bits = right_bits(prefix)
                network = right_bits(prefix.split("/")[0] + "/32")
                begins = right_bits(address + "/32").startswith(bits)
                return begins and network == bits.ljust(32, "0")

            return sorted(filter(covers, self.hops), key=lambda one: int(one.split("/")[1]))

    return Table()


def table_that_withdraws_around() -> Any:
    """Believe that withdrawing a prefix that is not there means the route around it."""

    class Table(RightTable):
        def withdraw(self, prefix: str) -> None:
            around = [one for one in self.hops if right_bits(prefix).startswith(one)]
            del self.hops[max(around, key=len, default="none")]

    return Table()


def table_that_says_nothing() -> Any:
    """Believe that withdrawing what is not there needs no answer."""

    class Table(RightTable):
        def withdraw(self, prefix: str) -> None:
            self.hops.pop(right_bits(prefix), None)

    return Table()


def table_with_the_last_node() -> Any:
    """Believe that the answer stands in the last node of the trie that one gets to."""

    class Table(RightTable):
        def look_up(self, address: str) -> Any:
            bits = right_bits(address + "/32")
            for length in range(32, -1, -1):
                if any(one.startswith(bits[:length]) for one in self.hops):
                    return self.hops.get(bits[:length])
            return None

    return Table()


def table_where_the_first_wins() -> Any:
    """Believe that of all matches the one that was inserted first wins."""

    class Table(RightTable):
        def matches(self, address: str) -> list[str]:
            bits = right_bits(address + "/32")
            return [one for one in reversed(self.hops) if bits.startswith(one)]

    return Table()


NEW_TABLE: dict[str, Callable[..., Any]] = {
    "older-route-stays": table_that_keeps_both,
    "older-route-comes-back": table_that_uncovers,
    "below-goes-too": table_that_cuts_the_branch,
    "withdrawal-leaves-a-hole": table_with_holes,
    "host-bits-in-the-key": table_with_host_bits,
    "withdraws-the-route-around": table_that_withdraws_around,
    "withdraws-in-silence": table_that_says_nothing,
    "last-node-walked": table_with_the_last_node,
    "first-inserted-wins": table_where_the_first_wins,
}
