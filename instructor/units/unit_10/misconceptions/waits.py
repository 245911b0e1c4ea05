"""Misconceptions about waiting, and about dropping because of it: exercises 10.5 and 10.6."""

__all__ = ["NEW_WATCH", "WAIT_MS"]

import math
from collections.abc import Callable
from typing import Any

# 10.5 wait_ms


def right_ahead(found: list[int], percent: float) -> int:
    """Return how many packets are ahead of one at this place in the order of waits."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if 100 * so_far >= percent * sum(found):
            return ahead
    return len(found) - 1


def right_ms(ahead: float, rate: int) -> float:
    """Return how long so many packets take."""
    return ahead * 12_000_000 / rate


def wait_of_the_mean(found: list[int], rate: int, percent: int) -> float:
    """Believe that the mean stands for all."""
    mean = sum(ahead * packets for ahead, packets in enumerate(found)) / sum(found)
    return right_ms(mean, rate)


def wait_share_of_the_longest(found: list[int], rate: int, percent: int) -> float:
    """Believe that 99 % of the packets wait up to 99 % of the longest wait."""
    return right_ms(percent / 100 * right_ahead(found, 100), rate)


def wait_of_the_longest(found: list[int], rate: int, percent: int) -> float:
    """Believe that the worst case is asked for, whatever the percentage."""
    return right_ms(right_ahead(found, 100), rate)


def wait_of_the_others(found: list[int], rate: int, percent: int) -> float:
    """Believe that the percentage counts from the long waits down."""
    return right_ms(right_ahead(found, 100 - percent), rate)


def wait_of_lengths(found: list[int], rate: int, percent: int) -> float:
    """Believe that each length counts once, however many packets found it."""
    return right_ms(right_ahead([int(packets > 0) for packets in found], percent), rate)


def wait_and_send(found: list[int], rate: int, percent: int) -> float:
    """Believe that a packet waits for itself, too."""
    return right_ms(right_ahead(found, percent) + 1, rate)


def wait_for_the_next(found: list[int], rate: int, percent: int) -> float:
    """Believe that more than the percentage has to be reached."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if 100 * so_far > percent * sum(found):
            return right_ms(ahead, rate)
    return right_ms(len(found), rate)


def wait_in_octets(found: list[int], rate: int, percent: int) -> float:
    """Believe that a rate in bit/s sends so many octets."""
    return right_ms(right_ahead(found, percent), rate) / 8


def wait_of_the_most(found: list[int], rate: int, percent: int) -> float:
    """Believe that the most frequent wait is the one that counts."""
    return right_ms(found.index(max(found)), rate)


WAIT_MS: dict[str, Callable[..., Any]] = {
    "mean-for-distribution": wait_of_the_mean,
    "share-of-the-longest": wait_share_of_the_longest,
    "longest-wait": wait_of_the_longest,
    "counts-from-the-top": wait_of_the_others,
    "each-length-once": wait_of_lengths,
    "waits-for-itself": wait_and_send,
    "more-than-the-percentage": wait_for_the_next,
    "octets-for-bits": wait_in_octets,
    "most-frequent-wait": wait_of_the_most,
}


# 10.6 new_watch


