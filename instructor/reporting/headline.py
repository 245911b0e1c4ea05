"""The verdict on a class in one sentence: what it has, where least, and what to take up first."""

__all__ = ["WEAKEST", "Headline", "headline"]

from collections.abc import Sequence
from dataclasses import dataclass

from instructor.output.pages import percent
from instructor.reporting import words
from instructor.reporting.class_report import ClassReport, ExerciseFigures
from instructor.reporting.shared_ideas import Idea

WEAKEST = 2  # exercises that the sentence names


@dataclass(frozen=True, slots=True)
class Headline:
    """What the sentence rests on; every part may be missing in a small or a perfect class."""

    share: float | None
    weakest: tuple[ExerciseFigures, ...]
    first: Idea | None

    @property
    def sentence(self) -> str:
        """Return the verdict, with code between backticks."""
        if self.share is None:
            return words.NO_FIGURE
        parts = [f"Of the points that machines give, this class has {percent(self.share)}"]
        if self.weakest:
            listed = [f"{one.exercise.id} ({percent(_share(one))})" for one in self.weakest]
            parts.append(f"weakest {'is' if len(listed) == 1 else 'are'} {words.listed(listed)}")
        if self.first is not None:
            extent = f"{len(self.first.who)} of the {self.first.tried} who tried"
            parts.append(f"take up first: {words.idea_in_words(self.first)} ({extent})")
        return "; ".join(parts) + "."


def headline(report: ClassReport, ranked: Sequence[Idea]) -> Headline:
    """Choose what the sentence says; an exercise with all its points is not weak."""
    known = [one for one in report.exercises if one.points is not None]
    weakest = sorted((one for one in known if _share(one) < 1), key=_share)[:WEAKEST]
    shown = [one for one in ranked if one.share is not None]
    return Headline(report.share, tuple(weakest), shown[0] if shown else None)


def _share(one: ExerciseFigures) -> float:
    return 0.0 if one.points is None else one.points.share
