"""The class report as a page to look at, print and take into the staff room.

It opens with what to do in class, then shows what the figures rest on, and ends with
what a person must still do. It names students by their ids alone, and shows none of
what they wrote but the names of files that could not be graded, as text.
"""

__all__ = ["OUTCOME_GROUPS", "write_report"]

from pathlib import Path
from typing import NamedTuple

from markupsafe import Markup

from course_lib.exercises.verdict import Outcome
from course_lib.exercises.whole_file import write_whole
from instructor.grading.marked import BatchResult
from instructor.output.pages import count, percent, render_page
from instructor.reporting import pictures, words
from instructor.reporting.class_report import (
    SMALLEST_GROUP,
    ClassReport,
    ExerciseFigures,
    MisconceptionFigures,
    class_report,
)
from instructor.reporting.report_csv import write_tables

IN_FULL = 8  # misconceptions with a picture and a plan; a lesson has no room for more
TEMPLATE = Path(__file__).parent / "templates" / "report.html"


class OutcomeGroup(NamedTuple):
    """Outcomes that share a segment of the picture and a column of the table."""

    pattern: str
    label: str
    outcomes: tuple[Outcome, ...]


class OutcomeRow(NamedTuple):
    """One exercise in the table of outcomes: a count for each group, and the picture."""

    figures: ExerciseFigures
    counts: tuple[int, ...]
    picture: Markup


class RankedMisconception(NamedTuple):
    """One misconception with everything that a teacher reads about it."""

    figures: MisconceptionFigures
    belief: str
    extent: str
    picture: Markup
    step: words.NextStep
    question: str


OUTCOME_GROUPS = (
    OutcomeGroup("right", "right", (Outcome.RIGHT,)),
    OutcomeGroup("partly", "partly right", (Outcome.PARTLY_RIGHT,)),
    OutcomeGroup(
        "wrong", "wrong value", (Outcome.WRONG, Outcome.BAD_VALUE, Outcome.TWO_RUNS_DIFFER)
    ),
    OutcomeGroup("stopped", "error or time", (Outcome.ERROR, Outcome.OUT_OF_TIME)),
    OutcomeGroup("none", "no answer", (Outcome.NO_ANSWER,)),
    OutcomeGroup("unclear", "unclear", (Outcome.DAMAGED, Outcome.COULD_NOT_TELL)),
)


def write_report(folder: Path, result: BatchResult) -> Path:
    """Write the report's page and its two tables into `folder`; return the page's path."""
    report = class_report(result)
    folder.mkdir(parents=True, exist_ok=True)
    write_tables(folder, report)
    path = folder / "report.html"
    write_whole(path, report_page(report))
    return path


def report_page(report: ClassReport) -> str:
    """Return the report as one page."""
    ranked = [_ranked(one) for one in report.misconceptions]
    return render_page(
        TEMPLATE,
        report=report,
        marked=sum(hand_ins for _, hand_ins in report.hand_ins),
        smallest_group=SMALLEST_GROUP,
        ranked=ranked[:IN_FULL],
        further=ranked[IN_FULL:],
        points=[(one, _points_picture(one)) for one in report.exercises],
        outcomes=[_outcome_row(one) for one in report.exercises],
        groups=OUTCOME_GROUPS,
        pictures=pictures,
        words=words,
    )


def _ranked(one: MisconceptionFigures) -> RankedMisconception:
    return RankedMisconception(
        figures=one,
        belief=words.belief(one),
        extent=f"{one.students} of the {one.tried} who tried: {words.in_words(one.share)}"
        if one.share
        else words.NO_FIGURE,
        picture=pictures.interval_picture(one.share, words.in_words(one.share))
        if one.share
        else Markup(""),
        step=words.class_step(one.share),
        question=words.question(one),
    )


def _points_picture(one: ExerciseFigures) -> Markup:
    if one.points is None:
        return Markup("")
    return pictures.interval_picture(one.points, words.in_words(one.points))


def _outcome_row(one: ExerciseFigures) -> OutcomeRow:
    counts = tuple(
        sum(part.hand_ins for part in one.outcomes if part.outcome in group.outcomes)
        for group in OUTCOME_GROUPS
    )
    if not one.outcomes:
        return OutcomeRow(one, counts, Markup(""))
    sentence = ", ".join(
        f"{group.label} {count(number, 'workbook')} ({percent(number / one.hand_ins)})"
        for group, number in zip(OUTCOME_GROUPS, counts, strict=True)
        if number
    )
    return OutcomeRow(one, counts, pictures.outcome_picture(counts, sentence))
