"""What a grader reads on the terminal: points by student and unit, then what needs a look."""

__all__ = ["score_lines", "score_table"]

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedHandIn
from instructor.output.text import visible


def score_table(result: BatchResult) -> Table:
    """Return one row for each student: what became of each unit's hand-in."""
    marked = {(one.student, one.unit): one for one in result.marked}
    refused = {(one.student, one.unit): one for one in result.not_graded if one.student}
    units = sorted({unit for _, unit in marked | refused if unit})
    table = Table("student", title="Scores")
    for unit in units:
        table.add_column(unit, justify="right")
    for student in sorted({student for student, _ in marked | refused}):
        of_none = refused.get((student, ""))  # nobody knows for which unit it was
        cells = [
            _cell(marked.get((student, unit)), refused.get((student, unit)) or of_none)
            for unit in units
        ]
        table.add_row(Text(visible(student)), *map(Text, cells))
    return table


def score_lines(result: BatchResult) -> Iterator[Text]:
    """Yield a line for each thing a grader should know, files that were not graded first."""
    for refused in result.not_graded:
        who = refused.student or "nobody known"
        yield _line(f"not graded: {who}, {refused.shown}: {refused.why}")
    for one in result.marked:
        for answer in one.answers:
            if answer.needs_person:
                exercise = answer.verdict.exercise.id
                yield _line(f"partly graded: {one.student}, {exercise}: {answer.verdict.note}")
    for one in result.marked:
        for note in one.notes:
            yield _line(f"noted: {one.student}, {one.unit}: {note}")


def _cell(marked: MarkedHandIn | None, refused: NotGraded | None) -> str:
    if marked is None:
        return "not graded" if refused else "nothing"
    open_ids = [one.verdict.exercise.id for one in marked.answers if one.needs_person]
    still = f", {' and '.join(open_ids)} open" if open_ids else ""
    return f"{marked.points:g} of {marked.of:g}{still}"


def _line(text: str) -> Text:
    return Text(visible(text))
