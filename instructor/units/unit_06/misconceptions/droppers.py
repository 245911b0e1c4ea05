"""Misconceptions about a stage that remembers: exercise 6.5."""

__all__ = ["NEW_DROPPER"]

from collections.abc import Callable
from typing import Any


class RightDropper:
    """Right in all that the others get wrong."""

    def __init__(self, every: int) -> None:
        if every < 1:
            raise ValueError(every)
        self.seen: dict[str, int] = {}
        self.last: str | None = None
        self.verdicts: list[bool] = []
        self.is_due: Callable[[int], bool] = lambda number: number % every == 0

    def key(self, flow: str) -> str:
        """Return under what the packets of a flow are counted."""
        return flow

    def passes(self, flow: str) -> bool:
        """Count, then decide."""
        key = self.key(flow)
        self.seen[key] = self.seen.get(key, 0) + 1
        self.verdicts.append(not self.is_due(self.seen[key]))
        return self.verdicts[-1]

    def counts(self) -> tuple[int, int]:
        """Return passed and dropped."""
        return self.verdicts.count(True), self.verdicts.count(False)


def right_but_for(every: int, is_due: Callable[[int], bool]) -> RightDropper:
    """Make a dropper with a rule of its own for the numbers of the packets that it drops."""
    dropper = RightDropper(every)
    dropper.is_due = is_due
    return dropper


def dropper_for_all(every: int) -> RightDropper:
    """Believe that all packets count together."""

    class Dropper(RightDropper):
        def key(self, flow: str) -> str:
            return ""

    return Dropper(every)


def dropper_of_the_first(every: int) -> RightDropper:
    """Believe that a period begins with its drop."""
    return right_but_for(every, lambda number: (number - 1) % every == 0)


def dropper_one_late(every: int) -> RightDropper:
    """Believe that so many packets pass between two drops."""
    return right_but_for(every, lambda number: number % (every + 1) == 0)


def dropper_that_stops(every: int) -> RightDropper:
    """Believe that one packet of each flow is dropped, and no more."""
    return right_but_for(every, lambda number: number == every)


def dropper_that_never_stops(every: int) -> RightDropper:
    """Believe that a counter stays where it is when it has got there."""
    return right_but_for(every, lambda number: number >= every)


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
    return right_but_for(every, lambda number: number % every != 0)


def dropper_that_counts_all(every: int) -> RightDropper:
    """Believe that a dropped packet has passed too, since it was seen."""

    class Dropper(RightDropper):
        def counts(self) -> tuple[int, int]:
            return len(self.verdicts), self.verdicts.count(False)

    return Dropper(every)


def dropper_of_nothing(every: int) -> RightDropper:
    """Believe that every 0th packet means none."""
    return RightDropper(every if every >= 1 else 1 << 32)


def dropper_that_counts_again(every: int) -> RightDropper:
    """Believe that the dropped packet is number 1 of the next period."""
    step = max(every - 1, 1)
    return right_but_for(every, lambda number: number >= every and (number - 1) % step == 0)


def dropper_that_says_dropped(every: int) -> RightDropper:
    """Believe that the result tells whether a packet is dropped."""

    class Dropper(RightDropper):
        def passes(self, flow: str) -> bool:
            return not super().passes(flow)

    return Dropper(every)


def dropper_that_turns_counts(every: int) -> RightDropper:
    """Believe that the dropped ones come first."""

    class Dropper(RightDropper):
        def counts(self) -> tuple[int, int]:
            return self.verdicts.count(False), self.verdicts.count(True)

    return Dropper(every)


def dropper_that_lists_counts(every: int) -> RightDropper:
    """Believe that a list is as good as a tuple."""

    class Dropper(RightDropper):
        def counts(self) -> Any:
            return [self.verdicts.count(True), self.verdicts.count(False)]

    return Dropper(every)


