"""Misconceptions about a table that changes: exercise 4.4."""

__all__ = ["NEW_TABLE"]

from collections.abc import Callable
from typing import Any


def right_bits(prefix: str) -> str:
    """Return the bits of a prefix, host bits cut off."""
    network, length = prefix.split("/")
    octets = "".join(f"{int(part):08b}" for part in network.split("."))
    return octets[: int(length)]


class RightTable:
    """A dictionary from bits to next hop, right in all that the others get wrong."""

    def __init__(self) -> None:
        self.hops: dict[str, Any] = {}

    def insert(self, prefix: str, next_hop: str) -> Any:
        """Keep one next hop for a prefix."""
        self.hops[right_bits(prefix)] = next_hop

    def withdraw(self, prefix: str) -> Any:
        """Drop this prefix alone."""
        del self.hops[right_bits(prefix)]

    def matches(self, address: str) -> list[str]:
        """Return the prefixes that cover an address, the shortest first."""
        bits = right_bits(address + "/32")
        return sorted((one for one in self.hops if bits.startswith(one)), key=len)

    def look_up(self, address: str) -> Any:
        """Return the next hop of the longest match."""
        matching = self.matches(address)
        return self.hops[matching[-1]] if matching else None


class KeepsBoth(RightTable):
    """Believe that a prefix may stand in the table twice; the older route answers."""

    answers = 0

    def insert(self, prefix: str, next_hop: str) -> None:
        self.hops.setdefault(right_bits(prefix), []).append(next_hop)

    def withdraw(self, prefix: str) -> None:
        hops = self.hops[right_bits(prefix)]
        del hops[self.answers]
        if not hops:
            del self.hops[right_bits(prefix)]

    def look_up(self, address: str) -> Any:
        hops = super().look_up(address)
        return hops[self.answers] if hops else None


class Uncovers(KeepsBoth):
    """Believe that a new route lies on top of the old one, which comes back."""

    answers = -1


class FirstStays(RightTable):
    """Believe that a prefix that is there already keeps its next hop."""

    def insert(self, prefix: str, next_hop: str) -> None:
        self.hops.setdefault(right_bits(prefix), next_hop)


class RefusesAgain(RightTable):
    """Believe that a prefix that is there already is an error."""

    def insert(self, prefix: str, next_hop: str) -> None:
        if right_bits(prefix) in self.hops:
            raise KeyError(prefix)
        super().insert(prefix, next_hop)


class CutsTheBranch(RightTable):
    """Believe that what lies below goes together with a prefix."""

    def withdraw(self, prefix: str) -> None:
        super().withdraw(prefix)
        bits = right_bits(prefix)
        self.hops = {one: hop for one, hop in self.hops.items() if not one.startswith(bits)}


class LeavesHoles(RightTable):
    """Believe that a withdrawn prefix has no route at all, whatever lies around it."""

    def withdraw(self, prefix: str) -> None:
        if self.hops.get(right_bits(prefix)) is None:
            raise KeyError(prefix)
        self.hops[right_bits(prefix)] = None


class NeverAgain(RightTable):
    """Believe that a withdrawn prefix stays away, also if it is inserted again."""

    def __init__(self) -> None:
        super().__init__()
        self.gone: set[str] = set()

    def withdraw(self, prefix: str) -> None:
        super().withdraw(prefix)
        self.gone.add(right_bits(prefix))

    def insert(self, prefix: str, next_hop: str) -> None:
        if right_bits(prefix) not in self.gone:
            super().insert(prefix, next_hop)


class HandsBack(RightTable):
    """Believe that withdrawing gives back the next hop."""

    def withdraw(self, prefix: str) -> Any:
        return self.hops.pop(right_bits(prefix))


class WithdrawsAround(RightTable):
    """Believe that withdrawing a prefix that is not there means the route around it."""

    def withdraw(self, prefix: str) -> None:
        around = [one for one in self.hops if right_bits(prefix).startswith(one)]
        del self.hops[max(around, key=len, default="none")]


class SaysNothing(RightTable):
    """Believe that withdrawing what is not there needs no answer."""

    def withdraw(self, prefix: str) -> None:
        self.hops.pop(right_bits(prefix), None)


class OnTheWay(RightTable):
    """Believe that a node on the way to a longer prefix is a route."""

    def withdraw(self, prefix: str) -> None:
        if not any(one.startswith(right_bits(prefix)) for one in self.hops):
            raise KeyError(prefix)
        self.hops.pop(right_bits(prefix), None)


class OtherException(RightTable):
    """Believe that any exception will do."""

    def withdraw(self, prefix: str) -> None:
        if right_bits(prefix) not in self.hops:
            raise ValueError(prefix)
        super().withdraw(prefix)


class RefusesToLookUp(RightTable):
    """Believe that an address without a route is an error."""

    def look_up(self, address: str) -> Any:
        return self.hops[(self.matches(address) or ["none"])[-1]]


