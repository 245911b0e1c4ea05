"""Misconceptions about bringing new routes into a table that is in use: exercise 7.5.

Each is the plan below with one part that is wrong.
"""

__all__ = ["PLAN_CHANGES", "RightPlan"]

from collections.abc import Callable
from typing import Any

Routes = dict[str, str]
Change = tuple[str, str | None]


class RightPlan:
    """A plan in small parts, of which others get one wrong."""

    old: Routes
    new: Routes

    def __new__(cls, old: Routes, new: Routes) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.old, self.new = old, new
        return self.result()

    def result(self) -> Any:
        """Make one change after the other."""
        table, left, made = dict(self.old), self.changes(), []
        while left:
            change = self.next_one(table, left)
            left.remove(change)
            made.append(change)
            self.make(table, change)
        return made

    def changes(self) -> list[Change]:
        """Return all changes, in the order in which they are looked at."""
        prefixes = [p for p in {**self.old, **self.new} if self.old.get(p) != self.new.get(p)]
        return [(prefix, self.new.get(prefix)) for prefix in sorted(prefixes, key=self.place)]

    def place(self, prefix: str) -> Any:
        """Return what prefixes are sorted by."""
        return self.block(prefix)

    def block(self, prefix: str) -> tuple[int, int]:
        """Return the first address of a prefix as a number, and its length."""
        address, length = prefix.split("/")
        number = 0
        for octet in address.split("."):
            number = 256 * number + int(octet)
        return number, int(length)

    def next_one(self, table: Routes, left: list[Change]) -> Change:
        """Return the change that is made next."""
        return next((one for one in left if self.may(table, one)), left[0])

    def may(self, table: Routes, change: Change) -> bool:
        """Tell whether a change keeps the promise."""
        after = dict(table)
        self.make(after, change)
        return all(
            self.is_kept(self.hop(after, at), self.hop(self.old, at), self.hop(self.new, at))
            for at in self.addresses(change)
        )

    def is_kept(self, now: str | None, before: str | None, wanted: str | None) -> bool:
        """Tell whether the promise is kept for an address."""
        return now in (before, wanted)

    def addresses(self, change: Change) -> list[int]:
        """Return an address of each stretch in which all are treated alike."""
        found = set()
        for prefix in {**self.old, **self.new}:
            first, length = self.block(prefix)
            found |= {first, first + (1 << 32 - length)}
        return sorted(found - {1 << 32})

    def make(self, table: Routes, change: Change) -> None:
        """Make a change."""
        prefix, hop = change
        if hop is None:
            del table[prefix]
        else:
            table[prefix] = hop

    def hop(self, table: Routes, address: int) -> str | None:
        """Return the next hop of an address."""
        best, hop = -1, None
        for prefix, to in table.items():
            first, length = self.block(prefix)
            if first <= address < first + (1 << 32 - length) and length > best:
                best, hop = length, to
        return hop


class RemoveFirst(RightPlan):
    """Believe that the old has to go before the new can come."""

    def result(self) -> Any:
        changes = self.changes()
        return [c for c in changes if c[1] is None] + [c for c in changes if c[1] is not None]


class AddFirstIsEnough(RightPlan):
    """Believe that it is enough to remove last, whatever comes first among the others."""

    def result(self) -> Any:
        changes = self.changes()
        return [c for c in changes if c[1] is not None] + [c for c in changes if c[1] is None]


class OrderDoesNotMatter(RightPlan):
    """Believe that packets stand still until all changes are made."""

    def may(self, table: Routes, change: Change) -> bool:
        return True


class HolesOnly(RightPlan):
    """Believe that any next hop is better than none, so only holes matter."""

    def is_kept(self, now: str | None, before: str | None, wanted: str | None) -> bool:
        return now is not None or None in (before, wanted)


class NoneIsHarmless(RightPlan):
    """Believe that only a wrong next hop does harm, and none is always right."""

    def is_kept(self, now: str | None, before: str | None, wanted: str | None) -> bool:
        return now in (None, before, wanted)


