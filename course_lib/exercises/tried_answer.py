"""Try an answer: find it, run it on cases in a process of its own, and judge what comes back.

`mark` in a workbook, parts that later units take over, and the grader all go this way. What is
done with the verdict is theirs.
"""

__all__ = ["Marked", "called_alone", "mark_cells", "notes_on", "run_on"]

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.feedback import alone_note, listed, table
from course_lib.exercises.registry import Case, Exercise, public_cases
from course_lib.exercises.verdict import Outcome, Verdict, judge, same_result, without_run
from course_lib.runner.answer_process import Launcher, RunnerError
from course_lib.runner.runner import Limits, Run, StandAlone, run_answer


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
        verdict = called_alone(answer, judge(item, cases, run))
    except RunnerError as problem:
        verdict = without_run(item, Outcome.COULD_NOT_TELL, str(problem), points=None)
        return Marked(verdict, answer, notes=notes)
    return Marked(verdict, answer, run, notes)


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
    again = run_on(item, answer, [case], launcher).results  # none if it cannot be loaded any more
    if not again or same_result(again[0], seen):
        return verdict
    return replace(verdict, note=alone_note(item, again[0]))


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
