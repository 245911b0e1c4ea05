"""Answers that break one clause of the contract of 7.5, and keep all others.

What a plan has to wait for, and how its prefixes lie, says which clauses its tables are about
(`kind_of`). A clause about all tables is broken in one kind alone.
"""

__all__ = [
    "AddsNothing",
    "EmptyForNone",
    "HolesAreFine",
    "KindsWhereMixed",
    "LastOfThose",
    "LongerFirst",
    "OneAddress",
    "Removed",
    "Replaced",
    "ShortestDecides",
    "TextsInOrder",
    "ThirdIsFine",
    "Triples",
    "TwoSteps",
    "Unchanged",
]

from itertools import pairwise
from typing import Any

from instructor.units.unit_07.misconceptions.mirrors import (
    Change,
    HolesOnly,
    KindsInSafeOrder,
    LongerBeforeShorter,
    NoneIsHarmless,
    NothingIsRemoved,
    NothingIsReplaced,
    OnlyTheFirstAddress,
    OrderOfTexts,
    ReplacedInTwoSteps,
    RightPlan,
    Routes,
    UnchangedToo,
)

ADDED, REMOVED, REPLACED, MIXED = "added", "removed", "replaced", "mixed"
KEPT, NESTED, HOLE, THIRD, ONE, TEXTS = "kept", "nested", "hole", "third", "one", "texts"


def kind_of(old: Routes, new: Routes) -> str:
    """Tell what a plan has to wait for; if for nothing, how prefixes lie, and what changes."""
    right = RightPlan(old, new)
    if NoneIsHarmless(old, new) != right:
        return HOLE
    if HolesOnly(old, new) != right:
        return THIRD
    prefixes = [*{**old, **new}]
    if is_nested(prefixes):
        return NESTED
    if sorted(prefixes) != sorted(prefixes, key=block_of):
        return TEXTS
    if len(right) < len(prefixes):
        return KEPT
    if not old or not new:
        return REMOVED if old else ADDED
    if {*old} == {*new}:
        return REPLACED if len(right) > 1 else ONE
    return MIXED


def is_nested(prefixes: list[str]) -> bool:
    """Tell whether one prefix lies in another."""
    blocks = sorted(map(block_of, prefixes))
    return any(b < a + (1 << 32 - n) for (a, n), (b, _) in pairwise(blocks))


def block_of(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix as a number, and its length."""
    address, length = prefix.split("/")
    return int.from_bytes(bytes(map(int, address.split("."))), "big"), int(length)


class Where(RightPlan):
    """Do what is wrong for tables of one kind, and what is right elsewhere."""

    kind = MIXED
    wrong: type[RightPlan] = RightPlan

    def result(self) -> Any:
        """Make one change after the other."""
        is_there = kind_of(self.old, self.new) == self.kind
        return (self.wrong if is_there else RightPlan)(self.old, self.new)


class Triples(RightPlan):
    """Return also what was there before."""

    def result(self) -> Any:
        """Make one change after the other."""
        return [(prefix, self.old.get(prefix), hop) for prefix, hop in super().result()]


class Empty(RightPlan):
    """Write an empty text for a route that is removed."""

    def result(self) -> Any:
        """Make one change after the other."""
        return [(prefix, hop or "") for prefix, hop in super().result()]


class EmptyForNone(Where):
    """Write an empty text for a route that is removed."""

    kind, wrong = REMOVED, Empty


class Adding(RightPlan):
    """Add no prefix that only the new table has."""

    def changes(self) -> list[Change]:
        """Return all changes."""
        return [one for one in super().changes() if one[0] in self.old]


class AddsNothing(Where):
    """Add no prefix that only the new table has."""

    kind, wrong = ADDED, Adding


class Removed(Where):
    """Leave routes that only the old table has."""

    kind, wrong = REMOVED, NothingIsRemoved


class Replaced(Where):
    """Leave prefixes that both tables have."""

    kind, wrong = REPLACED, NothingIsReplaced


class TwoSteps(Where):
    """Remove a route before its prefix gets another next hop."""

    kind, wrong = REPLACED, ReplacedInTwoSteps


class Unchanged(Where):
    """Write what stays as it is."""

    kind, wrong = KEPT, UnchangedToo


class TextsInOrder(OrderOfTexts):
    """Compare addresses as texts."""


class LongerFirst(Where):
    """Put the longer one of two with the same first address first."""

    kind, wrong = NESTED, LongerBeforeShorter


class HolesAreFine(NoneIsHarmless):
    """Keep the promise but for holes."""


class LastOf(RightPlan):
    """Make the last of the changes that keep the promise."""

    def next_one(self, table: Routes, left: list[Change]) -> Change:
        """Return the change that is made next."""
        return super().next_one(table, left[::-1])


class LastOfThose(Where):
    """Make the last of the changes that keep the promise, where they are of several kinds."""

    wrong = LastOf


class KindsWhereMixed(Where):
    """Go by kinds of changes, where they are of several kinds."""

    wrong = KindsInSafeOrder


class ThirdIsFine(HolesOnly):
    """Keep the promise but for third next hops."""


class OneAddress(Where):
    """Look at the first address of a prefix alone."""

    kind, wrong = THIRD, OnlyTheFirstAddress


class Shortest(RightPlan):
    """Let the shortest prefix decide."""

    def hop(self, table: Routes, address: int) -> str | None:
        """Return the next hop of an address."""
        best, hop = 33, None
        for prefix, to in table.items():
            first, length = self.block(prefix)
            if first <= address < first + (1 << 32 - length) and length < best:
                best, hop = length, to
        return hop


class ShortestDecides(Where):
    """Let the shortest prefix decide, where prefixes lie in others."""

    kind, wrong = NESTED, Shortest
