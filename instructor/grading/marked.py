"""What became of an answer, of a hand-in, and of everything that a class handed in."""

__all__ = ["BatchResult", "MarkedAnswer", "MarkedHandIn", "TextAnswer"]

from dataclasses import dataclass

from course_lib.exercises.verdict import Verdict
from instructor.grading.intake.hand_ins import NotGraded


@dataclass(frozen=True, slots=True)
class MarkedAnswer:
    """The verdict on one answer, its source, and what a grader should know about it."""

    verdict: Verdict
    source: str
    notes: tuple[str, ...] = ()

    @property
    def needs_person(self) -> bool:
        """Tell whether a person must decide."""
        return self.verdict.points is None


@dataclass(frozen=True, slots=True)
class TextAnswer:
    """An answer in words, which a person marks: the name of its cell and the points there are."""

    name: str
    points: float


@dataclass(frozen=True, slots=True)
class MarkedHandIn:
    """All verdicts on one hand-in, what was unusual about it, and the texts a person marks."""

    student: str
    unit: str
    answers: tuple[MarkedAnswer, ...]
    notes: tuple[str, ...] = ()
    texts: tuple[TextAnswer, ...] = ()

    @property
    def points(self) -> float:
        """Return the points that are certain; answers for a person count when decided."""
        return sum(answer.verdict.points or 0.0 for answer in self.answers)

    @property
    def of(self) -> float:
        """Return the points there are."""
        return sum(answer.verdict.exercise.points for answer in self.answers)


@dataclass(frozen=True, slots=True)
class BatchResult:
    """Everything that became of a class's hand-ins, in a fixed order."""

    marked: tuple[MarkedHandIn, ...]
    not_graded: tuple[NotGraded, ...]
