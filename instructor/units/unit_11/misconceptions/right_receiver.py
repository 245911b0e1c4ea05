"""A receiver without any fault, of which the misconceptions of exercise 11.2 get one part wrong."""

__all__ = ["RightReceiver"]

from typing import Any

ALL, HALF = 2**32, 2**31


class RightReceiver:
    """The receiver in small parts, of which others get one wrong.

    `place` counts on beyond 2**32 and never wraps; `runs` are the places that are held.
    """

    def __init__(self, wanted: int) -> None:
        self.place = wanted
        self.runs: list[tuple[int, int]] = []

    def is_before(self, one: int, other: int) -> bool:
        """Tell whether a number stands before another one."""
        return 0 < (other - one) % ALL < HALF

    def receive(self, first: int, octets: int) -> int:
        """Take a segment in."""
        begin = self.unwrapped(first)
        end = begin + octets
        if end > self.place:
            self.take(begin, end)
        else:
            self.old(begin, end)
        return self.answer(begin, end)

    def old(self, begin: int, end: int) -> None:
        """Do nothing about what has come already."""

    def unwrapped(self, first: int) -> int:
        """Return the place of a number that is near what is wanted."""
        return self.place + (first - self.place + HALF) % ALL - HALF

    def take(self, begin: int, end: int) -> None:
        """Take in octets of which some are new."""
        if begin <= self.place:
            self.place = end
            self.fill()
        else:
            self.hold(begin, end)

    def fill(self) -> None:
        """Go on with what was held."""
        self.runs.sort()
        while self.runs and self.runs[0][0] <= self.place:
            self.place = max(self.place, self.runs.pop(0)[1])

    def hold(self, begin: int, end: int) -> None:
        """Keep what lies behind a gap."""
        self.runs.append((begin, end))

    def answer(self, begin: int, end: int) -> int:
        """Return what is acknowledged."""
        return self.place % ALL

    def held(self) -> Any:
        """Return what is held."""
        return [self.shown(begin, end) for begin, end in self.joined()]

    def joined(self) -> list[tuple[int, int]]:
        """Return runs in order, those that touch as one."""
        whole: list[tuple[int, int]] = []
        for begin, end in sorted(self.runs):
            if whole and begin <= whole[-1][1]:
                whole[-1] = whole[-1][0], max(end, whole[-1][1])
            else:
                whole.append((begin, end))
        return whole

    def shown(self, begin: int, end: int) -> Any:
        """Return one run as a tuple."""
        return begin % ALL, end % ALL
