"""Examine one hand-in: find each answer, run it apart, judge what comes back.

Public cases come first, those with the student's own numbers among them, in a process that knows
no others; then the secret ones; then all once more, in another order. Whatever a student is shown
in the answer's own words (values, texts of exceptions, how much was printed) was said before any
secret case had been asked. If a process cannot be started, that is our fault: it is tried again,
and if it still fails, nobody can tell, which is not a zero.
"""

__all__ = ["Cases", "Examiner", "all_cases"]

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import takewhile
from typing import Any, TypeVar

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.asked_again import Ask, asked_again
from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import Case, Exercise, public_cases
from course_lib.exercises.tried_answer import called_alone, look_for, run_on
from course_lib.exercises.verdict import Outcome, Verdict, judge, without_run
from course_lib.runner.answer_process import Launcher, RunnerError
from course_lib.runner.runner import Result, Run, StandAlone
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import FoundAnswer, find_answer, is_cell_edited
from instructor.grading.marked import MarkedAnswer, MarkedHandIn, TextAnswer
from instructor.release.workbook_files import (
    grade_name,
    is_marked_by_hand,
    plain_master,
    release_name,
)
from instructor.units.items import secret_cases, unit_items
from instructor.units.ours_in_place import better_of, leant_on, with_ours

Cases = Mapping[str, tuple[Case, ...]]  # by the exercise's id
Kept = TypeVar("Kept")

KEPT_ITEMS = 200  # of what an answer returned, and characters of each text
KEPT_OCTETS = 1_500  # of what it returned in octets: the part that differs is shown
FOUND_NOTHING = {
    "no answer": Outcome.NO_ANSWER,
    "damaged": Outcome.DAMAGED,
    "could not tell": Outcome.COULD_NOT_TELL,
}

NOT_RUN_AGAIN = Result("died", note="the cell could not be run again")
NOT_TRIED = Result("out of time", note="not tried after earlier time-outs")
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
        self._seed = seed
        self._items = tuple(one.exercise for one in unit_items(unit[:2]))
        self._cases = all_cases(unit, seed) if cases is None else cases
        released = plain_master(unit)
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

        An exercise whose id is in `known` is not run again: that answer is taken as it is, unless
        it leans on another that is.
        """
        answers: list[MarkedAnswer] = []
        anew: set[str] = set()  # functions whose marks may differ from when the rest became known
        for item in self._items:
            one = known.get(item.id)
            if one is None or (anew and anew & self._added(hand_in, item)):
                one = self._examine_answer(hand_in, item, answers)
                anew.add(item.function)
            answers.append(one)
        there = {cell.name for cell in hand_in.notebook.cells}
        texts = tuple(
            text
            for text in self._texts
            if text.name in there
            and is_cell_edited(hand_in.notebook, text.name, self._released[text.name])
        )
        return MarkedHandIn(
            hand_in.student, hand_in.unit, tuple(answers), self._notes(hand_in), texts
        )

    def _added(self, hand_in: HandIn, item: Exercise) -> frozenset[str]:
        """Return the names that an answer needs from other cells."""
        notebook = hand_in.notebook
        answer = stand_alone(item.function, notebook.code, notebook.above(item.mark_name))
        return frozenset(() if answer is None else answer.added)

    def _notes(self, hand_in: HandIn) -> tuple[str, ...]:
        notes = list(hand_in.notes)
        notebook = hand_in.notebook
        if notebook.release != self._release and not hand_in.is_earlier:
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

    def _examine_answer(
        self, hand_in: HandIn, item: Exercise, earlier: Sequence[MarkedAnswer]
    ) -> MarkedAnswer:
        found = find_answer(hand_in.notebook, item, self._released[item.cell_name])
        notes = [found.note] if found.note else []
        if found.state != "found":
            return _unmarked(item, found)
        code, above = hand_in.notebook.code, hand_in.notebook.above(item.mark_name)
        answer, decided, more = look_for(item, code, above)
        if answer is None or decided is not None:
            verdict = decided or without_run(item, Outcome.NO_ANSWER)
            source = found.source if answer is None else answer.cell
            return MarkedAnswer(verdict, source, (*notes, verdict.note))
        if answer.cell != found.source:
            notes.append(f"{item.function} is defined again in another cell, which counts")
        own = own_cases(item.id, hand_in.own_code)
        verdict = self._judge(item, answer, own)
        lent = leant_on(answer, [one.verdict for one in earlier])
        if lent and verdict.points not in (None, item.points) and self._launcher is not None:
            with_lent = stand_alone(item.function, with_ours(code, lent), above + 1)
            if with_lent is not None:
                verdict, said = better_of(verdict, self._judge(item, with_lent, own), lent)
                more = (*more, said) if said else more
        return MarkedAnswer(verdict, answer.cell, (*notes, *more))

    def _judge(self, item: Exercise, answer: StandAlone, own: Sequence[Case]) -> Verdict:
        ours, shipped = self._cases[item.id], len(public_cases(item.id))
        public = (*ours[:shipped], *own)
        cases = (*public, *ours[shipped:])
        ask = partial(run_on, item, answer, launcher=self._launcher)
        try:
            run = ask(public)
            shown = called_alone(answer, judge(item, public, run), self._launcher)
            run = _with_the_secret(cases, run, ask)
            again = asked_again(item, cases, run, ask, self._seed)
            return _lean(_without_secrets(judge(item, cases, run, again), shown))
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


def _with_the_secret(cases: Sequence[Case], run: Run, ask: Ask) -> Run:
    """Ask the cases behind the public ones; not where an aspect is lost for want of time."""
    if run.load_problem is not None:
        return run
    public = zip(cases, run.results, strict=False)
    late = {case.aspect for case, result in public if result.kind == "out of time"}
    secret = cases[len(run.results) :]
    asked = [case for case in secret if case.aspect not in late]
    given = iter(ask(asked).results or [NOT_RUN_AGAIN] * len(asked))
    results = (NOT_TRIED if case.aspect in late else next(given) for case in secret)
    return replace(run, results=(*run.results, *results))


def _without_secrets(verdict: Verdict, public: Verdict) -> Verdict:
    """Let a verdict say of an answer only what the verdict on public cases says."""
    if verdict.outcome is Outcome.TWO_RUNS_DIFFER:
        return replace(verdict, note="One call or more")
    if verdict.first_wrong is None:
        return verdict
    others = f"the cases in the workbook pass; others about “{verdict.first_wrong.aspect}” do not"
    return replace(
        verdict,
        first_wrong=public.first_wrong,
        seen=public.seen,
        problem=public.problem,
        note=others if public.first_wrong is None else public.note,
    )
