"""What a class said in the exit survey: counts, a score, words; nothing of fewer than five.

The score of the statements about the workbooks as a tool follows J. Brooke (in: Usability
Evaluation in Industry, 1996): of the ten, those for count as level less 1, those against as 5 less
level; the sum times 2.5 lies between 0 and 100.
"""

__all__ = ["StatementResult", "SurveyResults", "survey_results", "usability_score"]

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from course_lib.experiments.intervals import Band, confidence_band
from instructor.questions.collected_sheets import SurveyAnswer
from instructor.questions.survey_bank import (
    USABILITY,
    FreeQuestion,
    Statement,
    survey,
)
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.intervals import Estimate, wilson

AGREES_FROM = 4
MOST = 100.0


@dataclass(frozen=True, slots=True)
class StatementResult:
    """One statement: how many chose each level, from 1 on; `agree` is the share of 4 and 5.

    For fewer than five, `counts` is empty and nothing else is known.
    """

    statement: Statement
    counts: tuple[int, ...] = ()
    middle: float | None = None
    agree: Estimate | None = None


@dataclass(frozen=True, slots=True)
class SurveyResults:
    """All of it; `usability` is the mean score with its interval, `words` what was written."""

    people: int
    statements: tuple[StatementResult, ...]
    usability: Band | None
    scores: tuple[float, ...]
    words: tuple[tuple[FreeQuestion, tuple[str, ...]], ...]


def survey_results(answers: Sequence[SurveyAnswer]) -> SurveyResults:
    """Add up what people said; a question that fewer than five answered is left out as a whole."""
    asked = survey()
    scored = [usability_score(levels) for one in answers if (levels := _tool_levels(one))]
    large = len(scored) >= SMALLEST_GROUP
    words = (
        (free, tuple(sorted(one.words[free.id] for one in answers if free.id in one.words)))
        for free in asked.free
    )
    return SurveyResults(
        people=len(answers),
        statements=tuple(_statement(one, answers) for one in asked.statements),
        usability=_within(confidence_band(0.0, scored)) if large else None,
        scores=tuple(sorted(scored)) if large else (),
        words=tuple((free, texts if len(texts) >= SMALLEST_GROUP else ()) for free, texts in words),
    )


def usability_score(levels: Sequence[int]) -> float:
    """Score ten levels from 1 to 5, statements for and against in turns.

    >>> usability_score([5, 2, 4, 1, 5, 2, 5, 1, 4, 2])
    87.5
    """
    if len(levels) != 10 or not all(1 <= one <= 5 for one in levels):
        raise ValueError(f"ten levels from 1 to 5 are scored, not {list(levels)}")
    return 2.5 * (sum(one - 1 for one in levels[::2]) + sum(5 - one for one in levels[1::2]))


def _tool_levels(answer: SurveyAnswer) -> list[int]:
    """Return the ten levels of somebody who gave them all, else none."""
    names = [one.id for one in survey().statements if one.part == USABILITY]
    levels = [answer.levels[name] for name in names if name in answer.levels]
    return levels if len(levels) == len(names) else []


def _statement(one: Statement, answers: Sequence[SurveyAnswer]) -> StatementResult:
    levels = [answer.levels[one.id] for answer in answers if one.id in answer.levels]
    if len(levels) < SMALLEST_GROUP:
        return StatementResult(one)
    counts = Counter(levels)
    agree = wilson(sum(level >= AGREES_FROM for level in levels), len(levels))
    steps = range(1, len(survey().scale) + 1)
    return StatementResult(one, tuple(counts[step] for step in steps), median(levels), agree)


def _within(band: Band) -> Band:
    """Cut an interval where the scale ends."""
    return band._replace(low=max(0.0, band.low), high=min(MOST, band.high))
