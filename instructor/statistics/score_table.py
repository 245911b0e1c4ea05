"""What a class earned as a table of numbers: a row for each student, a column for each exercise.

An exercise without an answer, in a workbook that was handed in, earned nothing. What nobody has
decided, and what was not handed in, is not a number: it is left out, never a zero.
"""

__all__ = ["ScoreTable", "score_table"]

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from course_lib.exercises.registry import Exercise
from instructor.grading.marked import BatchResult

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ScoreTable:
    """Points of `students` (rows) in `exercises` (columns); NaN where there are none yet."""

    students: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    points: Points

    @property
    def units(self) -> tuple[str, ...]:
        """Return the units in the order of the course."""
        return tuple(dict.fromkeys(one.unit for one in self.exercises))

    def of_unit(self, unit: str) -> "ScoreTable":
        """Return the columns of one unit; students without anything in it are left out."""
        columns = [place for place, one in enumerate(self.exercises) if one.unit == unit]
        chosen = self.points[:, columns]
        return self._rows(
            np.asarray(~np.isnan(chosen).all(axis=1)),
            replace(self, exercises=tuple(self.exercises[place] for place in columns),
                    points=chosen),
        )  # fmt: skip

    def whole(self) -> "ScoreTable":
        """Return the students alone of whom every exercise is decided."""
        return self._rows(np.asarray(~np.isnan(self.points).any(axis=1)), self)

    def _rows(self, chosen: NDArray[np.bool_], table: "ScoreTable") -> "ScoreTable":
        students = tuple(one for one, is_in in zip(table.students, chosen, strict=True) if is_in)
        return replace(table, students=students, points=table.points[chosen])


def score_table(result: BatchResult) -> ScoreTable:
    """Collect the points of a graded class; exercises without points are left out."""
    given = {
        (hand_in.student, answer.verdict.exercise): answer.verdict.points
        for hand_in in result.marked
        for answer in hand_in.answers
        if answer.verdict.exercise.points
    }
    students = tuple(sorted({student for student, _ in given}))
    exercises = tuple(sorted({item for _, item in given}, key=_in_the_course))
    points = np.full((len(students), len(exercises)), math.nan)
    rows = {one: place for place, one in enumerate(students)}
    columns = {one: place for place, one in enumerate(exercises)}
    for (student, item), earned in given.items():
        if earned is not None:
            points[rows[student], columns[item]] = earned
    return ScoreTable(students, exercises, points)


def _in_the_course(item: Exercise) -> tuple[str, tuple[int, ...]]:
    return item.unit, tuple(int(part) for part in item.id.split(".") if part.isdecimal())
