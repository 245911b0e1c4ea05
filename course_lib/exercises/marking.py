"""`mark`, `hint` and `show_progress`: what a student calls in a workbook.

`mark("1.2")` takes the answer as a run from the notebook's top would come to it,
runs it in a process of its own, shows three lines, notes the result, and returns
the points. The cell that calls it is a check cell: its last value is
the number of points, which a gradebook reads. On a page the number is written as a
sentence about the unit.
"""

__all__ = ["hint", "mark", "progress_table", "show_progress"]

import os
import sys
from collections.abc import Iterator, Sequence
from html import escape
from typing import Self

from course_lib.exercises import progress
from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.cells.cells_run import CellsRun, cells_run, watch
from course_lib.exercises.display import Panel, Row, panel_of, show
from course_lib.exercises.feedback import difference, feedback, hints, table
from course_lib.exercises.personal.code import code_typed
from course_lib.exercises.personal.own_cases import has_own_numbers
from course_lib.exercises.personal.shown_numbers import whose_numbers
from course_lib.exercises.registry import Exercise, exercise, public_cases
from course_lib.exercises.tried_answer import Marked, mark_cells, run_on
from course_lib.exercises.verdict import Verdict
from course_lib.runner.answer_process import RunnerError


class PointsSoFar(float):
    """Points that a page shows as a sentence; as text they stay the number that they are."""

    def __new__(cls, points: float, so_far: str) -> Self:
        """Keep the sentence with the number."""
        made = super().__new__(cls, points)
        made.so_far = so_far
        return made

    so_far: str

    def _repr_html_(self) -> str:
        return f"<small>{escape(self.so_far)}</small>"


def mark(exercise_id: str) -> float:
    """Mark the answer to an exercise on its public cases and return the points.

    Raises `LookupError` for an id that does not exist.
    """
    item = exercise(exercise_id)
    cells = cells_run(sys._getframe(1).f_globals)
    marked = mark_cells(item, cells.in_order, cells.above)
    words = feedback(marked.verdict)
    notes = [
        *marked.notes, _as_shown(item, cells, marked), _whose(item, cells),
        _note_progress(marked.verdict),
    ]  # fmt: skip
    show(panel_of(words, [note for note in notes if note]))
    points = float(marked.verdict.points or 0.0)
    return points if _is_graded_run() else PointsSoFar(points, _so_far(item))


def hint(exercise_id: str) -> None:
    """Show the hints for an exercise, one more each time."""
    item = exercise(exercise_id)
    steps = hints(item.id)
    taken = 1
    if not _is_graded_run():
        taken = min(progress.record(progress.progress_file(), item.id, hint=True).hints, len(steps))
    lines = tuple(
        (f"Hint {number} of {len(steps)}", step)
        for number, step in enumerate(steps[:taken], start=1)
    )
    show(Panel(f"Exercise {item.id} · {item.title}", lines))


def show_progress() -> None:
    """Show what is done in every unit, with best points, tries and hints taken."""
    try:
        done = progress.load(progress.progress_file())
    except progress.ProgressFileError as problem:
        show(Panel("Progress", (("Note", str(problem)),)))
        done = {}
    show(progress_table(done))


def progress_table(done: progress.Progress) -> Panel:
    """Return progress as a table over all units, each with its sum."""
    units = progress.by_unit(done)
    got, of = progress.points_of(one for unit in units.values() for one in unit)
    rows = [row for unit, exercises in units.items() for row in _unit_rows(unit, exercises)]
    return Panel(
        f"Progress: {got:g} of {of:g} points",
        (("Kept", table()["progress"]["kept"]),),
        columns=("exercise", "best", "last outcome", "tries", "hints"),
        table=tuple(rows),
    )


def _unit_rows(unit: str, exercises: Sequence[tuple[Exercise, progress.Entry]]) -> Iterator[Row]:
    got, of = progress.points_of(exercises)
    tried = sum(entry.attempts > 0 for _, entry in exercises)
    yield Row((unit, f"{got:g}/{of:g}", f"{tried} of {len(exercises)} tried", "", ""),
              is_sum=True)  # fmt: skip
    for item, entry in exercises:
        yield Row(
            (f"{item.id} {item.title}", f"{entry.best:g}/{item.points:g}", entry.outcome,
             str(entry.attempts), str(entry.hints)),
            outcome=progress.mark_of(item, entry),
        )  # fmt: skip


def _so_far(item: Exercise) -> str:
    """Say how many points the unit has by now; '' if that cannot be read."""
    try:
        done = progress.load(progress.progress_file())
    except (progress.ProgressFileError, OSError):
        return ""  # the panel has said so a moment ago, or there is none
    got, of = progress.points_of(progress.by_unit(done)[item.unit])
    words: str = table()["progress"]["so far"]
    return words.format(unit=item.unit[:2], points=f"{got:g}", of=f"{of:g}")


def _as_shown(item: Exercise, cells: CellsRun, marked: Marked) -> str:
    """Say where the notebook, with its cells in the order they were run, gives something else."""
    session = stand_alone(item.function, cells.as_run)
    if marked.run is None or marked.answer is None or session is None:
        return ""
    if session.whole == marked.answer.whole:
        return ""
    cases = public_cases(item.id)
    try:
        run = run_on(item, session, cases)
    except RunnerError:
        return ""  # the same trouble was told a moment ago, or is none of the answer's
    return difference(item, cases, run, marked.run)


def _whose(item: Exercise, cells: CellsRun) -> str:
    """Say whose numbers were among those asked; '' where an exercise has none of one's own."""
    if not has_own_numbers(item.id):
        return ""
    return whose_numbers(code_typed(cells.in_order))[1]


def _is_graded_run() -> bool:
    """Tell whether a gradebook runs the workbook; then no progress is kept."""
    return "NBGRADER_EXECUTION" in os.environ


def _note_progress(verdict: Verdict) -> str:
    """Keep the result; return what to tell the student if it could not be kept."""
    if _is_graded_run() or verdict.points is None:
        return ""
    path = progress.progress_file()
    try:
        progress.record(
            path, verdict.exercise.id, points=verdict.points, outcome=verdict.outcome.value,
            belief=verdict.misconception,
        )  # fmt: skip
    except progress.ProgressFileError as problem:
        return f"{problem}."
    except OSError as problem:
        return f"Your progress could not be written to {path.name}: {problem.strerror}."
    try:
        progress.send_copy(path)
    except (OSError, ValueError, KeyError) as problem:
        return f"Your progress is kept, but the board of the room got no copy: {problem}."
    return ""


watch()
