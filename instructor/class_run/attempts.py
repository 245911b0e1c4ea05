"""Which attempt counts: of several files for one unit, the last or the best.

With `last` only the newest file is marked. With `best` all are, and the one with the
most certain points counts, as a whole; among equals the newest. Points are compared
before any penalty for being late.
"""

__all__ = ["Attempt", "BestAttempts"]

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedHandIn
from instructor.grading.record.identity import Identity
from instructor.grading.similarity.library_copies import LibraryCopy


class Attempt(NamedTuple):
    """One hand-in, what it earned, what that rests on, and what its code says."""

    hand_in: HandIn
    marked: MarkedHandIn
    rests_on: Mapping[str, Identity]
    copies: tuple[LibraryCopy, ...]  # what it has of the library
    own: Mapping[int, str]  # fingerprints of what the student wrote
    named: Mapping[str, tuple[str, ...]]  # what no exercise asks for, by the exercise's id


class BestAttempts:
    """Gather marked attempts until all of one student at one unit are there; give the best."""

    def __init__(self, hand_ins: Sequence[HandIn]) -> None:
        self._order = {str(one.path): place for place, one in enumerate(hand_ins)}
        self._missing = Counter((one.unit, one.student) for one in hand_ins)
        self._there: dict[tuple[str, str], list[Attempt]] = {}

    def add(self, attempt: Attempt) -> Attempt | None:
        """Take one in; return the one that counts as soon as it is certain which that is."""
        key = (attempt.hand_in.unit, attempt.hand_in.student)
        self._there.setdefault(key, []).append(attempt)
        self._missing[key] -= 1
        return self._best(self._there.pop(key)) if self._missing[key] == 0 else None

    def left(self) -> Iterator[Attempt]:
        """Yield the best of those of whom some attempt could not be marked, and never came."""
        for key in sorted(self._there):
            yield self._best(self._there[key])

    def _best(self, attempts: list[Attempt]) -> Attempt:
        return max(
            attempts, key=lambda one: (one.marked.points, self._order[str(one.hand_in.path)])
        )
