"""Misconceptions about what a receiver acknowledges and holds: exercise 11.2."""

__all__ = ["NEW_RECEIVER"]

from collections.abc import Callable
from typing import Any, ClassVar

from instructor.units.unit_11.misconceptions.right_receiver import ALL, HALF, RightReceiver


class ReceiverOnALine(RightReceiver):
    """Believe that sequence numbers are compared as any others."""

    def is_before(self, one: int, other: int) -> bool:
        return one < other

    def unwrapped(self, first: int) -> int:
        return self.place - self.place % ALL + first


class ReceiverThatComparesNumbers(RightReceiver):
    """Believe that the smaller number stands before the larger."""

    def is_before(self, one: int, other: int) -> bool:
        return one < other


class ReceiverWhereEqualIsBefore(RightReceiver):
    """Believe that a number stands before itself."""

    def is_before(self, one: int, other: int) -> bool:
        return (other - one) % ALL < HALF


class ReceiverWhereAllIsAhead(RightReceiver):
    """Believe that all numbers but the same one lie ahead."""

    def is_before(self, one: int, other: int) -> bool:
        return one != other


class ReceiverWithASign(RightReceiver):
    """Believe that half of the circle away is before, as the sign of 32 bits would say."""

    def is_before(self, one: int, other: int) -> bool:
        return 0 < (other - one) % ALL <= HALF


class ReceiverWithExchangedNumbers(RightReceiver):
    """Believe that the second number is asked about."""

    def is_before(self, one: int, other: int) -> bool:
        return super().is_before(other, one)


class ReceiverOfTheLast(RightReceiver):
    """Believe that the last octet that came is acknowledged."""

    def answer(self, begin: int, end: int) -> int:
        return (self.place - 1) % ALL


class ReceiverOfSegments(RightReceiver):
    """Believe that segments are numbered."""

    def take(self, begin: int, end: int) -> None:
        super().take(begin, begin + 1)


class ReceiverOfWhatCame(RightReceiver):
    """Believe that each segment is acknowledged by its own end."""

    def answer(self, begin: int, end: int) -> int:
        return end % ALL


class ReceiverOfTheHighest(RightReceiver):
    """Believe that the highest octet that came is acknowledged, whatever is missing."""

    def answer(self, begin: int, end: int) -> int:
        return max(self.place, *[run[1] for run in self.runs], 0) % ALL


class ReceiverOfTheSegmentItself(RightReceiver):
    """Believe that the acknowledgement names the segment that came."""

    def answer(self, begin: int, end: int) -> int:
        return begin % ALL


class ReceiverThatStartsAnew(RightReceiver):
    """Believe that an old segment sets the receiver back."""

    def old(self, begin: int, end: int) -> None:
        self.place = end


class ReceiverThatCountsTwice(RightReceiver):
    """Believe that whatever comes in order counts in full, also what came before."""

    def old(self, begin: int, end: int) -> None:
        self.place += end - begin

    def take(self, begin: int, end: int) -> None:
        super().take(begin, self.place + end - begin if begin <= self.place else end)


class ReceiverOfExactFits(RightReceiver):
    """Believe that a segment must begin just with the octet that is wanted."""

    def take(self, begin: int, end: int) -> None:
        if begin >= self.place:
            super().take(begin, end)


class ReceiverWithoutAnEnd(RightReceiver):
    """Believe that numbers go on beyond 2**32 - 1."""

    def answer(self, begin: int, end: int) -> int:
        return self.place

    def shown(self, begin: int, end: int) -> Any:
        return begin, end


class ReceiverWrapsOneEarly(RightReceiver):
    """Believe that 2**32 - 1 is not used."""

    def answer(self, begin: int, end: int) -> int:
        return self.place % (ALL - 1)


class ReceiverInOrderOnly(RightReceiver):
    """Believe that what comes behind a gap is of no use."""

    def hold(self, begin: int, end: int) -> None:
        pass


class ReceiverOfOneHeld(RightReceiver):
    """Believe that one segment behind a gap is kept, the latest."""

    def hold(self, begin: int, end: int) -> None:
        self.runs = [(begin, end)]


class ReceiverOfOneStep(RightReceiver):
    """Believe that a gap filled brings on only the next segment that was held."""

    def fill(self) -> None:
        self.runs.sort()
        if self.runs and self.runs[0][0] <= self.place:
            self.place = max(self.place, self.runs.pop(0)[1])