class RightWatch:
    """A watch in small parts, of which others get one wrong."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target_ms, self.interval_ms = target_ms, interval_ms
        self.due_ms: float | None = None
        self.drops = 0

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        """Tell whether to drop."""
        if self.short(waited_ms):
            self.relax()
            return False
        if self.due_ms is None:
            self.due_ms = now_ms + self.interval_ms
        if now_ms < self.due_ms:
            return False
        self.drops += 1
        self.due_ms = self.after(self.due_ms, now_ms)
        return True

    def short(self, waited_ms: int) -> bool:
        """Tell whether the wait is short enough."""
        return waited_ms < self.target_ms

    def relax(self) -> None:
        """Forget all."""
        self.due_ms, self.drops = None, 0

    def after(self, due_ms: float, now_ms: int) -> float:
        """Return when the next drop is due."""
        return due_ms + self.interval_ms / math.sqrt(self.drops)


def watch_without_patience(target_ms: int, interval_ms: int) -> Any:
    """Believe that every packet that waited too long is dropped."""

    class Watch(RightWatch):
        def leaves(self, now_ms: int, waited_ms: int) -> bool:
            return not self.short(waited_ms)

    return Watch(target_ms, interval_ms)


def watch_that_drops_all(target_ms: int, interval_ms: int) -> Any:
    """Believe that after an interval every packet is dropped until waits are short."""

    class Watch(RightWatch):
        def after(self, due_ms: float, now_ms: int) -> float:
            return due_ms

    return Watch(target_ms, interval_ms)


def watch_with_an_even_pace(target_ms: int, interval_ms: int) -> Any:
    """Believe that drops keep a distance of one interval."""

    class Watch(RightWatch):
        def after(self, due_ms: float, now_ms: int) -> float:
            return due_ms + self.interval_ms

    return Watch(target_ms, interval_ms)


def watch_by_count(target_ms: int, interval_ms: int) -> Any:
    """Believe that the distance is divided by the count, not by its root."""

    class Watch(RightWatch):
        def after(self, due_ms: float, now_ms: int) -> float:
            return due_ms + self.interval_ms / self.drops

    return Watch(target_ms, interval_ms)


def watch_from_the_drop(target_ms: int, interval_ms: int) -> Any:
    """Believe that the distance counts from the packet that was dropped."""

    class Watch(RightWatch):
        def after(self, due_ms: float, now_ms: int) -> float:
            return now_ms + self.interval_ms / math.sqrt(self.drops)

    return Watch(target_ms, interval_ms)


def watch_that_drops_once(target_ms: int, interval_ms: int) -> Any:
    """Believe that one drop is all, until waits have been short."""

    class Watch(RightWatch):
        def after(self, due_ms: float, now_ms: int) -> float:
            return math.inf

    return Watch(target_ms, interval_ms)


def watch_that_never_forgets(target_ms: int, interval_ms: int) -> Any:
    """Believe that one short wait changes nothing."""

    class Watch(RightWatch):
        def relax(self) -> None:
            pass

    return Watch(target_ms, interval_ms)


def watch_that_keeps_its_pace(target_ms: int, interval_ms: int) -> Any:
    """Believe that the count goes on after a short wait."""

    class Watch(RightWatch):
        def relax(self) -> None:
            self.due_ms = None

    return Watch(target_ms, interval_ms)


def watch_of_the_mean(target_ms: int, interval_ms: int) -> Any:
    """Believe that the mean wait must be above the target, not the shortest."""

    class Watch(RightWatch):
        def __init__(self, target_ms: int, interval_ms: int) -> None:
            super().__init__(target_ms, interval_ms)
            self.waits: list[int] = []

        def short(self, waited_ms: int) -> bool:
            self.waits.append(waited_ms)
            return sum(self.waits) / len(self.waits) < self.target_ms

    return Watch(target_ms, interval_ms)


def watch_that_allows_the_target(target_ms: int, interval_ms: int) -> Any:
    """Believe that a wait of exactly the target is short enough."""

    class Watch(RightWatch):
        def short(self, waited_ms: int) -> bool:
            return waited_ms <= self.target_ms

    return Watch(target_ms, interval_ms)


NEW_WATCH: dict[str, Callable[..., Any]] = {
    "drops-at-once": watch_without_patience,
    "drops-all-afterwards": watch_that_drops_all,
    "even-pace": watch_with_an_even_pace,
    "count-instead-of-root": watch_by_count,
    "counts-from-the-drop": watch_from_the_drop,
    "one-drop-is-all": watch_that_drops_once,
    "short-wait-changes-nothing": watch_that_never_forgets,
    "keeps-its-pace": watch_that_keeps_its_pace,
    "mean-for-shortest": watch_of_the_mean,
    "target-is-short-enough": watch_that_allows_the_target,
}
