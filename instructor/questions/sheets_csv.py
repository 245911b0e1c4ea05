"""Concept test and exit survey as tables for other programs, without a student in them.

`concept-test.csv` has one row for each question: `question`, `exercise`, then of both tests the
`right` share with its 95 % interval (`before`, `before_low`, `before_high`, `after`, ...).
`concept-beliefs.csv` has one for each belief that was chosen: `exercise`, `misconception`,
`belief`, how many chose it before and after, and the shares. `concept-gain.csv` has one row:
`before_students`, `after_students`, `both`, `before`, `after`, `gain`, `gain_low`, `gain_high`,
`effect`, `before_alpha`, `after_alpha`.

`exit-survey.csv` has one row for each statement: `statement`, `part`, `text`, how many chose
`level_1` to `level_5`, the `median`, and the share that agrees (4 and 5) with its interval. The
last row, `usability`, has the mean score and its interval in the columns of the share.

Where the group is too small for a figure, its cells are empty. What people wrote is on the page
alone.
"""

__all__ = ["write_concept_tables", "write_survey_table"]

from collections.abc import Iterator, Sequence
from pathlib import Path

from course_lib.exercises.feedback import misconception_title
from instructor.output.tables import write_table
from instructor.questions.concept_results import ConceptResults
from instructor.questions.survey_results import SurveyResults

WHEN = ("before", "after")
SHARES = tuple(f"{when}{end}" for when in WHEN for end in ("", "_low", "_high"))
GAIN_COLUMNS = (
    "before_students", "after_students", "both", "before", "after", "gain", "gain_low", "gain_high",
    "effect", "before_alpha", "after_alpha",
)  # fmt: skip
SURVEY_COLUMNS = (
    "statement", "part", "text", *(f"level_{level}" for level in range(1, 6)), "median",
    "agree", "agree_low", "agree_high",
)  # fmt: skip
Row = tuple[str, ...]


def write_concept_tables(folder: Path, found: ConceptResults) -> None:
    """Write the three tables of the concept test."""
    write_table(
        folder / "concept-test.csv", ("question", "exercise", *SHARES),
        ((one.question.id, one.question.exercise, *_three(one.before), *_three(one.after))
         for one in found.questions),
    )  # fmt: skip
    write_table(
        folder / "concept-beliefs.csv",
        ("exercise", "misconception", "belief", "before_students", "after_students", *SHARES),
        ((one.exercise, one.name, misconception_title(one.exercise, one.name),
          *(str(many) if share else "" for many, share in
            zip(one.students, (one.before, one.after), strict=True)),
          *_three(one.before), *_three(one.after))
         for one in found.beliefs),
    )  # fmt: skip
    gain = found.gain
    write_table(
        folder / "concept-gain.csv", GAIN_COLUMNS,
        [(*map(str, found.students), str(found.both),
          *(map(_number, gain[:6]) if gain else ("",) * 6),
          *(_number(one and one.alpha) for one in found.alphas))],
    )  # fmt: skip


def write_survey_table(folder: Path, found: SurveyResults) -> None:
    """Write the table of the exit survey."""
    write_table(folder / "exit-survey.csv", SURVEY_COLUMNS, _survey_rows(found))


def _survey_rows(found: SurveyResults) -> Iterator[Row]:
    for one in found.statements:
        counts = tuple(map(str, one.counts)) or ("",) * 5
        yield (one.statement.id, one.statement.part, one.statement.text, *counts,
               _number(one.middle), *_three(one.agree))  # fmt: skip
    score = found.usability
    mean = (score.mean, score.low, score.high) if score else None
    yield ("usability", "usability", "score from 0 to 100", *("",) * 6, *_three(mean))


def _three(values: Sequence[float] | None) -> Row:
    return ("",) * 3 if values is None else tuple(map(_number, values))


def _number(value: float | None) -> str:
    return "" if value is None or value != value else f"{value:.4f}"
