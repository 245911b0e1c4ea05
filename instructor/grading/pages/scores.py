"""The table of scores: one row for each exercise of each hand-in, as CSV.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name |
| `exercise` | the exercise's id, such as 1.2 |
| `title` | its title |
| `outcome` | right, partly right, wrong, error, out of time, two runs differ, no answer, bad value, damaged, could not tell |
| `misconception` | the name of the misconception that the answer shows, if one was recognised |
| `points` | points earned; empty where a person must decide |
| `max_points` | points there are |
| `needs_person` | yes or no |
| `note` | what a grader should know, in words: of the file, the answer, its process and its code |

A file that could not be graded has a row of its own with the outcome `damaged`, no
exercise and no points, so that nobody is lost.
"""  # noqa: E501 - a table

__all__ = ["COLUMNS", "score_rows", "write_scores"]

from collections.abc import Iterator, Mapping
from pathlib import Path

from course_lib.exercises.verdict import Outcome
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.pages.what_happened import what_happened
from instructor.output.tables import write_table

COLUMNS = (
    "student", "unit", "exercise", "title", "outcome", "misconception",
    "points", "max_points", "needs_person", "note",
)  # fmt: skip


# By student and unit: for each exercise, what the code names that no exercise asks for.
Named = Mapping[tuple[str, str], Mapping[str, tuple[str, ...]]]
NOTHING_NAMED: Named = {}


def write_scores(path: Path, result: BatchResult, named: Named = NOTHING_NAMED) -> None:
    """Write the table of scores; cells that a spreadsheet would run are made harmless."""
    write_table(path, COLUMNS, score_rows(result, named))


def score_rows(result: BatchResult, named: Named = NOTHING_NAMED) -> Iterator[tuple[str, ...]]:
    """Yield the rows of the table, hand-ins first, then files that could not be graded."""
    for hand_in in result.marked:
        facts = named.get((hand_in.student, hand_in.unit), {})
        for answer in hand_in.answers:
            yield _row(hand_in, answer, facts.get(answer.verdict.exercise.id, ()))
    for refused in result.not_graded:
        note = f"{refused.shown}: {refused.why}"
        outcome = Outcome.DAMAGED.value
        yield (refused.student, refused.unit, "", "", outcome, "", "", "", "yes", note)


def _row(hand_in: MarkedHandIn, answer: MarkedAnswer, named: tuple[str, ...]) -> tuple[str, ...]:
    verdict = answer.verdict
    needs = verdict.note if answer.needs_person else ""
    notes = [*hand_in.notes, needs, *answer.notes, what_happened(verdict), *named]
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
        "; ".join(dict.fromkeys(note for note in notes if note)),
    )
