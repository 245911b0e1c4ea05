"""Answers that break one clause of the contract of 11.2, and keep all others.

Some look contrived: they fall only where no other clause can. Whether something was held tells
the rows of one aspect from those of another.
"""

__all__ = [
    "AcknowledgesTheLastOctet",
    "CountsTwice",
    "ForgetsTheFar",
    "IgnoresParts",
    "LeavesGapsOpen",
    "LeavesOffTheLast",
    "ListsLastOctets",
    "ListsLengths",
    "ListsLists",
    "WithoutAnEnd",
]

from typing import Any

from instructor.units.unit_11.misconceptions.right_receiver import ALL, RightReceiver

FAR = 100_000


class Broken(RightReceiver):
    """A receiver that knows whether it ever held something."""

    has_held = False

    def hold(self, begin: int, end: int) -> None:
        """Keep what lies behind a gap."""
        self.has_held = True
        super().hold(begin, end)


class AcknowledgesTheLastOctet(Broken):
    """Acknowledge a segment of one octet by its number."""

    def answer(self, begin: int, end: int) -> int:
        """Return what is acknowledged."""
        is_single = end == begin + 1 and not self.has_held
        return (self.place - is_single) % ALL


class LeavesOffTheLast(Broken):
    """Acknowledge the last octet that came in order."""

    def answer(self, begin: int, end: int) -> int:
        """Return what is acknowledged."""
        return (self.place - (not self.has_held)) % ALL


class LeavesGapsOpen(RightReceiver):
    """Go on with nothing that was held, unless somebody has asked what is."""

    has_been_asked = False

    def fill(self) -> None:
        """Go on with what was held."""
        if self.has_been_asked:
            super().fill()

    def held(self) -> Any:
        """Return what is held."""
        self.has_been_asked = True
        return super().held()


class CountsTwice(Broken):
    """Count octets that come again, alone."""

    def old(self, begin: int, end: int) -> None:
        """Count what has come already."""
        self.place += 0 if self.has_held else end - begin


class IgnoresParts(Broken):
    """Ignore a segment of which a part has come."""

    def take(self, begin: int, end: int) -> None:
        """Take in octets of which some are new."""
        if self.has_held or begin >= self.place:
            super().take(begin, end)


class WithoutAnEnd(Broken):
    """Go on beyond 2**32 - 1."""

    def answer(self, begin: int, end: int) -> int:
        """Return what is acknowledged."""
        return super().answer(begin, end) if self.has_held else self.place


class ForgetsTheFar(RightReceiver):
    """Hold nothing that is far away."""

    def hold(self, begin: int, end: int) -> None:
        """Keep what lies behind a gap."""
        if begin < self.place + FAR:
            super().hold(begin, end)


class ListsLengths(RightReceiver):
    """Tell how many octets, of one segment with an odd number of them."""

    def shown(self, begin: int, end: int) -> Any:
        """Return one run as a tuple."""
        is_here = len(self.runs) == 1 and (end - begin) % 2 == 1
        return (begin % ALL, end - begin) if is_here else super().shown(begin, end)


class ListsLastOctets(RightReceiver):
    """End with the last octet, for one segment with an even number of them."""

    def shown(self, begin: int, end: int) -> Any:
        """Return one run as a tuple."""
        is_here = len(self.runs) == 1 and (end - begin) % 2 == 0
        return super().shown(begin, end - is_here)


class ListsLists(RightReceiver):
    """Return lists in a list."""

    def shown(self, begin: int, end: int) -> Any:
        """Return one run as a list."""
        return list(super().shown(begin, end))
