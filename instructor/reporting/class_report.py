"""From the verdicts on a class to the figures of its report; every page is made from these.

Rules:

* A figure is given for groups of at least five. Of a smaller group, a figure would
  speak of persons (common practice, no published source).
* Below about thirty, figures are given with a warning: the intervals are wide.
* An answer for which nobody could tell has no points yet, so it is in no mean.
* A misconception is counted among those who tried: whose answer was there to be run.
* Students come in the order of their ids, never of their points.
"""

__all__ = [
    "ClassReport",
    "ExerciseFigures",
    "ForPerson",
    "MisconceptionFigures",
    "OutcomeCount",
    "StudentTotal",
    "class_report",
]

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from course_lib.exercises.registry import Exercise
from course_lib.exercises.verdict import Outcome, Verdict
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.reporting.intervals import Estimate, wilson

SMALLEST_GROUP = 5
SMALL_CLASS = 30
NOT_TRIED = frozenset({Outcome.NO_ANSWER, Outcome.DAMAGED, Outcome.COULD_NOT_TELL})

Verdicts = Mapping[Exercise, Sequence[Verdict]]


class OutcomeCount(NamedTuple):
    """How many hand-ins had one outcome, and their share of all."""

    outcome: Outcome
    hand_ins: int
    share: float


@dataclass(frozen=True, slots=True)
class ExerciseFigures:
    """What became of one exercise.

    `tried` is how many answers were there to be judged. `outcomes` is empty, and
    `points`, the mean share of points, is None where the group is too small.
    """

    exercise: Exercise
    hand_ins: int
    tried: int
    outcomes: tuple[OutcomeCount, ...]
    points: Estimate | None


@dataclass(frozen=True, slots=True)
class MisconceptionFigures:
    """How many of those who tried an exercise showed one misconception; None if too few tried."""

    exercise: Exercise
    name: str
    tried: int
    students: int | None
    share: Estimate | None


@dataclass(frozen=True, slots=True)
class StudentTotal:
    """One student's points so far, and how many answers and files wait for a person."""

    student: str
    units: tuple[str, ...]
    points: float
    of: float
    undecided: int
    not_graded: int


@dataclass(frozen=True, slots=True)
class ForPerson:
    """One answer that a person must decide, and why."""

    student: str
    exercise: Exercise
    why: str


@dataclass(frozen=True, slots=True)
class ClassReport:
    """Everything that is reported of a class; misconceptions come in order of their weight.

    Of `not_right` answers that were tried and not right in full, `named` showed a
    misconception that has a name.
    """

    hand_ins: tuple[tuple[str, int], ...]
    exercises: tuple[ExerciseFigures, ...]
    misconceptions: tuple[MisconceptionFigures, ...]
    not_right: int
    named: int
    students: tuple[StudentTotal, ...]
    for_person: tuple[ForPerson, ...]
    not_graded: tuple[NotGraded, ...]
    warnings: tuple[str, ...]


def class_report(result: BatchResult) -> ClassReport:
    """Work out all figures of a graded class."""
    verdicts = _by_exercise(result.marked)
    not_right = [
        one for every in verdicts.values() for one in _tried(every) if one.outcome != Outcome.RIGHT
    ]
    units = sorted(Counter(one.unit for one in result.marked).items())
    return ClassReport(
        hand_ins=tuple(units),
        exercises=tuple(_exercise(item, of_all) for item, of_all in verdicts.items()),
        misconceptions=tuple(sorted(_misconceptions(verdicts), key=_weight)),
        not_right=len(not_right),
        named=sum(bool(one.misconception) for one in not_right),
        students=tuple(_students(result)),
        for_person=tuple(_for_person(result.marked)),
        not_graded=result.not_graded,
        warnings=tuple(_warnings(units)),
    )


