"""`mark`, `hint` and `show_progress`: what a student calls in a workbook.

`mark("1.2")` takes the last cell that was run and that defines the exercise's
function, runs it in a process of its own, shows three lines, notes the result,
and returns the points. The cell that calls it is a check cell: its last value is
the number of points, which a gradebook reads.
"""

__all__ = ["hint", "mark", "mark_cells", "show_progress"]

import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from course_lib.exercises import progress
from course_lib.exercises.answer_source import cell_that_defines, library_uses, stand_alone
from course_lib.exercises.display import Panel, show
from course_lib.exercises.feedback import Feedback, feedback, hints, table
from course_lib.exercises.registry import Exercise, exercise, public_cases
from course_lib.exercises.verdict import Outcome, Verdict, judge, without_run
from course_lib.runner.answer_process import RunnerError
from course_lib.runner.runner import Limits, StandAlone, run_answer


def mark(exercise_id: str) -> float:
    """Mark the answer to an exercise on its public cases and return the points.

    Raises `LookupError` for an id that does not exist.
    """
    item = exercise(exercise_id)
    cells = _cells_run(sys._getframe(1).f_globals)
    verdict, added = mark_cells(item, cells)
    words = feedback(verdict)
    show(_panel(words, added, _note_progress(verdict)))
    return float(verdict.points or 0.0)


def mark_cells(item: Exercise, cells: Sequence[str]) -> tuple[Verdict, tuple[str, ...]]:
    """Judge the answer found in the source of `cells`; say what other cells gave to it."""
    source = cell_that_defines(item.function, cells)
    if source is None:
        return without_run(item, Outcome.NO_ANSWER), ()
    answer = stand_alone(source, cells)
    borrowed = library_uses(answer.before + "\n" + answer.source, item.may_use)
    if borrowed:
        note = table()["note"]["borrowed"].format(names=", ".join(borrowed))
        return without_run(item, Outcome.NO_ANSWER, note), answer.added
    return _judge_in_fresh_process(item, answer), answer.added


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


def _judge_in_fresh_process(item: Exercise, answer: StandAlone) -> Verdict:
    cases = public_cases(item.id)
    limits = Limits(case_s=item.time_limit_s)
    try:
        run = run_answer(
            answer, item.function, [case.arguments for case in cases],
            driver=item.driver, limits=limits, may_use=item.may_use,
        )  # fmt: skip
    except RunnerError as problem:
        return without_run(item, Outcome.COULD_NOT_TELL, str(problem), points=None)
    verdict = judge(item, cases, run)
    if answer.missing and verdict.outcome is not Outcome.RIGHT:
        missing = "not defined in any cell that was run: " + ", ".join(answer.missing)
        return replace(verdict, note=f"{verdict.note} ({missing})" if verdict.note else missing)
    return verdict


def _cells_run(names: dict[str, Any]) -> list[str]:
    """Return the source of every cell run so far, oldest first."""
    history = names.get("In")
    return [source for source in history if source] if isinstance(history, list) else []


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


def _panel(words: Feedback, added: tuple[str, ...], trouble: str) -> Panel:
    lines = [("Asked", words.asked), ("Seen", words.seen), ("Next", words.next)]
    notes = [words.note, trouble]
    if added:
        notes.append(table()["note"]["added"].format(names=", ".join(added)))
    lines += [("Note", note) for note in notes if note]
    return Panel(words.heading, tuple(lines), parts=words.aspects)
