"""The table of scores: one row for each exercise of each hand-in, as CSV.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name |
| `exercise` | the exercise's id, such as 1.2 |
| `title` | its title |
| `outcome` | right, partly right, wrong, error, out of time, no answer, bad value, damaged, could not tell |
| `misconception` | the name of the misconception that the answer shows, if one was recognised |
| `points` | points earned; empty where a person must decide |
| `max_points` | points there are |
| `needs_person` | yes or no |
| `note` | what a grader should know, in words |

A file that could not be graded has a row of its own with the outcome `damaged`, no
exercise and no points, so that nobody is lost.
"""  # noqa: E501 - a table

__all__ = ["COLUMNS", "score_rows", "write_scores"]

from collections.abc import Iterator
from pathlib import Path

from course_lib.exercises.verdict import Outcome
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.output.tables import write_table

COLUMNS = (
    "student", "unit", "exercise", "title", "outcome", "misconception",
    "points", "max_points", "needs_person", "note",
)  # fmt: skip


def write_scores(path: Path, result: BatchResult) -> None:
    """Write the table of scores; cells that a spreadsheet would run are made harmless."""
    write_table(path, COLUMNS, score_rows(result))


def score_rows(result: BatchResult) -> Iterator[tuple[str, ...]]:
    """Yield the rows of the table, hand-ins first, then files that could not be graded."""
    for hand_in in result.marked:
        for answer in hand_in.answers:
            yield _row(hand_in, answer)
    for refused in result.not_graded:
        note = f"{refused.shown}: {refused.why}"
        outcome = Outcome.DAMAGED.value
        yield (refused.student, refused.unit, "", "", outcome, "", "", "", "yes", note)


def _row(hand_in: MarkedHandIn, answer: MarkedAnswer) -> tuple[str, ...]:
    verdict = answer.verdict
    return (
        hand_in.student,
        hand_in.unit,
        verdict.exercise.id,
        verdict.exercise.title,
        verdict.outcome.value,
        verdict.misconception,
        "" if verdict.points is None else f"{verdict.points:g}",
        f"{verdict.exercise.points:g}",
        "yes" if answer.needs_person else "no",
        "; ".join([*hand_in.notes, *answer.notes]),
    )
