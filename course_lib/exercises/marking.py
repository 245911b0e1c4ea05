"""`mark`, `hint` and `show_progress`: what a student calls in a workbook.

`mark("1.2")` takes the answer as a run from the notebook's top would come to it,
runs it in a process of its own, shows three lines, notes the result, and returns
the points. The cell that calls it is a check cell: its last value is
the number of points, which a gradebook reads.
"""

__all__ = [
    "Marked",
    "called_alone",
    "hint",
    "mark",
    "mark_cells",
    "notes_on",
    "run_on",
    "show_progress",
]

import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from course_lib.exercises import progress
from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.cells_run import CellsRun, cells_run, watch
from course_lib.exercises.display import Panel, show
from course_lib.exercises.feedback import (
    Feedback,
    alone_note,
    difference,
    feedback,
    hints,
    listed,
    table,
)
from course_lib.exercises.registry import Case, Exercise, exercise, public_cases
from course_lib.exercises.verdict import Outcome, Verdict, judge, same_result, without_run
from course_lib.runner.answer_process import Launcher, RunnerError
from course_lib.runner.runner import Limits, Run, StandAlone, run_answer


def mark(exercise_id: str) -> float:
    """Mark the answer to an exercise on its public cases and return the points.

    Raises `LookupError` for an id that does not exist.
    """
    item = exercise(exercise_id)
    cells = cells_run(sys._getframe(1).f_globals)
    marked = mark_cells(item, cells.in_order, cells.above)
    words = feedback(marked.verdict)
    notes = [*marked.notes, _as_shown(item, cells, marked), _note_progress(marked.verdict)]
    show(_panel(words, [note for note in notes if note]))
    return float(marked.verdict.points or 0.0)


class Marked(NamedTuple):
    """A verdict, the answer it is about, what came back, and what else a student should know."""

    verdict: Verdict
    answer: StandAlone | None = None
    run: Run | None = None
    notes: tuple[str, ...] = ()


def mark_cells(item: Exercise, cells: Sequence[str], above: int | None = None) -> Marked:
    """Judge the answer found in the source of `cells`, of which `above` stand above its check."""
    answer = stand_alone(item.function, cells, above)
    if answer is None:
        return Marked(without_run(item, Outcome.NO_ANSWER))
    notes = notes_on(answer)
    borrowed = library_uses(answer.whole, item.may_use)
    if borrowed:
        note = table()["note"]["borrowed"].format(names=", ".join(borrowed))
        return Marked(without_run(item, Outcome.NO_ANSWER, note), answer, notes=notes)
    cases = public_cases(item.id)
    try:
        run = run_on(item, answer, cases)
    except RunnerError as problem:
        verdict = without_run(item, Outcome.COULD_NOT_TELL, str(problem), points=None)
        return Marked(verdict, answer, notes=notes)
    return Marked(called_alone(answer, judge(item, cases, run)), answer, run, notes)


def run_on(
    item: Exercise,
    answer: StandAlone,
    cases: Sequence[Case],
    launcher: Launcher | None = None,
) -> Run:
    """Put cases to an answer, in a process of its own; raise `RunnerError` if none starts."""
    return run_answer(
        answer,
        item.function,
        [case.arguments for case in cases],
        driver=item.driver,
        limits=Limits(case_s=item.time_limit_s),
        launcher=launcher,
        may_use=item.may_use,
    )


def called_alone(answer: StandAlone, verdict: Verdict, launcher: Launcher | None = None) -> Verdict:
    """Try the case that is shown once more, alone; say so if it then gives something else."""
    item, case, seen = verdict.exercise, verdict.first_wrong, verdict.seen
    if case is None or seen is None or seen.kind in ("out of time", "died"):
        return verdict
    (alone,) = run_on(item, answer, [case], launcher).results
    if same_result(alone, seen):
        return verdict
    return replace(verdict, note=alone_note(item, alone))


def notes_on(answer: StandAlone) -> tuple[str, ...]:
    """Say what came from other cells, what stands too low, and what is nowhere."""
    words = table()["note"]
    return tuple(
        words[what].format(names=listed(names))
        for what, names in (
            ("added", [name for name in answer.added if name not in answer.below]),
            ("below", answer.below),
            ("missing", answer.missing),
        )
        if names
    )


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
    """Show what is done in every unit, with points, attempts and hints taken."""
    try:
        done = progress.load(progress.progress_file())
    except progress.ProgressFileError as problem:
        show(Panel("Progress", (("Note", str(problem)),)))
        done = {}
    show(progress_table(done))


def progress_table(done: progress.Progress) -> Panel:
    """Return progress as a table over all units."""
    rows = progress.rows(done)
    total = sum(best for *_, best, _, _ in rows)
    return Panel(
        f"Progress: {total:g} of {sum(of for *_, of, _ in rows):g} points",
        (),
        columns=("unit", "exercise", "title", "points", "last outcome", "attempts", "hints"),
        table=tuple(
            (unit, exercise_id, title, f"{best:g} of {of:g}", entry.outcome,
             str(entry.attempts), str(entry.hints))
            for unit, exercise_id, title, best, of, entry in rows
        ),
    )  # fmt: skip


def _as_shown(item: Exercise, cells: CellsRun, marked: Marked) -> str:
    """Say where the notebook, with its cells in the order they were run, gives something else."""
    session = stand_alone(item.function, cells.as_run)
    if (
        marked.run is None
        or session is None
        or session.whole == getattr(marked.answer, "whole", "")
    ):
        return ""
    cases = public_cases(item.id)
    try:
        run = run_on(item, session, cases)
    except RunnerError:
        return ""  # the same trouble was told a moment ago, or is none of the answer's
    return difference(item, cases, run, marked.run)


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
            path, verdict.exercise.id, points=verdict.points, outcome=verdict.outcome.value
        )
    except progress.ProgressFileError as problem:
        return f"{problem}."
    except OSError as problem:
        return f"Your progress could not be written to {path.name}: {problem.strerror}."
    return ""


def _panel(words: Feedback, notes: Sequence[str]) -> Panel:
    lines = [("Asked", words.asked), ("Seen", words.seen), ("Next", words.next)]
    lines += [("Note", note) for note in (words.note, *notes) if note]
    return Panel(words.heading, tuple(lines), parts=words.aspects)


watch()
