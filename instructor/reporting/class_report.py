"""From the verdicts on a class to the figures of its report; every page is made from these.

Rules:

* A figure is given for groups of at least five. Of a smaller group, a figure would
  speak of persons (common practice, no published source).
* Below about thirty, figures are given with a warning: the intervals are wide.
* An answer for which nobody could tell has no points yet, so it is in no mean.
* A misconception is counted among those who tried: whose answer was there to be run.
* Students come in the order of their ids; only the grid puts those first who need help most.
"""

__all__ = [
    "SMALLEST_GROUP",
    "ClassReport",
    "ExerciseFigures",
    "MisconceptionFigures",
    "OutcomeCount",
    "StudentTotal",
    "class_report",
]

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from course_lib.exercises.registry import Exercise
from course_lib.exercises.verdict import Outcome, Verdict
from instructor.grading.gradebook.standing import hand_in_standing, together
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.reporting.intervals import Estimate, wilson
from instructor.reporting.telling_line import common_shapes, line_shapes, telling_line

SMALLEST_GROUP = 5
SMALL_CLASS = 30
NOT_TRIED = frozenset({Outcome.NO_ANSWER, Outcome.DAMAGED, Outcome.COULD_NOT_TELL})


class OutcomeCount(NamedTuple):
    """How many hand-ins had one outcome, and their share of all."""

    outcome: Outcome
    hand_ins: int
    share: float


@dataclass(frozen=True, slots=True)
class ExerciseFigures:
    """What became of one exercise.

    `tried` are those whose answer was there to be judged. `outcomes` is empty, and
    `points`, the mean share of points, is None where the group is too small.
    """

    exercise: Exercise
    hand_ins: int
    tried: frozenset[str]
    outcomes: tuple[OutcomeCount, ...]
    points: Estimate | None


@dataclass(frozen=True, slots=True)
class MisconceptionFigures:
    """How many of those who tried an exercise showed one misconception; None if too few tried.

    `who` are their ids, and `line` is one line of code that shows it; both are empty, too, where
    there is no figure.
    """

    exercise: Exercise
    name: str
    tried: int
    students: int | None
    share: Estimate | None
    who: tuple[str, ...] = ()
    line: str = ""


@dataclass(frozen=True, slots=True)
class StudentTotal:
    """One student's points so far, and what became of each exercise, by its id.

    `is_final` is False while an answer or a file waits for a person, or a unit is missing.
    """

    student: str
    units: tuple[str, ...]
    points: float
    of: float
    verdicts: Mapping[str, Verdict]
    is_final: bool


@dataclass(frozen=True, slots=True)
class ClassReport:
    """Everything that is reported of a class; misconceptions come in order of their weight.

    `points` of `decided` are the points that machines gave to answers that are decided. Of
    `not_right` answers that were tried and not right in full, `named` showed a misconception
    that has a name. `of` are the points there are for one student in all units.
    """

    hand_ins: tuple[tuple[str, int], ...]
    exercises: tuple[ExerciseFigures, ...]
    misconceptions: tuple[MisconceptionFigures, ...]
    points: float
    decided: float
    not_right: int
    named: int
    students: tuple[StudentTotal, ...]
    of: float
    warnings: tuple[str, ...]

    @property
    def share(self) -> float | None:
        """Return the share of points that the class has; None where there is no figure."""
        large = any(one.points for one in self.exercises)
        return self.points / self.decided if large else None


class _Given(NamedTuple):
    """An answer, and whose it is."""

    student: str
    answer: MarkedAnswer

    @property
    def verdict(self) -> Verdict:
        return self.answer.verdict


_Answers = Mapping[Exercise, Sequence[_Given]]
_InBook = Mapping[tuple[str, str], Total]


def class_report(result: BatchResult, totals: Iterable[Total] = ()) -> ClassReport:
    """Work out all figures of a graded class; `totals` are what the gradebook says of it.

    What students have is what the gradebook says, points by hand too. Figures of exercises are
    those of machines, and so comparable.
    """
    in_book = {(one.student, one.unit): one for one in totals}
    answers = _by_exercise(result.marked)
    not_right = [
        one.verdict
        for every in answers.values()
        for one in _tried(every)
        if one.verdict.outcome != Outcome.RIGHT
    ]
    decided = [
        one.verdict for every in answers.values() for one in every if one.verdict.points is not None
    ]
    units = sorted(Counter(one.unit for one in result.marked).items())
    return ClassReport(
        hand_ins=tuple(units),
        exercises=tuple(_exercise(item, of_all) for item, of_all in answers.items()),
        misconceptions=tuple(sorted(_misconceptions(answers), key=_weight)),
        points=sum(one.points or 0.0 for one in decided),
        decided=sum(one.exercise.points for one in decided),
        not_right=len(not_right),
        named=sum(bool(one.misconception) for one in not_right),
        students=tuple(_students(result, len(units), in_book)),
        of=sum(item.points for item in answers) + _by_hand(result, in_book),
        warnings=tuple(_warnings(units)),
    )


