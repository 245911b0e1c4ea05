"""Misconceptions about what the methods of a table return, and when they look: exercise 4.4."""

__all__ = ["TABLE_METHODS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_04.misconceptions.tables import RightTable, right_bits


class InsertHandsBack(RightTable):
    """Believe that inserting gives back the next hop that was there."""

    def insert(self, prefix: str, next_hop: str) -> Any:
        before = self.hops.get(right_bits(prefix))
        super().insert(prefix, next_hop)
        return before


class InsertTells(RightTable):
    """Believe that inserting gives back what was inserted."""

    def insert(self, prefix: str, next_hop: str) -> Any:
        super().insert(prefix, next_hop)
        return next_hop


class Remembers(RightTable):
    """Believe that an answer, once found, stays right until a route is withdrawn."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, Any] = {}

    def look_up(self, address: str) -> Any:
        if address not in self.found:
            self.found[address] = super().look_up(address)
        return self.found[address]

    def withdraw(self, prefix: str) -> None:
        super().withdraw(prefix)
        self.found.clear()


TABLE_METHODS: dict[str, Callable[..., Any]] = {
    "answers-remembered": Remembers,
    "insert-hands-back": InsertHandsBack,
    "insert-tells": InsertTells,
}
