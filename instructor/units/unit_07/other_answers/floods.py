"""Other right answers to exercise 7.4, each in a way of its own."""

__all__ = ["NEW_FLOODER"]

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cmp_to_key
from typing import Any

Copy = tuple[str, int, int, int]


class FlooderByNeighbour:
    """Keep a set of routers for each neighbour: those that it has yet to confirm."""

    def __init__(self, neighbours: list[str]) -> None:
        self.owes: dict[str, set[str]] = {name: set() for name in neighbours}
        self.copies: dict[str, Copy] = {}

    def receive(self, neighbour: str, copy: Copy) -> dict[str, Any]:
        """Go through the cases one by one."""
        router = copy[0]
        if router not in self.copies:
            if copy[-1] == 3600:
                return {neighbour: "ack"}
        elif self.is_newer(self.copies[router], copy):
            return {neighbour: self.copies[router]}
        elif not self.is_newer(copy, self.copies[router]):
            if router in self.owes[neighbour]:
                self.owes[neighbour].remove(router)
                return {}
            return {neighbour: "ack"}
        self.copies[router] = copy
        result: dict[str, Any] = {}
        for name, routers in self.owes.items():
            if name == neighbour:
                routers.discard(router)
                result[name] = "ack"
            else:
                routers.add(router)
                result[name] = copy
        return result

    def confirm(self, neighbour: str, copy: Copy) -> None:
        """Take a confirmation of just what is kept."""
        ours = self.copies.get(copy[0], copy)
        if not self.is_newer(ours, copy) and not self.is_newer(copy, ours):
            self.owes[neighbour].discard(copy[0])

    def waiting(self) -> list[tuple[str, str]]:
        """List all that is owed."""
        return [(name, router) for name in sorted(self.owes) for router in sorted(self.owes[name])]

    @staticmethod
    def is_newer(one: Copy, other: Copy) -> bool:
        """Compare field by field."""
        # Half of all numbers is added, round the clock: then they stand in order without a sign.
        first, second = ((number + 2**31) % 2**32 for number in (one[1], other[1]))
        if first != second:
            return first > second
        if one[2] != other[2]:
            return one[2] > other[2]
        if (one[3] == 3600) != (other[3] == 3600):
            return one[3] == 3600
        return other[3] - one[3] > 900


def difference(one: Copy, other: Copy) -> int:
    """Return what decides between two copies; 0 if nothing does."""
    numbers = [int.from_bytes(copy[1].to_bytes(4, "big"), "big", signed=True)
               for copy in (one, other)]  # fmt: skip
    ages = one[3], other[3]
    apart = ages[1] - ages[0]
    return (
        numbers[0] - numbers[1]
        or one[2] - other[2]
        or ages.count(3600) % 2 * (1 if ages[0] == 3600 else -1)
        or (apart if abs(apart) > 900 else 0)
    )


@dataclass
class Entry:
    """A copy, and who has yet to confirm it."""

    copy: Copy
    open: set[str] = field(default_factory=set)


class FlooderByEntry:
    """Keep an entry for each router."""

    def __init__(self, neighbours: list[str]) -> None:
        self.neighbours = frozenset(neighbours)
        self.entries: dict[str, Entry] = {}

    def receive(self, neighbour: str, copy: Copy) -> dict[str, Any]:
        """Make a new entry for what is newer; look at the old one for all else."""
        router, *_, age = copy
        entry = self.entries.get(router)
        if entry is None and age >= 3600:
            return {neighbour: "ack"}
        if entry is None or difference(copy, entry.copy) > 0:
            others = self.neighbours - {neighbour}
            self.entries[router] = Entry(copy, set(others))
            return {**dict.fromkeys(others, copy), neighbour: "ack"}
        if difference(copy, entry.copy) < 0:
            return {neighbour: entry.copy}
        if neighbour not in entry.open:
            return {neighbour: "ack"}
        entry.open.remove(neighbour)
        return {}

    def confirm(self, neighbour: str, copy: Copy) -> None:
        """Close an entry for a neighbour."""
        entry = self.entries.get(copy[0])
        if entry and not difference(copy, entry.copy):
            entry.open -= {neighbour}

    def waiting(self) -> list[tuple[str, str]]:
        """List all open ones."""
        return sorted((name, router) for router, entry in self.entries.items()
                      for name in entry.open)  # fmt: skip


@cmp_to_key
def by_age(one: int, other: int) -> int:
    """Compare ages as keys."""
    if one == other or (abs(one - other) <= 900 and 3600 not in (one, other)):
        return 0
    if 3600 in (one, other):
        return 1 if one == 3600 else -1
    return 1 if one < other else -1


class FlooderByKeys:
    """Compare copies by keys, and keep open pairs in a list."""

    def __init__(self, neighbours: list[str]) -> None:
        self.neighbours = neighbours
        self.kept: list[Copy] = []
        self.open: list[tuple[str, str]] = []

    def key(self, copy: Copy) -> tuple[Any, ...]:
        """Return a key by which copies are compared."""
        return (copy[1] ^ 0x80000000, copy[2], by_age(copy[3]))

    def receive(self, neighbour: str, copy: Copy) -> dict[str, Any]:
        """Find the copy, if any, and compare."""
        ours = next((one for one in self.kept if one[0] == copy[0]), None)
        pair = (neighbour, copy[0])
        if ours is not None and self.key(copy) == self.key(ours):
            if pair in self.open:
                self.open.remove(pair)
                return {}
            return {neighbour: "ack"}
        if ours is not None and self.key(copy) < self.key(ours):
            return {neighbour: ours}
        if ours is None and copy[3] == 3600:
            return {neighbour: "ack"}
        self.kept = [one for one in self.kept if one[0] != copy[0]] + [copy]
        self.open = [one for one in self.open if one[1] != copy[0]]
        sent: dict[str, Any] = {neighbour: "ack"}
        for other in self.neighbours:
            if other != neighbour:
                self.open.append((other, copy[0]))
                sent[other] = copy
        return sent

    def confirm(self, neighbour: str, copy: Copy) -> None:
        """Strike a pair off the list."""
        for ours in self.kept:
            if ours[0] == copy[0] and self.key(ours) == self.key(copy):
                self.open = [pair for pair in self.open if pair != (neighbour, copy[0])]

    def waiting(self) -> list[tuple[str, str]]:
        """Return the list in order."""
        return sorted(self.open)


NEW_FLOODER: tuple[Callable[..., Any], ...] = (FlooderByNeighbour, FlooderByEntry, FlooderByKeys)
