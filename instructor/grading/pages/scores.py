"""The table of scores: one row for each exercise of each hand-in, as CSV.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name |
| `exercise` | the exercise's id, such as 1.2; for an answer in words its cell, such as explain-1 |
| `title` | its title |
| `outcome` | right, partly right, wrong, error, out of time, two runs differ, no answer, bad value, damaged, could not tell; in words |
| `misconception` | the name of the misconception that the answer shows, if one was recognised |
| `points` | points earned, by machine or by hand, as the gradebook has them; empty while nobody has decided |
| `max_points` | points there are |
| `needs_person` | yes or no |
| `note` | what a grader should know, in words: of the file, the answer, its process and its code |

A file that could not be graded has a row of its own with the outcome `damaged`, no
exercise and no points, so that nobody is lost.
"""  # noqa: E501 - a table

__all__ = ["COLUMNS", "score_rows", "write_scores"]

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from course_lib.exercises.verdict import Outcome
from instructor.grading.gradebook.standing import Standing, answer_standing, text_standings
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.pages.what_happened import what_happened
from instructor.output.tables import write_table

COLUMNS = (
    "student", "unit", "exercise", "title", "outcome", "misconception",
    "points", "max_points", "needs_person", "note",
)  # fmt: skip

IN_WORDS, BY_HAND = "in words", "points given by hand"

# By student and unit: for each exercise, what the code names that no exercise asks for.
Named = Mapping[tuple[str, str], Mapping[str, tuple[str, ...]]]
NOTHING_NAMED: Named = {}


def write_scores(
    path: Path, result: BatchResult, named: Named = NOTHING_NAMED, totals: Iterable[Total] = ()
) -> None:
    """Write the table of scores; cells that a spreadsheet would run are made harmless."""
    write_table(path, COLUMNS, score_rows(result, named, totals))


def score_rows(
    result: BatchResult, named: Named = NOTHING_NAMED, totals: Iterable[Total] = ()
) -> Iterator[tuple[str, ...]]:
    """Yield the rows of the table, hand-ins first, then files that could not be graded.

    `totals` are what the gradebook says of them: its points count, by whomever they were given.
    """
    in_book = {(one.student, one.unit): one for one in totals}
    for hand_in in result.marked:
        key = hand_in.student, hand_in.unit
        facts, total = named.get(key, {}), in_book.get(key)
        for answer in hand_in.answers:
            standing = answer_standing(answer, total)
            yield _row(hand_in, answer, standing, facts.get(answer.verdict.exercise.id, ()))
        for name, standing in text_standings(hand_in, total).items():
            yield _text_row(hand_in, name, standing)
    for refused in result.not_graded:
        note = f"{refused.shown}: {refused.why}"
        outcome = Outcome.DAMAGED.value
        yield (refused.student, refused.unit, "", "", outcome, "", "", "", "yes", note)


def _row(
    hand_in: MarkedHandIn, answer: MarkedAnswer, standing: Standing, named: tuple[str, ...]
) -> tuple[str, ...]:
    verdict = answer.verdict
    needs = verdict.note if answer.needs_person else ""
    notes = [*hand_in.notes, needs, *answer.notes, what_happened(verdict), *named]
    notes += [_by_whom(standing)]
    return (
        hand_in.student,
        hand_in.unit,
        verdict.exercise.id,
        verdict.exercise.title,
        verdict.outcome.value,
        verdict.misconception,
        *_points(standing),
        "; ".join(dict.fromkeys(note for note in notes if note)),
    )


def _text_row(hand_in: MarkedHandIn, name: str, standing: Standing) -> tuple[str, ...]:
    is_written = name in {one.name for one in hand_in.texts}
    outcome = IN_WORDS if is_written else Outcome.NO_ANSWER.value
    points = _points(standing)
    return (hand_in.student, hand_in.unit, name, "", outcome, "", *points, _by_whom(standing))


def _points(standing: Standing) -> tuple[str, str, str]:
    got = "" if standing.points is None else f"{standing.points:g}"
    return got, f"{standing.of:g}", "yes" if standing.waits else "no"


def _by_whom(standing: Standing) -> str:
    return BY_HAND if standing.by_hand else ""
