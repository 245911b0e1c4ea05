"""Answers to 5.6 that break one clause of the contract and keep all others."""

__all__: list[str] = []

import weakref
from typing import Any

from instructor.units.unit_05.misconceptions.reports import RightReporter


class TurnedRound(RightReporter):
    """Say whether to keep silent."""

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
        """Turn the result round."""
        return not super().may_report(now_s, packet, to_all)


class DestinationsNotListed(RightReporter):
    """Look for sources alone in the list of broadcasts."""

    def is_bad_destination(self, address: bytes) -> bool:
        """Know the addresses that are the same everywhere."""
        return 224 <= address[0] <= 239 or address == b"\xff" * 4


class SourcesNotListed(RightReporter):
    """Look for destinations alone in the list of broadcasts."""

    def is_bad_source(self, address: bytes) -> bool:
        """Know the addresses that are the same everywhere."""
        return address[0] in (0, 127) or address[0] >= 224


class FirstListed(RightReporter):
    """Look at the first broadcast of the list alone."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        super().__init__(broadcasts[:1], most)


class OneMoreOfMany(RightReporter):
    """Allow one report more, where three or more are allowed."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        super().__init__(broadcasts, most + (most >= 3))


LATEST: list[weakref.ref[Any]] = []


class OnlyOne(RightReporter):
    """Count together as long as somebody holds an object."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        super().__init__(broadcasts, most)
        other = LATEST[-1]() if LATEST else None
        if other is not None:
            self.told_s = other.told_s
        LATEST[:] = [weakref.ref(self)]