def dropper_that_clears_counts(every: int) -> RightDropper:
    """Believe that whoever asks for counts begins a new page."""

    class Dropper(RightDropper):
        def counts(self) -> tuple[int, int]:
            passed, dropped = super().counts()
            self.verdicts.clear()
            return passed, dropped

    return Dropper(every)


def dropper_that_counts_one_flow(every: int) -> RightDropper:
    """Believe that counts are those of the flow that came last."""

    class Dropper(RightDropper):
        def passes(self, flow: str) -> bool:
            if flow != self.last:
                self.verdicts.clear()
            self.last = flow
            return super().passes(flow)

    return Dropper(every)


SEEN: dict[str, int] = {}
VERDICTS: list[bool] = []
PERIOD: list[int] = [1]


def dropper_that_shares_flows(every: int) -> RightDropper:
    """Believe that each object has its own flows, wherever they are kept."""
    dropper = RightDropper(every)
    dropper.seen = SEEN
    return dropper


def dropper_that_shares_counts(every: int) -> RightDropper:
    """Believe that each object has its own counts, wherever they are kept."""
    dropper = RightDropper(every)
    dropper.verdicts = VERDICTS
    return dropper


def dropper_of_the_last_period(every: int) -> RightDropper:
    """Believe that the period can be kept outside of the object."""
    dropper = right_but_for(every, lambda number: number % PERIOD[0] == 0)
    PERIOD[0] = every
    return dropper


def dropper_unchecked(every: int) -> RightDropper:
    """Believe that nobody asks for a period below 1."""
    dropper = RightDropper(max(every, 1))
    dropper.is_due = lambda number: number % every == 0
    return dropper


def dropper_for_0_alone(every: int) -> RightDropper:
    """Believe that 0 is the only period that makes no sense."""
    if every == 0:
        raise ValueError(every)
    return dropper_of_nothing(every)


def dropper_but_below_0(every: int) -> RightDropper:
    """Believe that a period of 0 means none, and that only less makes no sense."""
    if every < 0:
        raise ValueError(every)
    return dropper_of_nothing(every)


def dropper_without_a_beginning(every: int) -> RightDropper:
    """Believe that nobody asks for counts before a packet has come."""

    class Dropper(RightDropper):
        def counts(self) -> tuple[int, int]:
            if not self.verdicts:
                raise AttributeError("no packet has come")
            return super().counts()

    return Dropper(every)


def dropper_above_1(every: int) -> RightDropper:
    """Believe that a period of 1 makes no sense."""
    if every == 1:
        raise ValueError(every)
    return RightDropper(every)


def dropper_that_refuses_late(every: int) -> RightDropper:
    """Believe that it is soon enough to refuse when a packet comes."""

    class Dropper(RightDropper):
        def passes(self, flow: str) -> bool:
            if every < 1:
                raise ValueError(every)
            return super().passes(flow)

    return Dropper(max(every, 1))


def dropper_or_another(every: int) -> RightDropper:
    """Believe that any exception will do."""
    if every < 1:
        raise Exception("no such period")
    return RightDropper(every)


def dropper_or_none(every: int) -> RightDropper | None:
    """Believe that None is as good as a refusal."""
    return RightDropper(every) if every >= 1 else None


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
    "dropped-one-counts-again": dropper_that_counts_again,
    "true-for-dropped": dropper_that_says_dropped,
    "dropped-come-first": dropper_that_turns_counts,
    "list-of-two": dropper_that_lists_counts,
    "counts-begin-anew": dropper_that_clears_counts,
    "counts-of-one-flow": dropper_that_counts_one_flow,
    "objects-share-flows": dropper_that_shares_flows,
    "objects-share-counts": dropper_that_shares_counts,
    "last-period-for-all": dropper_of_the_last_period,
    "period-not-checked": dropper_unchecked,
    "only-zero-refused": dropper_for_0_alone,
    "one-refused": dropper_above_1,
    "refuses-too-late": dropper_that_refuses_late,
    "another-exception": dropper_or_another,
    "none-for-a-refusal": dropper_or_none,
}
