"""A flooder without any fault, of which the misconceptions of exercise 7.4 get one part wrong."""

__all__ = ["Copy", "RightFlooder"]

from typing import Any

Copy = tuple[str, int, int, int]


class RightFlooder:
    """Copies and confirmations in small parts."""

    def __init__(self, neighbours: list[str]) -> None:
        self.neighbours = list(neighbours)
        self.kept: dict[str, Copy] = {}
        self.open: set[tuple[str, str]] = set()

    def receive(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy in."""
        ours = self.kept.get(copy[0])
        if ours is None:
            return self.first(neighbour, copy)
        order = self.order(copy, ours)
        if order > 0:
            return self.newer(neighbour, copy)
        return self.older(neighbour, copy, ours) if order < 0 else self.same(neighbour, copy)

    def first(self, neighbour: str, copy: Copy) -> Any:
        """Hear of a router for the first time."""
        return {neighbour: "ack"} if copy[3] == 3600 else self.newer(neighbour, copy)

    def newer(self, neighbour: str, copy: Copy) -> Any:
        """Keep a copy and spread it."""
        self.keep(copy)
        self.open.discard((neighbour, copy[0]))
        others = self.others(neighbour)
        self.open |= {(one, copy[0]) for one in others}
        return self.spread(neighbour, copy, others)

    def spread(self, neighbour: str, copy: Copy, others: list[str]) -> Any:
        """Say whom to send a new copy."""
        return dict.fromkeys(others, copy) | {neighbour: "ack"}

    def others(self, neighbour: str) -> list[str]:
        """Return all neighbours but one."""
        return [one for one in self.neighbours if one != neighbour]

    def keep(self, copy: Copy) -> None:
        """Keep a copy."""
        self.kept[copy[0]] = copy

    def same(self, neighbour: str, copy: Copy) -> Any:
        """Hear what is known."""
        if (neighbour, copy[0]) in self.open:
            return self.implied(neighbour, copy)
        return {neighbour: "ack"}

    def implied(self, neighbour: str, copy: Copy) -> Any:
        """Take a copy as a confirmation."""
        self.open.discard((neighbour, copy[0]))
        return {}

    def older(self, neighbour: str, copy: Copy, ours: Copy) -> Any:
        """Hear what is out of date."""
        return {neighbour: ours}

    def confirm(self, neighbour: str, copy: Copy) -> Any:
        """Take a confirmation."""
        ours = self.kept.get(copy[0])
        if ours is not None and self.confirms(copy, ours):
            self.open.discard((neighbour, copy[0]))

    def confirms(self, copy: Copy, ours: Copy) -> bool:
        """Tell whether a confirmation is for what we keep."""
        return self.order(copy, ours) == 0

    def waiting(self) -> Any:
        """Tell who has not confirmed."""
        return sorted(self.open)

    def order(self, one: Copy, other: Copy) -> int:
        """Return more than 0 if one is newer than the other, less if older, 0 if the same."""
        for mine, its in zip(self.ranks(one), self.ranks(other), strict=True):
            if mine != its:
                return 1 if mine > its else -1
        return self.by_age(one[3], other[3])

    def ranks(self, copy: Copy) -> tuple[Any, ...]:
        """Return what counts before ages."""
        return self.signed(copy[1]), copy[2], copy[3] == 3600

    def signed(self, number: int) -> int:
        """Read 32 bits as a signed number."""
        return number - (1 << 32) if number >> 31 else number

    def by_age(self, one: int, other: int) -> int:
        """Compare two ages."""
        if abs(one - other) <= 900:
            return 0
        return 1 if one < other else -1
