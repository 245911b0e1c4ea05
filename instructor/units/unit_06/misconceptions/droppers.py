"""Misconceptions about a stage that remembers: exercise 6.5."""

__all__ = ["NEW_DROPPER"]

from collections.abc import Callable
from typing import Any


class RightDropper:
    """Right in all that the others get wrong."""

    def __init__(self, every: int) -> None:
        if every < 1:
            raise ValueError(every)
        self.every = every
        self.seen: dict[str, int] = {}
        self.last = ""
        self.verdicts: list[bool] = []

    def key(self, flow: str) -> str:
        """Return under what the packets of a flow are counted."""
        return flow

    def is_due(self, number: int) -> bool:
        """Tell whether the packet with this number in its flow is dropped."""
        return number % self.every == 0

    def passes(self, flow: str) -> bool:
        """Count, then decide."""
        key = self.key(flow)
        self.seen[key] = self.seen.get(key, 0) + 1
        self.verdicts.append(not self.is_due(self.seen[key]))
        return self.verdicts[-1]

    def counts(self) -> tuple[int, int]:
        """Return passed and dropped."""
        return self.verdicts.count(True), self.verdicts.count(False)


def dropper_for_all(every: int) -> RightDropper:
    """Believe that all packets count together."""

    class Dropper(RightDropper):
        def key(self, flow: str) -> str:
            return ""

    return Dropper(every)


def dropper_of_the_first(every: int) -> RightDropper:
    """Believe that a period begins with its drop."""

    class Dropper(RightDropper):
        def is_due(self, number: int) -> bool:
            return (number - 1) % self.every == 0

    return Dropper(every)


def dropper_one_late(every: int) -> RightDropper:
    """Believe that so many packets pass between two drops."""

    class Dropper(RightDropper):
        def is_due(self, number: int) -> bool:
            return number % (self.every + 1) == 0

    return Dropper(every)


def dropper_that_stops(every: int) -> RightDropper:
    """Believe that one packet of each flow is dropped, and no more."""

    class Dropper(RightDropper):
        def is_due(self, number: int) -> bool:
            return number == self.every

    return Dropper(every)


def dropper_that_never_stops(every: int) -> RightDropper:
    """Believe that a counter stays where it is when it has got there."""

    class Dropper(RightDropper):
        def is_due(self, number: int) -> bool:
            return number >= self.every

    return Dropper(every)


def dropper_that_forgets(every: int) -> RightDropper:
    """Believe that it is enough to remember the flow of the packet before."""

    class Dropper(RightDropper):
        def key(self, flow: str) -> str:
            if flow != self.last:
                self.seen.clear()
            self.last = flow
            return flow

    return Dropper(every)


def dropper_turned_round(every: int) -> RightDropper:
    """Believe that one packet of so many passes."""

    class Dropper(RightDropper):
        def is_due(self, number: int) -> bool:
            return number % self.every != 0

    return Dropper(every)


def dropper_that_counts_all(every: int) -> RightDropper:
    """Believe that a dropped packet has passed too, since it was seen."""

    class Dropper(RightDropper):
        def counts(self) -> tuple[int, int]:
            return len(self.verdicts), self.verdicts.count(False)

    return Dropper(every)


def dropper_of_nothing(every: int) -> RightDropper:
    """Believe that every 0th packet means none."""
    dropper = RightDropper(max(every, 1))
    if every < 1:
        dropper.every = 1 << 32
    return dropper


NEW_DROPPER: dict[str, Callable[..., Any]] = {
    "one-count-for-all": dropper_for_all,
    "first-one-dropped": dropper_of_the_first,
    "one-too-late": dropper_one_late,
    "starts-anew-with-another-flow": dropper_that_forgets,
    "drops-once": dropper_that_stops,
    "drops-from-then-on": dropper_that_never_stops,
    "dropped-counted-as-passed": dropper_that_counts_all,
    "one-of-so-many-passes": dropper_turned_round,
    "zero-means-never": dropper_of_nothing,
}