class WithHostBits(RightTable):
    """Believe that the address in front of the slash is already the network."""

    def insert(self, prefix: str, next_hop: str) -> None:
        self.hops[prefix] = next_hop

    def withdraw(self, prefix: str) -> None:
        del self.hops[prefix]

    def matches(self, address: str) -> list[str]:
        def covers(prefix: str) -> bool:
            bits = right_bits(prefix)
            network = right_bits(prefix.split("/")[0] + "/32")
            begins = right_bits(address + "/32").startswith(bits)
            return begins and network == bits.ljust(32, "0")

        return sorted(filter(covers, self.hops), key=lambda one: int(one.split("/")[1]))


class RefusesHostBits(RightTable):
    """Believe that host bits in a prefix are an error."""

    def insert(self, prefix: str, next_hop: str) -> None:
        network = right_bits(prefix.split("/")[0] + "/32")
        if network != right_bits(prefix).ljust(32, "0"):
            raise ValueError(f"{prefix} has host bits set")
        super().insert(prefix, next_hop)


class AsSpelled(RightTable):
    """Believe that two spellings of a prefix are two prefixes."""

    def insert(self, prefix: str, next_hop: str) -> None:
        self.hops.pop(prefix, None)
        self.hops[prefix] = next_hop

    def withdraw(self, prefix: str) -> None:
        del self.hops[prefix]

    def matches(self, address: str) -> list[str]:
        bits = right_bits(address + "/32")
        fit = [one for one in self.hops if bits.startswith(right_bits(one))]
        return sorted(fit, key=lambda one: len(right_bits(one)))


class WithoutLength(RightTable):
    """Believe that the network's address is enough to know a prefix by."""

    def insert(self, prefix: str, next_hop: str) -> None:
        network = right_bits(prefix).ljust(32, "0")
        self.hops = {one: hop for one, hop in self.hops.items() if one.ljust(32, "0") != network}
        super().insert(prefix, next_hop)


class LastNode(RightTable):
    """Believe that the answer stands in the last node of the trie that one gets to."""

    def look_up(self, address: str) -> Any:
        bits = right_bits(address + "/32")
        for length in range(32, -1, -1):
            if any(one.startswith(bits[:length]) for one in self.hops):
                return self.hops.get(bits[:length])
        return None


class FirstWins(RightTable):
    """Believe that of all matches the one that was inserted first wins."""

    def matches(self, address: str) -> list[str]:
        return sorted(super().matches(address), key=list(self.hops).index, reverse=True)


class LastWins(RightTable):
    """Believe that of all matches the one that was inserted last wins."""

    def matches(self, address: str) -> list[str]:
        return sorted(super().matches(address), key=list(self.hops).index)


class ShortestWins(RightTable):
    """Believe that the wider network is preferred."""

    def matches(self, address: str) -> list[str]:
        return super().matches(address)[::-1]


class WithoutDefault(RightTable):
    """Believe that a prefix of length 0 matches nothing."""

    def matches(self, address: str) -> list[str]:
        return [one for one in super().matches(address) if one]


class WithoutHosts(RightTable):
    """Believe that lengths end at 31."""

    def matches(self, address: str) -> list[str]:
        return [one for one in super().matches(address) if len(one) < 32]


class Shared(RightTable):
    """Believe that what is written in the class belongs to each table."""

    shared: dict[str, Any] = {}  # noqa: RUF012  # that is the mistake

    def __init__(self) -> None:
        if len(self.shared) > 300:  # no notebook comes this far; batches of many seeds would
            self.shared.clear()
        self.hops = self.shared


NEW_TABLE: dict[str, Callable[..., Any]] = {
    "older-route-stays": KeepsBoth,
    "older-route-comes-back": Uncovers,
    "first-next-hop-stays": FirstStays,
    "prefix-again-refused": RefusesAgain,
    "below-goes-too": CutsTheBranch,
    "withdrawal-leaves-a-hole": LeavesHoles,
    "withdrawn-for-ever": NeverAgain,
    "withdrawal-hands-back": HandsBack,
    "withdraws-the-route-around": WithdrawsAround,
    "withdraws-in-silence": SaysNothing,
    "node-taken-for-a-route": OnTheWay,
    "another-exception": OtherException,
    "no-route-refused": RefusesToLookUp,
    "host-bits-in-the-key": WithHostBits,
    "host-bits-refused": RefusesHostBits,
    "two-spellings-two-routes": AsSpelled,
    "length-not-in-the-key": WithoutLength,
    "last-node-walked": LastNode,
    "first-inserted-wins": FirstWins,
    "last-inserted-wins": LastWins,
    "shortest-prefix-wins": ShortestWins,
    "default-never-matches": WithoutDefault,
    "single-address-never-matches": WithoutHosts,
    "tables-share-their-routes": Shared,
}
