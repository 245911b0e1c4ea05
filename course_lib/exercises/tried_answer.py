"""Try an answer: find it, run it on cases in a process of its own, and judge what comes back.

`mark` in a workbook, parts that later units take over, and the grader all go this way. What is
done with the verdict is theirs.
"""

__all__ = ["Found", "Marked", "called_alone", "look_for", "mark_cells", "run_on"]

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.asked_again import asked_again
from course_lib.exercises.feedback import alone_note, listed, table
from course_lib.exercises.personal.code import code_typed, valid_code
from course_lib.exercises.personal.own_cases import own_cases
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


class Found(NamedTuple):
    """An answer to be run, or the verdict where nothing can be; and notes for a student."""

    answer: StandAlone | None
    verdict: Verdict | None
    notes: tuple[str, ...] = ()


def look_for(item: Exercise, cells: Sequence[str], above: int | None = None) -> Found:
    """Look for an answer in the source of `cells`, of which `above` stand above its check.

    A cell that was worked on and yet binds no function of this name is no answer, and a note
    says so: the same for `mark`, which sees no difference, and for graders.
    """
    answer = stand_alone(item.function, cells, above)
    words = table()["note"]
    if answer is None:
        note = words["not defined"].format(function=item.function)
        return Found(None, without_run(item, Outcome.NO_ANSWER, note))
    borrowed = library_uses(answer.whole, item.may_use, item.may_not_use)
    if borrowed:
        note = words["borrowed"].format(names=listed(borrowed))
        return Found(answer, without_run(item, Outcome.NO_ANSWER, note), _notes_on(item, answer))
    return Found(answer, None, _notes_on(item, answer))


def mark_cells(item: Exercise, cells: Sequence[str], above: int | None = None) -> Marked:
    """Judge the answer found in the source of `cells`, of which `above` stand above its check."""
    answer, decided, notes = look_for(item, cells, above)
    if answer is None or decided is not None:
        return Marked(decided or without_run(item, Outcome.NO_ANSWER), answer, notes=notes)
    cases = public_cases(item.id) + own_cases(item.id, valid_code(code_typed(cells)))
    try:
        run = run_on(item, answer, cases)
        again = asked_again(item, cases, run, partial(run_on, item, answer))
        verdict = called_alone(answer, judge(item, cases, run, again))
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
        parts=[case.aspect for case in cases],
    )


def called_alone(answer: StandAlone, verdict: Verdict, launcher: Launcher | None = None) -> Verdict:
    """Try the case that is shown once more, alone; say so if it then gives something else."""
    item, case, seen = verdict.exercise, verdict.first_wrong, verdict.seen
    if case is None or seen is None or seen.kind in ("out of time", "died"):
        return verdict
    again = run_on(item, answer, [case], launcher).results  # none if it cannot be loaded any more
    if not again or same_result(again[0], seen):
        return verdict
    return replace(verdict, note=alone_note(item, seen, again[0]))


def _notes_on(item: Exercise, answer: StandAlone) -> tuple[str, ...]:
    """Say what came from other cells, what stands too low, and what is nowhere."""
    words = table()["note"]
    helpers = [name for name in answer.below if name != item.function]
    return tuple(
        words[what].format(names=listed(names))
        for what, names in (
            ("added", [name for name in answer.added if name not in answer.below]),
            ("answer below", [name for name in answer.below if name == item.function]),
            ("below", helpers),
            ("missing", answer.missing),
            ("unread", answer.unread),
        )
        if names
    )
