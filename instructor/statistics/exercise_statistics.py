"""The statistics of a class: of every exercise, of every unit, and of the course.

What is said of an exercise rests on its interval, not on the one number: where the interval leaves
both open, that it tells students apart and that it does not, the class is too small to say.
"""

__all__ = [
    "ClassStatistics",
    "ExerciseStatistics",
    "Judgement",
    "UnitStatistics",
    "class_statistics",
]

import enum
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from course_lib.exercises.registry import Exercise
from instructor.grading.marked import BatchResult
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.intervals import Estimate, wilson
from instructor.statistics.discrimination import (
    POOR_BELOW,
    Correlation,
    item_rest,
    upper_minus_lower,
)
from instructor.statistics.reliability import Reliability, reliability
from instructor.statistics.score_table import Points, ScoreTable, score_table
from instructor.statistics.unit_hand_ins import NOTHING_KNOWN, UnitHandIns

DOUBTFUL, FEWEST_DOUBTFUL = 0.1, 3  # share and number of answers that machines could not decide


class Judgement(enum.Enum):
    """What the figures of an exercise say about it; the text is what people read."""

    LOOKS_BROKEN = "looks broken"
    TELLS_NOTHING = "does not tell apart"
    NOBODY = "nobody earned a point"
    DOUBTFUL = "often undecided"
    TOO_FEW = "too few to say"
    EVERYBODY = "everybody has all points"
    TELLS_APART = "tells apart"

    @property
    def needs_a_look(self) -> bool:
        """Tell whether a person should read the exercise again."""
        return self in LOOK


LOOK = frozenset(
    {Judgement.LOOKS_BROKEN, Judgement.TELLS_NOTHING, Judgement.NOBODY, Judgement.DOUBTFUL}
)


@dataclass(frozen=True, slots=True)
class ExerciseStatistics:
    """One exercise: `difficulty` is the mean share of its points that `students` earned.

    `in_unit` and `in_course` correlate it with all other exercises of the unit and of the course;
    `upper_lower` compares the best and the weakest of the unit. `undecided` answers wait for a
    person. What is None has no figure.
    """

    exercise: Exercise
    students: int
    difficulty: Estimate | None
    in_unit: Correlation | None
    in_course: Correlation | None
    upper_lower: float | None
    undecided: int
    judgement: Judgement

    @property
    def widest(self) -> Correlation | None:
        """Return the correlation with the most exercises on the other side."""
        return self.in_course or self.in_unit


@dataclass(frozen=True, slots=True)
class UnitStatistics:
    """One unit, or with the name '' the course: who has all of it is in `reliability`."""

    unit: str
    students: int
    exercises: int
    of: float
    mean: float | None
    reliability: Reliability | None
    hand_ins: UnitHandIns = NOTHING_KNOWN


@dataclass(frozen=True, slots=True)
class ClassStatistics:
    """All of it; units in the order of the course, which is the last of `units`."""

    students: int
    exercises: tuple[ExerciseStatistics, ...]
    units: tuple[UnitStatistics, ...]

    @property
    def course(self) -> UnitStatistics | None:
        """Return the course as a whole; None where nothing was handed in."""
        return self.units[-1] if self.units else None


def class_statistics(result: BatchResult, hand_ins: Sequence[UnitHandIns] = ()) -> ClassStatistics:
    """Work out the statistics of a graded class; `hand_ins` tell how its units came in."""
    table = score_table(result)
    about = {one.unit: one for one in hand_ins}
    units = [table.of_unit(unit) for unit in table.units]
    exercises = [one for unit in units for one in _exercises(unit, table)]
    rows = [_unit(unit.exercises[0].unit, unit, about) for unit in units]
    if len(units) == 1:  # then the unit is the course
        rows = [_unit("", units[0], about)]
    elif units:
        rows.append(_unit("", table, about))
    return ClassStatistics(len(table.students), tuple(exercises), tuple(rows))


def _exercises(unit: ScoreTable, course: ScoreTable) -> list[ExerciseStatistics]:
    whole = unit.whole()
    several = len(course.units) > 1
    found = []
    for column, item in enumerate(unit.exercises):
        own = unit.points[:, column]
        in_unit = item_rest(unit.points, column)
        place = course.exercises.index(item)
        in_course = item_rest(course.points, place) if several else None
        undecided = int(np.count_nonzero(np.isnan(own)))
        decided = own[~np.isnan(own)]
        found.append(
            ExerciseStatistics(
                exercise=item,
                students=len(decided),
                difficulty=_difficulty(decided, item.points),
                in_unit=in_unit,
                in_course=in_course,
                upper_lower=upper_minus_lower(whole.points, column, item.points),
                undecided=undecided,
                judgement=_judged(decided, item.points, undecided, in_course or in_unit),
            )
        )
    return found


def _difficulty(decided: Points, of: float) -> Estimate | None:
    if len(decided) < SMALLEST_GROUP:
        return None
    return wilson(min(float(decided.sum()) / of, len(decided)), len(decided))


def _judged(decided: Points, of: float, undecided: int, found: Correlation | None) -> Judgement:
    if undecided >= FEWEST_DOUBTFUL and undecided >= DOUBTFUL * (undecided + len(decided)):
        return Judgement.DOUBTFUL
    if len(decided) < SMALLEST_GROUP:
        return Judgement.TOO_FEW
    if decided.min() >= of:
        return Judgement.EVERYBODY
    if decided.max() <= 0:
        return Judgement.NOBODY
    if found is None:
        return Judgement.TOO_FEW
    if found.high < 0:
        return Judgement.LOOKS_BROKEN
    if found.high < POOR_BELOW:
        return Judgement.TELLS_NOTHING
    return Judgement.TELLS_APART if found.low >= POOR_BELOW else Judgement.TOO_FEW


def _unit(name: str, table: ScoreTable, about: dict[str, UnitHandIns]) -> UnitStatistics:
    whole = table.whole()
    large = len(whole.students) >= SMALLEST_GROUP
    unit = table.exercises[0].unit
    return UnitStatistics(
        unit=name,
        students=len(whole.students),
        exercises=len(table.exercises),
        of=math.fsum(one.points for one in table.exercises),
        mean=float(whole.points.sum(axis=1).mean()) if large else None,
        reliability=reliability(whole.points),
        hand_ins=about.get(name or unit, NOTHING_KNOWN) if name else NOTHING_KNOWN,
    )