def _by_exercise(hand_ins: Sequence[MarkedHandIn]) -> _Answers:
    """Collect the answers to each exercise; units in order, exercises as in their workbook."""
    answers: dict[Exercise, list[_Given]] = {}
    for hand_in in sorted(hand_ins, key=lambda one: (one.unit, one.student)):
        for answer in hand_in.answers:
            answers.setdefault(answer.verdict.exercise, []).append(_Given(hand_in.student, answer))
    return answers


def _exercise(item: Exercise, answers: Sequence[_Given]) -> ExerciseFigures:
    counts = Counter(one.verdict.outcome for one in answers)
    large = len(answers) >= SMALLEST_GROUP
    return ExerciseFigures(
        exercise=item,
        hand_ins=len(answers),
        tried=frozenset(one.student for one in _tried(answers)),
        outcomes=tuple(
            OutcomeCount(outcome, counts[outcome], counts[outcome] / len(answers))
            for outcome in Outcome
        )
        if large
        else (),
        points=_mean_points(item, answers),
    )


def _mean_points(item: Exercise, answers: Sequence[_Given]) -> Estimate | None:
    points = [one.verdict.points for one in answers if one.verdict.points is not None]
    if len(points) < SMALLEST_GROUP or not item.points:
        return None
    return wilson(min(sum(points) / item.points, len(points)), len(points))


def _misconceptions(answers: _Answers) -> Iterator[MisconceptionFigures]:
    for item, of_all in answers.items():
        tried = _tried(of_all)
        if len(tried) < SMALLEST_GROUP:
            for name in sorted({one.verdict.misconception for one in tried} - {""}):
                yield MisconceptionFigures(item, name, len(tried), None, None)
            continue
        yield from _named(item, tried)


def _named(item: Exercise, tried: Sequence[_Given]) -> Iterator[MisconceptionFigures]:
    """Yield the misconceptions that a group of sufficient size shows in one exercise."""
    shapes = {one.student: line_shapes(one.answer.source) for one in tried}
    right = common_shapes(
        [shapes[one.student] for one in tried if one.verdict.outcome is Outcome.RIGHT]
    )
    for name in sorted({one.verdict.misconception for one in tried} - {""}):
        who = tuple(one.student for one in tried if one.verdict.misconception == name)
        others = [shapes[one] for one in shapes if one not in who]
        yield MisconceptionFigures(
            item, name, len(tried), len(who), wilson(len(who), len(tried)), who,
            telling_line([shapes[one] for one in who], others, right),
        )  # fmt: skip


def _weight(one: MisconceptionFigures) -> tuple[int, float]:
    """Sort by how many students, then by their share, then as in the course."""
    return (-(one.students or 0), -(one.share.share if one.share else 0.0))


def _tried(answers: Sequence[_Given]) -> list[_Given]:
    return [one for one in answers if one.verdict.outcome not in NOT_TRIED]


def _by_hand(result: BatchResult, in_book: _InBook) -> float:
    """Return the points that persons can give one student in all units, beside the machine's."""
    most: dict[str, float] = {}
    for one in result.marked:
        of = hand_in_standing(one, in_book.get((one.student, one.unit))).of
        most[one.unit] = max(of - one.of, most.get(one.unit, 0.0))
    return sum(most.values())


def _students(result: BatchResult, units: int, in_book: _InBook) -> Iterator[StudentTotal]:
    """Yield a line for everybody known, also for those of whom no file could be graded."""
    by_student: dict[str, list[MarkedHandIn]] = {
        one.student: [] for one in result.not_graded if one.student
    }
    for hand_in in result.marked:
        by_student.setdefault(hand_in.student, []).append(hand_in)
    refused = {one.student for one in result.not_graded}
    for student, own in sorted(by_student.items()):
        answers = [answer for one in own for answer in one.answers]
        standing = together(hand_in_standing(one, in_book.get((student, one.unit))) for one in own)
        yield StudentTotal(
            student=student,
            units=tuple(sorted(one.unit for one in own)),
            points=standing.points or 0.0,
            of=standing.of,
            verdicts={one.verdict.exercise.id: one.verdict for one in answers},
            is_final=len(own) == units and student not in refused and not standing.waits,
        )


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
