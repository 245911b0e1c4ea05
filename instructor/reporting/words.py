"""The sentences of a class report: what a figure says, and what a teacher could do next.

Which step suits which share is common practice in teaching by questions, with no
published source for the two limits.
"""

__all__ = [
    "NextStep",
    "belief",
    "class_step",
    "extent",
    "finding_of_points",
    "idea_in_words",
    "in_words",
    "listed",
    "question",
    "where",
]

from collections.abc import Sequence
from typing import NamedTuple

from course_lib.exercises.feedback import misconception_title, table
from instructor.output.pages import NO_BREAK, percent
from instructor.reporting.class_report import SMALLEST_GROUP, ExerciseFigures, MisconceptionFigures
from instructor.reporting.intervals import Estimate, difference
from instructor.reporting.shared_ideas import Idea


class NextStep(NamedTuple):
    """What to do in class: with whom, in two or three words, and how."""

    with_whom: str
    how: str


STEPS = (  # from this share on
    (0.30, NextStep("with everybody", "let each write an answer down, talk it over in pairs, "
                "then work one case on the board")),
    (0.10, NextStep("in pairs", "as a warm-up, before the next exercise that builds on it")),
    (0.00, NextStep("with the few", "at the desk; their feedback pages ask the same")),
)  # fmt: skip
LISTED = 3  # so many exercises are named in a sentence, more are counted
STEP_WITHOUT_FIGURE = NextStep("with those concerned", "their feedback pages ask the same")
NO_FIGURE = f"No figure: fewer than {SMALLEST_GROUP} answers."


def belief(one: MisconceptionFigures) -> str:
    """Return the belief behind a misconception, from the table that a teacher can edit."""
    return misconception_title(one.exercise.id, one.name)


def idea_in_words(one: Idea) -> str:
    """Return what stands behind some beliefs, or the one belief."""
    return one.title or belief(one.beliefs[0])


def extent(one: Idea) -> str:
    """Say how many of those who tried show an idea."""
    if one.share is None:
        return NO_FIGURE
    return f"{len(one.who)} of the {one.tried} who tried: {in_words(one.share)}"


def where(one: Idea) -> str:
    """List the exercises in which students show an idea, and how many do in each."""
    students: dict[str, set[str]] = {}
    for part in one.beliefs:
        students.setdefault(part.exercise.id, set()).update(part.who)
    return ", ".join(
        f"{name}{NO_BREAK}({len(those)})" if those else name for name, those in students.items()
    )


def question(one: MisconceptionFigures) -> str:
    """Return the question or step that repairs the belief, from the same table."""
    entry = table()["exercise"][one.exercise.id]["misconceptions"][one.name]
    text: str = entry["next"]
    return text


def class_step(share: Estimate | None) -> NextStep:
    """Return a step for the lesson that suits how many share a belief."""
    if share is None:
        return STEP_WITHOUT_FIGURE
    return next(step for limit, step in STEPS if share.share >= limit)


def in_words(estimate: Estimate | None) -> str:
    """Write a share with its interval, or that there is none.

    >>> in_words(Estimate(0.5, 0.3, 0.7)).replace(chr(160), " ")
    '50 % (30 to 70 %)'
    """
    if estimate is None:
        return NO_FIGURE
    low = f"{100 * estimate.low:.0f}"
    text = f"{percent(estimate.share)} ({low} to {percent(estimate.high)})"
    return text.replace(" ", NO_BREAK)


def finding_of_points(exercises: Sequence[ExerciseFigures]) -> str:
    """Name the exercise that earned least, and those from which it may differ by chance alone."""
    known = sorted(
        ((one.points, one.exercise) for one in exercises if one.points),
        key=lambda pair: pair[0].share,
    )
    if not known:
        return NO_FIGURE
    (lowest, item), *others = known
    near = [other.id for points, other in others if difference(points, lowest).low <= 0]
    text = f"Exercise {item.id} earned the smallest share of its points, {in_words(lowest)}"
    if not near:
        return f"{text}."
    others_near = listed(near) if len(near) <= LISTED else f"{len(near)} others"
    return f"{text}. The difference from {others_near} may be chance."


def listed(ids: Sequence[str]) -> str:
    """Write names one after the other, with "and" before the last."""
    return ids[0] if len(ids) == 1 else f"{', '.join(ids[:-1])} and {ids[-1]}"
