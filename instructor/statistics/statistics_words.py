"""The sentences of the statistics: what a figure says to somebody who teaches."""

__all__ = [
    "about_reliability",
    "advice",
    "correlation_in_words",
    "middle_in_words",
    "plain",
    "upper_lower_in_words",
    "verdict_of",
]

import math

from instructor.output.pages import count, percent
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.words import listed
from instructor.statistics.discrimination import Correlation, band
from instructor.statistics.exercise_statistics import (
    ClassStatistics,
    ExerciseStatistics,
    Judgement,
)
from instructor.statistics.reliability import Reliability, lengthened
from instructor.statistics.time_at_work import Middle

ENOUGH = 0.7  # alpha from which on totals are commonly used to rank (common practice, no source)
NOTHING = f"Nothing can be said yet: fewer than {SMALLEST_GROUP} students handed a whole unit in."
NAMED = 4  # exercises in the verdict; more are counted

_ADVICE = {
    Judgement.LOOKS_BROKEN: "Who does well elsewhere does worse here. Read its text beside its "
        "cases: something may be asked that the text does not say, or a right answer be refused.",
    Judgement.TELLS_NOTHING: "Who knows much and who knows little earn the same here. Perhaps it "
        "asks for luck, for patience or for what was said aloud; perhaps for two ideas at once.",
    Judgement.NOBODY: "Nobody earned a point. Before it is called hard, solve it once yourself "
        "from its text alone.",
    Judgement.DOUBTFUL: "Machines could not decide many of its answers. Look at its cell: it may "
        "be easy to copy, split or delete.",
    Judgement.TOO_FEW: "The class is too small to say whether it tells students apart.",
    Judgement.EVERYBODY: "It tells nobody apart, and need not: good for a warm-up.",
    Judgement.TELLS_APART: "Who does well elsewhere does well here.",
}  # fmt: skip


def advice(one: ExerciseStatistics) -> str:
    """Say what the judgement on an exercise asks of whoever wrote it."""
    return _ADVICE[one.judgement]


def correlation_in_words(found: Correlation | None) -> str:
    """Write a correlation with its interval, or that there is none.

    >>> correlation_in_words(Correlation(0.42, 0.07, 0.68, 30))
    '0.42 (0.07 to 0.68)'
    """
    if found is None:
        return "no figure"
    return f"{plain(found.r)} ({plain(found.low)} to {plain(found.high)})"


def about_reliability(found: Reliability | None) -> str:
    """Say what alpha means for the use of totals."""
    if found is None:
        return "No figure: too few students have all of it, or all have as many points."
    text = f"{plain(found.alpha)} ({plain(found.low)} to {plain(found.high)})"
    if found.low >= ENOUGH:
        return f"{text}: totals rank students reliably."
    if found.high < ENOUGH:
        longer = lengthened(found.alpha, 2)
        more = f" Twice as many exercises of the kind would give about {plain(longer)}."
        return f"{text}: too unsure to rank students by.{more if found.alpha > 0 else ''}"
    return f"{text}: the class is too small to say whether totals rank students reliably."


def verdict_of(found: ClassStatistics) -> str:
    """Return the verdict on all exercises in one or two sentences."""
    course = found.course
    if course is None or all(one.difficulty is None for one in found.exercises):
        return NOTHING
    parts = [f"Reliability of the totals: {about_reliability(course.reliability)}"]
    look = [one for one in found.exercises if one.judgement.needs_a_look]
    unsure = sum(one.judgement is Judgement.TOO_FEW for one in found.exercises)
    if look:
        names = [f"{one.exercise.id} ({one.judgement.value})" for one in look[:NAMED]]
        names += [f"{len(look) - NAMED} more"] if len(look) > NAMED else []
        parts.append(f"{'Wants' if len(look) == 1 else 'Want'} a look: {listed(names)}.")
    else:
        parts.append("No exercise looks broken.")
    if unsure:
        share = percent(unsure / len(found.exercises))
        parts.append(
            f"Too few students to say anything about: {count(unsure, 'exercise')} ({share})."
        )
    return " ".join(parts)


def middle_in_words(found: Middle | None) -> str:
    """Write a median, and between which two half of the people lie.

    >>> middle_in_words(Middle(12.25, 8.0, 20.4, 14)), middle_in_words(Middle(3, 2, 3.5, 9))
    ('12 (8 to 20)', '3 (2 to 4)')
    """
    if found is None:
        return "too few"
    middle, low, high = (math.floor(one + 0.5) for one in found[:3])
    return f"{middle} ({low} to {high})"


def upper_lower_in_words(value: float | None) -> str:
    """Write the difference of best and weakest with its band.

    >>> upper_lower_in_words(0.3)
    '0.30, reasonably good'
    """
    return "no figure" if value is None else f"{plain(value)}, {band(value)}"


def plain(value: float) -> str:
    """Write a number with two decimals, and a minus that is one."""
    return f"{value:.2f}".replace("-", "\N{MINUS SIGN}")
