"""The class report as a page to look at, print and take into the staff room.

It opens with the verdict, goes on with what to do in class, shows who stands where, and ends with
what the figures rest on. It is for those who teach the class: it names students by their ids, so
that they can be seated together, and shows single lines of what they wrote, as text.
"""

__all__ = ["OUTCOME_GROUPS", "Beside", "report_page", "write_report"]

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from markupsafe import Markup

from course_lib.exercises.verdict import Outcome
from course_lib.exercises.whole_file import write_whole
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import BatchResult
from instructor.grading.pages.by_rules import ruled
from instructor.grading.pages.waiting import waiting
from instructor.output.pages import count, percent, render_page
from instructor.reporting import pictures, words
from instructor.reporting.class_report import (
    SMALLEST_GROUP,
    ClassReport,
    ExerciseFigures,
    class_report,
)
from instructor.reporting.grid import grid, parts
from instructor.reporting.headline import headline
from instructor.reporting.report_csv import write_tables
from instructor.reporting.shared_ideas import SHARED_BY, Idea, ideas
from instructor.reporting.since_last_run import FIRST_RUN, SinceLastRun
from instructor.reporting.still_unclear import Unclear
from instructor.reporting.totals_picture import totals_picture, totals_sentence

IN_FULL = 3  # ideas with code and a plan; a lesson has no room for more
NAMES, NAMES_IN_SHORT = 30, 8  # ids behind one idea that are listed
MOVED = 16  # exercises whose points moved; the summary has all
ROWS = 40  # students in the grid; those with more points are folded
IN_SHORT = 10  # ideas below them that are not folded
PARTS, PARTS_IN_SHORT = 2, 1  # beliefs of one idea that are written out; the others are counted
VOICES = 3  # answers to "what is still unclear?" for each unit; the others are folded
TEMPLATE = Path(__file__).parent / "templates" / "report.html"


class Beside(NamedTuple):
    """What a report tells that is in no verdict."""

    totals: tuple[Total, ...] = ()
    unclear: tuple[Unclear, ...] = ()
    since: SinceLastRun = FIRST_RUN
    rule: str = ""  # what being late costs, in words


class OutcomeGroup(NamedTuple):
    """Outcomes that share a segment of the picture."""

    pattern: str
    label: str
    outcomes: tuple[Outcome, ...]


class IdeaOnPage(NamedTuple):
    """An idea with everything that a teacher reads about it.

    `where` are the exercises, each with its students; `parts` the beliefs that most share, and
    `more_parts` how many there are besides.
    """

    words: str
    idea: Idea
    where: str
    parts: tuple[str, ...]
    more_parts: int
    extent: str
    names: tuple[str, ...]
    more: int
    line: str
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
NOTHING_BESIDE = Beside()


def write_report(folder: Path, result: BatchResult, beside: Beside = NOTHING_BESIDE) -> Path:
    """Write the report's page and its two tables into `folder`; return the page's path."""
    report = class_report(result, beside.totals)
    folder.mkdir(parents=True, exist_ok=True)
    write_tables(folder, report)
    path = folder / "report.html"
    things = waiting(result, beside.totals).things
    write_whole(path, report_page(report, things, beside))
    return path


def report_page(report: ClassReport, things: int, beside: Beside = NOTHING_BESIDE) -> str:
    """Return the report as one page; `things` is how many wait for a person."""
    ranked = ideas(report)
    shared = [one for one in ranked if len(one.who) >= SHARED_BY]
    few = [one for one in ranked if len(one.who) < SHARED_BY]
    open_to = IN_FULL + IN_SHORT
    first = [_on_page(one) for one in shared[:IN_FULL]]
    table = grid(report)
    return render_page(
        TEMPLATE,
        report=report,
        verdict=headline(report, ranked).sentence,
        marked=sum(hand_ins for _, hand_ins in report.hand_ins),
        things=things,
        smallest_group=SMALLEST_GROUP,
        shared_by=SHARED_BY,
        first=first,
        steps=list(dict.fromkeys(one.step for one in first)),
        shared=[_in_short(one) for one in shared[IN_FULL:open_to]],
        folded=[_in_short(one) for one in [*shared[open_to:], *few]],
        totals=totals_picture(report) if report.of else "",
        totals_sentence=totals_sentence(report),
        columns=table.columns,
        grid_parts=parts(len(table.columns)),
        rows=(table.rows[:ROWS], table.rows[ROWS:]),
        bars=[(one, _outcome_picture(one)) for one in table.columns],
        finding=words.finding_of_points(report.exercises),
        unclear=_by_unit(beside.unclear),
        since=beside.since,
        moved=(beside.since.moved[:MOVED], len(beside.since.moved[MOVED:])),
        groups=OUTCOME_GROUPS,
        ruled=[one for one in ruled(beside.totals) if one.changes],
        rule=beside.rule,
        pictures=pictures,
        words=words,
    )


def _on_page(one: Idea, parts: int = PARTS, names: int = NAMES) -> IdeaOnPage:
    weightiest = one.beliefs[0]
    return IdeaOnPage(
        words=words.idea_in_words(one),
        idea=one,
        where=words.where(one),
        parts=tuple(map(words.belief, one.beliefs[:parts])),
        more_parts=len(one.beliefs[parts:]),
        extent=words.extent(one),
        names=one.who[:names],
        more=len(one.who[names:]),
        line=weightiest.line,
        step=words.class_step(one.share),
        question=words.question(weightiest),
    )


def _in_short(one: Idea) -> IdeaOnPage:
    return _on_page(one, PARTS_IN_SHORT, NAMES_IN_SHORT)


def _by_unit(
    voices: Sequence[Unclear],
) -> list[tuple[str, Sequence[Unclear], Sequence[Unclear]]]:
    """Return for each unit the answers that are shown and those that are folded."""
    units = dict.fromkeys(one.unit for one in voices)
    by_unit = ((unit, [one for one in voices if one.unit == unit]) for unit in units)
    return [(unit, every[:VOICES], every[VOICES:]) for unit, every in by_unit]


def _outcome_picture(one: ExerciseFigures) -> Markup:
    if not one.outcomes:
        return Markup("")
    counts = [
        sum(part.hand_ins for part in one.outcomes if part.outcome in group.outcomes)
        for group in OUTCOME_GROUPS
    ]
    sentence = ", ".join(
        f"{group.label} {count(number, 'workbook')} ({percent(number / one.hand_ins)})"
        for group, number in zip(OUTCOME_GROUPS, counts, strict=True)
        if number
    )
    return pictures.outcome_picture(counts, sentence)
