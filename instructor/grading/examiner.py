"""Examine one hand-in: find each answer, run it apart, judge what comes back.

Public and secret cases are put to the answer in one run. What a student is shown
comes from public cases only. If a process cannot be started, that is our fault:
it is tried again, and if it still fails, nobody can tell, which is not a zero.
"""

__all__ = ["Cases", "Examiner", "all_cases"]

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import takewhile
from typing import Any, TypeVar

from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.feedback import listed
from course_lib.exercises.registry import Case, Exercise, public_cases
from course_lib.exercises.tried_answer import called_alone, notes_on, run_on
from course_lib.exercises.verdict import Outcome, Verdict, judge, without_run
from course_lib.runner.answer_process import Launcher, RunnerError
from course_lib.runner.runner import Run, StandAlone
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import FoundAnswer, find_answer, is_cell_edited
from instructor.grading.marked import MarkedAnswer, MarkedHandIn, TextAnswer
from instructor.release.workbook_files import (
    grade_name,
    is_marked_by_hand,
    read_workbook,
    release_name,
)
from instructor.units.items import secret_cases, unit_items

Cases = Mapping[str, tuple[Case, ...]]  # by the exercise's id
Kept = TypeVar("Kept")

KEPT_ITEMS = 200  # of what an answer returned, and characters of each text
KEPT_OCTETS = 1_500  # of what it returned in octets: the part that differs is shown
FOUND_NOTHING = {
    "no answer": Outcome.NO_ANSWER,
    "damaged": Outcome.DAMAGED,
    "could not tell": Outcome.COULD_NOT_TELL,
}


NOTHING_KNOWN: Mapping[str, MarkedAnswer] = {}


def all_cases(unit: str, seed: str) -> Cases:
    """Return all cases of a unit's exercises for one class: the public ones, then the secret."""
    return {
        one.exercise.id: public_cases(one.exercise.id) + secret_cases(one, seed)
        for one in unit_items(unit[:2])
    }


class Examiner:
    """Everything needed to examine the hand-ins of one unit for one class.

    Making one takes a moment: it works out the secret cases from the seed. It is
    then used for every hand-in, by several threads at once, and never changes.
    """

    def __init__(
        self, unit: str, seed: str, launcher: Launcher | None, cases: Cases | None = None
    ) -> None:
        self._launcher = launcher
        self._items = tuple(one.exercise for one in unit_items(unit[:2]))
        self._cases = all_cases(unit, seed) if cases is None else cases
        released = read_workbook(unit)
        self._released = {grade_name(cell): cell.source for cell in released.cells}
        self._texts = tuple(
            TextAnswer(grade_name(cell), float(cell.metadata["nbgrader"]["points"]))
            for cell in released.cells
            if is_marked_by_hand(cell)
        )
        self._release = release_name(unit)

    def examine(
        self, hand_in: HandIn, known: Mapping[str, MarkedAnswer] = NOTHING_KNOWN
    ) -> MarkedHandIn:
        """Mark every answer of a hand-in; a fault in one never touches another.

        An exercise whose id is in `known` is not run again: that answer is taken as it is.
        """
        answers = tuple(
            known.get(item.id) or self._examine_answer(hand_in, item) for item in self._items
        )
        there = {cell.name for cell in hand_in.notebook.cells}
        texts = tuple(
            text
            for text in self._texts
            if text.name in there
            and is_cell_edited(hand_in.notebook, text.name, self._released[text.name])
        )
        return MarkedHandIn(hand_in.student, hand_in.unit, answers, self._notes(hand_in), texts)

    def _notes(self, hand_in: HandIn) -> tuple[str, ...]:
        notes = list(hand_in.notes)
        notebook = hand_in.notebook
        if notebook.release != self._release:
            was = notebook.release or "unknown"
            notes.append(f"made from another release ({was}); marked by the cases of this one")
        edited = [
            item.id
            for item in self._items
            if is_cell_edited(notebook, item.mark_name, self._released[item.mark_name])
        ]
        if edited:
            notes.append(
                "check cells edited or missing (" + ", ".join(edited) + "); ours were used"
            )
        return tuple(notes)

    def _examine_answer(self, hand_in: HandIn, item: Exercise) -> MarkedAnswer:
        found = find_answer(hand_in.notebook, item, self._released[item.cell_name])
        notes = [found.note] if found.note else []
        if found.state != "found":
            return _unmarked(item, found)
        code, above = hand_in.notebook.code, hand_in.notebook.above(item.mark_name)
        answer = stand_alone(item.function, code, above) or StandAlone(found.source)
        if answer.cell not in ("", found.source):
            notes.append(f"{item.function} is defined again in another cell, which counts")
        borrowed = library_uses(answer.whole, item.may_use)
        source = answer.cell or found.source
        if borrowed:
            note = f"the answer calls {listed(borrowed)} in place of own work"
            verdict = without_run(item, Outcome.NO_ANSWER, note)
            return MarkedAnswer(verdict, source, (*notes, note))
        verdict = self._judge(item, answer)
        return MarkedAnswer(verdict, source, (*notes, *notes_on(answer)))

    def _judge(self, item: Exercise, answer: StandAlone) -> Verdict:
        cases = self._cases[item.id]
        try:
            run = run_on(item, answer, cases, self._launcher)
            verdict = _without_secrets(judge(item, cases, run), item, run)
            return _lean(called_alone(answer, verdict, self._launcher))
        except RunnerError as problem:  # in several tries: nobody can tell, and nobody is blamed
            return without_run(item, Outcome.COULD_NOT_TELL, str(problem), points=None)


