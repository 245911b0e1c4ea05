"""The class report as short tables for a terminal."""

__all__ = ["terminal_report"]

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from instructor.grading.marked import BatchResult
from instructor.output.text import visible
from instructor.reporting.class_report import ClassReport, class_report
from instructor.reporting.headline import headline
from instructor.reporting.shared_ideas import ideas
from instructor.reporting.words import NO_FIGURE, belief, in_words

SHOWN = 12  # misconceptions; the class report has all of them


def terminal_report(result: BatchResult) -> list[RenderableType]:
    """Return the verdict, the scores per exercise, the misconceptions ranked, and any warnings."""
    report = class_report(result)
    verdict = _text(headline(report, ideas(report)).sentence)
    warnings = [_text(warning) for warning in report.warnings]
    return [verdict, _exercises(report), _misconceptions(report), *warnings]


def _exercises(report: ClassReport) -> Table:
    table = Table("exercise", "", title="Points by exercise")
    for heading in ("marked", "right", "mean share of points"):
        table.add_column(heading, justify="right")
    for one in report.exercises:
        right = str(one.outcomes[0].hand_ins) if one.outcomes else ""
        table.add_row(
            one.exercise.id,
            _text(one.exercise.title),
            str(one.hand_ins),
            right,
            _text(in_words(one.points)),
        )
    return table


def _misconceptions(report: ClassReport) -> Table:
    shown = report.misconceptions[:SHOWN]
    more = len(report.misconceptions) - len(shown)
    table = Table("exercise", "belief", title="Misconceptions, most shared first",
                  caption=f"and {more} more, in the class report" if more else None)  # fmt: skip
    table.add_column("students", justify="right")
    table.add_column("of those who tried", justify="right")
    for one in shown:
        students = "" if one.students is None else f"{one.students} of {one.tried}"
        share = in_words(one.share) if one.share else NO_FIGURE
        table.add_row(one.exercise.id, _text(belief(one)), students, _text(share))
    return table


def _text(text: str) -> Text:
    """Take text as it stands: square brackets in it are no instructions to the terminal."""
    return Text(visible(text))
