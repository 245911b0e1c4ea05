"""What changed in a class since the grading before: who is new, whose points moved, and why."""

__all__ = ["FIRST_RUN", "Moved", "SinceLastRun", "since_last_run"]

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from course_lib.exercises.registry import all_exercises
from instructor.grading.record.record import HistoryLine, PointsChange

KINDS = ("rose", "fell", "decided", "open again")


class Moved(NamedTuple):
    """An exercise, and how many students' points are other now, by what became of them."""

    exercise: str
    counts: tuple[tuple[str, int], ...]

    @property
    def words(self) -> list[str]:
        """Return the counts for people: "2 rose"."""
        return [f"{amount} {kind}" for kind, amount in self.counts]


class SinceLastRun(NamedTuple):
    """`before` is the share of points that the class had then; None if it had none.

    `new` counts hand-ins that were graded for the first time, by unit; `why` counts answers.
    """

    is_first: bool
    before: float | None = None
    new: tuple[tuple[str, int], ...] = ()
    moved: tuple[Moved, ...] = ()
    why: tuple[tuple[str, int], ...] = ()


FIRST_RUN = SinceLastRun(is_first=True)


def since_last_run(
    history: Sequence[HistoryLine], changes: Sequence[PointsChange], this_round: int
) -> SinceLastRun:
    """Compare a round with all before it; `changes` are whose points are other than before.

    A round in which nothing was graded leaves the report as it was.
    """
    if not changes and len({one.round for one in history}) < 2:
        return FIRST_RUN
    earlier = {(one.student, one.exercise): one for one in history if one.round < this_round}
    known = {(one.student, one.unit) for one in earlier.values()}
    new = {(one.student, one.unit) for one in history if one.round == this_round} - known
    return SinceLastRun(
        is_first=False,
        before=_share(list(earlier.values())),
        new=tuple(sorted(Counter(unit for _, unit in new).items())),
        moved=_moved(changes),
        why=tuple(Counter(one.why for one in changes).most_common()),
    )


def _share(lines: Sequence[HistoryLine]) -> float | None:
    worth = {one.id: one.points for one in all_exercises()}  # an exercise may be gone since
    decided = [one for one in lines if one.points is not None and one.exercise in worth]
    of = sum(worth[one.exercise] for one in decided)
    return sum(one.points or 0.0 for one in decided) / of if of else None


def _moved(changes: Sequence[PointsChange]) -> tuple[Moved, ...]:
    kinds: dict[str, Counter[str]] = {}
    for one in changes:
        kinds.setdefault(one.exercise, Counter())[_kind(one)] += 1
    found = [
        Moved(name, tuple((kind, counts[kind]) for kind in KINDS if counts[kind]))
        for name, counts in kinds.items()
    ]
    return tuple(sorted(found, key=lambda one: -sum(amount for _, amount in one.counts)))


def _kind(change: PointsChange) -> str:
    if change.old_points is None:
        return "decided"
    if change.new_points is None:
        return "open again"
    return "rose" if change.new_points > change.old_points else "fell"