class OnlyTheFirstAddress(RightPlan):
    """Believe that one address of a prefix stands for all of it."""

    def addresses(self, change: Change) -> list[int]:
        return [self.block(change[0])[0]]


class LongestFirst(RightPlan):
    """Believe that longer prefixes always come first."""

    def result(self) -> Any:
        return sorted(self.changes(), key=lambda change: -self.block(change[0])[1])


class ShortestFirst(RightPlan):
    """Believe that shorter prefixes always come first."""

    def result(self) -> Any:
        return sorted(self.changes(), key=lambda change: self.block(change[0])[1])


class KindsInSafeOrder(RightPlan):
    """Believe that any order that keeps the promise will do, such as one by kinds of changes."""

    def result(self) -> Any:
        def when(change: Change) -> tuple[int, int]:
            length = self.block(change[0])[1]
            if change[1] is None:
                return 2, length
            return (1, 0) if change[0] in self.old else (0, -length)

        return sorted(self.changes(), key=when)


class FlushAndFill(RightPlan):
    """Believe that a new table means: all out, then all in."""

    def result(self) -> Any:
        out = [(prefix, None) for prefix in sorted(self.old, key=self.place)]
        return out + [(prefix, self.new[prefix]) for prefix in sorted(self.new, key=self.place)]


class ReplacedInTwoSteps(RightPlan):
    """Believe that a route must be removed before its prefix can get another next hop."""

    def result(self) -> Any:
        made = []
        for prefix, hop in super().result():
            if hop is not None and prefix in self.old:
                made.append((prefix, None))
            made.append((prefix, hop))
        return made


class UnchangedToo(RightPlan):
    """Believe that each route of the new table has to be written, whether it is there or not."""

    def changes(self) -> list[Change]:
        prefixes = sorted({**self.old, **self.new}, key=self.place)
        return [(prefix, self.new.get(prefix)) for prefix in prefixes]


class NothingIsReplaced(RightPlan):
    """Believe that a prefix that both tables have needs no change."""

    def changes(self) -> list[Change]:
        return [one for one in super().changes() if not (one[0] in self.old and one[1])]


class NothingIsRemoved(RightPlan):
    """Believe that old routes may stay, as the new ones are there."""

    def changes(self) -> list[Change]:
        return [one for one in super().changes() if one[1] is not None]


class OrderOfTexts(RightPlan):
    """Believe that addresses in dots are in order as texts are."""

    def place(self, prefix: str) -> Any:
        return prefix


class LongerBeforeShorter(RightPlan):
    """Believe that of prefixes with one first address the longer comes first."""

    def place(self, prefix: str) -> Any:
        first, length = self.block(prefix)
        return first, -length


class NoSecondLook(RightPlan):
    """Believe that a change that has to wait waits until all others were looked at."""

    def result(self) -> Any:
        table, left, made = dict(self.old), self.changes(), []
        while left:
            for change in list(left):
                if self.may(table, change):
                    self.make(table, change)
                    left.remove(change)
                    made.append(change)
        return made


PLAN_CHANGES: dict[str, Callable[..., Any]] = {
    "remove-first": RemoveFirst,
    "add-first-is-enough": AddFirstIsEnough,
    "order-does-not-matter": OrderDoesNotMatter,
    "holes-only": HolesOnly,
    "none-is-harmless": NoneIsHarmless,
    "only-the-first-address": OnlyTheFirstAddress,
    "longest-first": LongestFirst,
    "shortest-first": ShortestFirst,
    "kinds-in-safe-order": KindsInSafeOrder,
    "flush-and-fill": FlushAndFill,
    "replaced-in-two-steps": ReplacedInTwoSteps,
    "unchanged-too": UnchangedToo,
    "nothing-is-replaced": NothingIsReplaced,
    "nothing-is-removed": NothingIsRemoved,
    "order-of-texts": OrderOfTexts,
    "longer-before-shorter": LongerBeforeShorter,
    "no-second-look": NoSecondLook,
}