def _by_exercise(hand_ins: Sequence[MarkedHandIn]) -> Verdicts:
    """Collect the verdicts on each exercise; units in order, exercises as in their workbook."""
    verdicts: dict[Exercise, list[Verdict]] = {}
    for hand_in in sorted(hand_ins, key=lambda one: one.unit):
        for answer in hand_in.answers:
            verdicts.setdefault(answer.verdict.exercise, []).append(answer.verdict)
    return verdicts


def _exercise(item: Exercise, verdicts: Sequence[Verdict]) -> ExerciseFigures:
    counts = Counter(one.outcome for one in verdicts)
    large = len(verdicts) >= SMALLEST_GROUP
    return ExerciseFigures(
        exercise=item,
        hand_ins=len(verdicts),
        tried=len(_tried(verdicts)),
        outcomes=tuple(
            OutcomeCount(outcome, counts[outcome], counts[outcome] / len(verdicts))
            for outcome in Outcome
        )
        if large
        else (),
        points=_mean_points(item, verdicts),
    )


def _mean_points(item: Exercise, verdicts: Sequence[Verdict]) -> Estimate | None:
    points = [one.points for one in verdicts if one.points is not None]
    if len(points) < SMALLEST_GROUP or not item.points:
        return None
    return wilson(min(sum(points) / item.points, len(points)), len(points))


def _misconceptions(verdicts: Verdicts) -> Iterator[MisconceptionFigures]:
    for item, of_all in verdicts.items():
        tried = _tried(of_all)
        large = len(tried) >= SMALLEST_GROUP
        named = Counter(one.misconception for one in tried if one.misconception)
        for name, students in sorted(named.items()):
            yield MisconceptionFigures(
                exercise=item,
                name=name,
                tried=len(tried),
                students=students if large else None,
                share=wilson(students, len(tried)) if large else None,
            )


def _weight(one: MisconceptionFigures) -> tuple[int, float]:
    """Sort by how many students, then by their share, then as in the course."""
    return (-(one.students or 0), -(one.share.share if one.share else 0.0))


def _tried(verdicts: Sequence[Verdict]) -> list[Verdict]:
    return [one for one in verdicts if one.outcome not in NOT_TRIED]


def _students(result: BatchResult) -> Iterator[StudentTotal]:
    """Yield a line for everybody known, also for those of whom no file could be graded."""
    marked = {one.student for one in result.marked}
    known = marked | {one.student for one in result.not_graded} - {""}
    for student in sorted(known):
        own = [one for one in result.marked if one.student == student]
        yield StudentTotal(
            student=student,
            units=tuple(sorted(one.unit for one in own)),
            points=sum(one.points for one in own),
            of=sum(one.of for one in own),
            undecided=sum(answer.needs_person for one in own for answer in one.answers),
            not_graded=sum(one.student == student for one in result.not_graded),
        )


def _for_person(hand_ins: Sequence[MarkedHandIn]) -> Iterator[ForPerson]:
    for hand_in in hand_ins:
        for answer in hand_in.answers:
            if answer.needs_person:
                yield ForPerson(hand_in.student, answer.verdict.exercise, _why(answer))


def _why(answer: MarkedAnswer) -> str:
    notes = dict.fromkeys([answer.verdict.note, *answer.notes])
    return "; ".join(note for note in notes if note) or "no reason was given"


def _warnings(units: Sequence[tuple[str, int]]) -> Iterator[str]:
    """Yield at most one line for units without figures, and one for units with rough ones."""
    none = [f"{unit} ({size})" for unit, size in units if size < SMALLEST_GROUP]
    rough = [f"{unit} ({size})" for unit, size in units if SMALLEST_GROUP <= size < SMALL_CLASS]
    if none:
        yield f"No figures where fewer than {SMALLEST_GROUP} were marked: {', '.join(none)}."
    if rough:
        yield (
            f"Where fewer than about {SMALL_CLASS} were marked, intervals are wide, and a "
            f"difference between two exercises may well be chance: {', '.join(rough)}."
        )