class ReceiverThatNeverGoesOn(RightReceiver):
    """Believe that what was held is acknowledged when it comes again."""

    def fill(self) -> None:
        self.runs = [run for run in self.runs if run[1] > self.place]


class ReceiverWithStarts(RightReceiver):
    """Believe that what is held is known by its first octet: the first that came stays."""

    def hold(self, begin: int, end: int) -> None:
        if begin not in [run[0] for run in self.runs]:
            self.runs.append((begin, end))


class ReceiverForAll(RightReceiver):
    """Believe that all receivers hold their octets in one place."""

    shared: ClassVar[list[tuple[int, int]]] = []

    def __init__(self, wanted: int) -> None:
        super().__init__(wanted)
        self.runs = self.shared
        self.runs.clear()


class ReceiverThatListsSegments(RightReceiver):
    """Believe that each segment that is held has a tuple of its own."""

    def joined(self) -> list[tuple[int, int]]:
        return sorted(self.runs)


class ReceiverThatListsAsTheyCame(RightReceiver):
    """Believe that the segment that came last stands first."""

    def joined(self) -> list[tuple[int, int]]:
        latest = {run: place for place, run in enumerate(self.runs)}
        whole = super().joined()
        return sorted(
            whole,
            key=lambda run: (
                -max(
                    place for one, place in latest.items() if run[0] <= one[0] and one[1] <= run[1]
                )
            ),
        )


class ReceiverThatListsTheFarthest(RightReceiver):
    """Believe that what lies farthest stands first."""

    def joined(self) -> list[tuple[int, int]]:
        return super().joined()[::-1]


class ReceiverThatSortsNumbers(RightReceiver):
    """Believe that the tuple with the smallest number stands first."""

    def held(self) -> Any:
        return sorted(super().held())


class ReceiverThatListsLengths(RightReceiver):
    """Believe that a tuple tells how many octets are held."""

    def shown(self, begin: int, end: int) -> Any:
        return begin % ALL, end - begin


class ReceiverThatListsTheLast(RightReceiver):
    """Believe that a tuple ends with the last octet."""

    def shown(self, begin: int, end: int) -> Any:
        return begin % ALL, (end - 1) % ALL


class ReceiverThatListsGaps(RightReceiver):
    """Believe that the gaps are asked for."""

    def joined(self) -> list[tuple[int, int]]:
        ends = [self.place, *[end for _, end in super().joined()]]
        return list(zip(ends, [begin for begin, _ in super().joined()], strict=False))


NEW_RECEIVER: dict[str, Callable[..., Any]] = {
    "numbers-on-a-line": ReceiverOnALine,
    "smaller-is-before": ReceiverThatComparesNumbers,
    "equal-is-before": ReceiverWhereEqualIsBefore,
    "all-is-ahead": ReceiverWhereAllIsAhead,
    "half-away-is-before": ReceiverWithASign,
    "second-before-first": ReceiverWithExchangedNumbers,
    "acknowledges-the-last": ReceiverOfTheLast,
    "numbers-count-segments": ReceiverOfSegments,
    "acknowledges-what-came": ReceiverOfWhatCame,
    "acknowledges-the-highest": ReceiverOfTheHighest,
    "acknowledges-the-segment": ReceiverOfTheSegmentItself,
    "old-segment-sets-back": ReceiverThatStartsAnew,
    "octets-count-twice": ReceiverThatCountsTwice,
    "must-begin-as-wanted": ReceiverOfExactFits,
    "numbers-without-end": ReceiverWithoutAnEnd,
    "last-number-is-not-used": ReceiverWrapsOneEarly,
    "in-order-only": ReceiverInOrderOnly,
    "holds-the-latest-only": ReceiverOfOneHeld,
    "one-step-at-a-time": ReceiverOfOneStep,
    "held-must-come-again": ReceiverThatNeverGoesOn,
    "first-that-came-stays": ReceiverWithStarts,
    "receivers-hold-together": ReceiverForAll,
    "lists-segments": ReceiverThatListsSegments,
    "lists-the-latest-first": ReceiverThatListsAsTheyCame,
    "lists-the-farthest-first": ReceiverThatListsTheFarthest,
    "lists-by-number": ReceiverThatSortsNumbers,
    "lists-lengths": ReceiverThatListsLengths,
    "lists-the-last-octet": ReceiverThatListsTheLast,
    "lists-gaps": ReceiverThatListsGaps,
}