def _unmarked(item: Exercise, found: FoundAnswer) -> MarkedAnswer:
    outcome = FOUND_NOTHING[found.state]
    points = None if outcome is Outcome.COULD_NOT_TELL else 0.0
    verdict = without_run(item, outcome, found.note, points)
    return MarkedAnswer(verdict, "", (found.note,) if found.note else ())


def _lean(verdict: Verdict) -> Verdict:
    """Keep of what an answer returned only what people are shown: it may be large."""
    if verdict.seen is None:
        return verdict
    return replace(
        verdict, seen=replace(verdict.seen, value=_head(verdict.seen.value, [KEPT_ITEMS]))
    )


def _head(value: Any, left: list[int]) -> Any:
    """Return the head of a value; `left` counts its items down, whatever they are nested in."""
    left[0] -= 1
    if isinstance(value, str):
        return value[:KEPT_ITEMS]
    if isinstance(value, bytes | bytearray):
        left[0] -= len(value) // 8  # a few long ones, or many short ones
        return value[:KEPT_OCTETS]
    if isinstance(value, list | tuple | set):
        return type(value)(_head(item, left) for item in _while_there_are(left, value))
    if isinstance(value, dict):
        return {
            _head(key, left): _head(item, left)
            for key, item in _while_there_are(left, value.items())
        }
    return value


def _while_there_are(left: list[int], items: Iterable[Kept]) -> Iterator[Kept]:
    return takewhile(lambda _: left[0] > 0, items)


def _without_secrets(verdict: Verdict, item: Exercise, run: Run) -> Verdict:
    """Replace the example in a verdict by one from the public cases, or by none."""
    if verdict.first_wrong is None:
        return verdict
    public = public_cases(item.id)
    shown = judge(item, public, replace(run, results=run.results[: len(public)]))
    if shown.first_wrong is not None:
        return replace(verdict, first_wrong=shown.first_wrong, seen=shown.seen,
                       problem=shown.problem)  # fmt: skip
    return replace(
        verdict,
        first_wrong=None,
        seen=None,
        problem=None,
        note=f"the cases in the workbook pass; others about “{verdict.first_wrong.aspect}” do not",
    )
