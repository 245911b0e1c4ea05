"""What a grader reads on the terminal: points by student and unit, then what needs a look."""

__all__ = ["points_line", "score_lines", "score_table"]

from collections.abc import Iterable, Iterator

from rich.box import SIMPLE
from rich.table import Table
from rich.text import Text

from instructor.grading.gradebook.standing import Standing, hand_in_standing
from instructor.grading.gradebook.totals import Total
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedHandIn
from instructor.grading.pages.waiting import waiting
from instructor.output.text import visible

NOTHING, NOT_GRADED, OPEN = "–", "×", "?"


def score_table(result: BatchResult, totals: Iterable[Total] = ()) -> Table:
    """Return one row for each student: what became of each unit's hand-in.

    A dozen units fit into 80 columns: a unit is named by its number, and what cannot be a
    number is one sign, explained by the first of `score_lines`. Points are those of the gradebook,
    as `totals` has them.
    """
    marked = _standings(result, totals)
    refused = {(one.student, one.unit): one for one in result.not_graded if one.student}
    units = sorted({unit for _, unit in (*marked, *refused) if unit})
    most = {unit: one.of for (_, unit), one in marked.items()}
    table = Table(box=SIMPLE, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("student\nof", overflow="fold")
    for unit in units:
        heading = f"{unit[:2]}\n{most[unit]:g}" if unit in most else unit[:2]
        table.add_column(heading, justify="right", no_wrap=True)
    for student in sorted({student for student, _ in (*marked, *refused)}):
        of_none = refused.get((student, ""))  # nobody knows for which unit it was
        cells = [
            _cell(marked.get((student, unit)), refused.get((student, unit)) or of_none)
            for unit in units
        ]
        table.add_row(Text(visible(student)), *map(Text, cells))
    return table


def points_line(one: MarkedHandIn) -> Text:
    """Say in one line what a hand-in has earned so far, for a grader who waits for it.

    Marks of persons, deadlines and the rule for copies are in the table at the end, not here.
    """
    waits = one.texts or any(answer.needs_person for answer in one.answers)
    more = ", and an answer for a person" if waits else ""
    return _line(f"{one.student}, {one.unit[:2]}: {one.points:g} of {one.of:g} points{more}.")


def score_lines(result: BatchResult, totals: Iterable[Total] = ()) -> Iterator[Text]:
    """Yield what signs mean, then a line for each thing to know, files not graded first."""
    totals = tuple(totals)
    yield _line(_explained(result, totals))
    for refused in result.not_graded:
        who = refused.student or "nobody known"
        yield _line(f"not graded: {who}, {refused.shown}: {refused.why}")
    for one, answer in waiting(result, totals).answers:
        exercise = answer.verdict.exercise.id
        yield _line(f"partly graded: {one.student}, {exercise}: {answer.verdict.note}")
    for one in result.marked:
        for note in one.notes:
            yield _line(f"noted: {one.student}, {one.unit}: {note}")


def _standings(result: BatchResult, totals: Iterable[Total]) -> dict[tuple[str, str], Standing]:
    in_book = {(one.student, one.unit): one for one in totals}
    return {
        (one.student, one.unit): hand_in_standing(one, in_book.get((one.student, one.unit)))
        for one in result.marked
    }


def _cell(marked: Standing | None, refused: NotGraded | None) -> str:
    if marked is None:
        return NOT_GRADED if refused else NOTHING
    return f"{marked.points:g}{OPEN if marked.waits else ''}"


def _explained(result: BatchResult, totals: Iterable[Total]) -> str:
    """Return what the signs in the table mean, those that may stand in it."""
    signs = [f"{NOTHING} nothing handed in"]
    if result.not_graded:
        signs.append(f"{NOT_GRADED} could not be graded")
    if any(one.waits for one in _standings(result, totals).values()):
        signs.append(f"{OPEN} and an answer for a person")
    return "; ".join(signs)


def _line(text: str) -> Text:
    return Text(visible(text))
