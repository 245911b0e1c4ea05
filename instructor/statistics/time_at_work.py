"""How often people tried an exercise, and how long they worked: from progress that was handed over.

No hand-in tells it. The files hold what students' own marks have noted (`course_lib.exercises.
progress`), and whoever wants to hands theirs over: so it is said of how many a figure is. Few work
very long, so the middle one of the class is told, and between which two half of it lies.
"""

__all__ = ["Middle", "TimeAtWork", "time_at_work"]

import functools
import tomllib
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from course_lib.exercises.progress import Progress
from course_lib.exercises.registry import Exercise, all_exercises
from instructor.release.workbook_files import ROOT
from instructor.reporting.class_report import SMALLEST_GROUP


class Middle(NamedTuple):
    """The median of so many people; half of them lie from `low` to `high`."""

    middle: float
    low: float
    high: float
    people: int


class TimeAtWork(NamedTuple):
    """One exercise: `told_min` is what its workbook says, None if it says nothing.

    What is None has no figure: fewer than five people gave one.
    """

    exercise: Exercise
    told_min: int | None
    attempts: Middle | None
    minutes: Middle | None


def time_at_work(everybody: Sequence[Progress]) -> tuple[TimeAtWork, ...]:
    """Return the exercises of which there is a figure, in the order of the course."""
    found = (_of(item, everybody) for item in all_exercises())
    return tuple(one for one in found if one.attempts)


def _of(item: Exercise, everybody: Sequence[Progress]) -> TimeAtWork:
    entries = [one[item.id] for one in everybody if item.id in one]
    tried = [one for one in entries if one.attempts > 0]
    return TimeAtWork(
        item,
        _told(item.unit).get(item.id),
        _middle([one.attempts for one in tried]),
        _middle([one.minutes for one in tried if one.minutes > 0]),
    )


def _middle(values: Sequence[float]) -> Middle | None:
    if len(values) < SMALLEST_GROUP:
        return None
    low, middle, high = np.percentile(values, (25, 50, 75))
    return Middle(float(middle), float(low), float(high), len(values))


@functools.cache
def _told(unit: str) -> Mapping[str, int]:
    """Return the minutes of each exercise as the unit plans them."""
    path = ROOT / "workbooks" / unit / "unit.toml"
    facts = tomllib.loads(path.read_text(encoding="utf-8"))
    return {part["exercise"]: part["minutes"] for part in facts.get("parts", ())}
