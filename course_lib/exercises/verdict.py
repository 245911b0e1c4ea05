"""From what an answer returned to what it earned, and which belief it shows.

An aspect earns its points when every one of its cases is right, each time that it was asked. A
belief is named only if all evidence fits it (`beliefs`); if nothing fits, nothing is named.
"""

__all__ = ["Outcome", "Verdict", "judge", "same_result", "without_run"]

import enum
from collections.abc import Sequence
from dataclasses import dataclass, replace

from course_lib.exercises.beliefs import agrees, beliefs_shown
from course_lib.exercises.calls import call_text
from course_lib.exercises.registry import Case, Exercise
from course_lib.runner.plain_data import same
from course_lib.runner.runner import Problem, Result, Run

SHORT = 240  # characters of a case's arguments that are easily read


class Outcome(enum.Enum):
    """What became of one answer; the text is what people read, and never changes."""

    RIGHT = "right"
    PARTLY_RIGHT = "partly right"
    WRONG = "wrong"
    ERROR = "error"
    OUT_OF_TIME = "out of time"
    TWO_RUNS_DIFFER = "two runs differ"
    NO_ANSWER = "no answer"
    BAD_VALUE = "bad value"
    DAMAGED = "damaged"
    COULD_NOT_TELL = "could not tell"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The judgement on one answer.

    `points` is None where nobody could tell: that is a matter for a person and
    never a zero. `earned` gives the points of each aspect. `misconception` is the one
    belief that all evidence fits; where two do that no case tells apart, it is empty and
    `either` names both. `first_wrong` and `seen` are a case that is not right and what it
    gave. `note` says in words what no case shows, such as a syntax error, or which call two runs
    differ about.
    """

    exercise: Exercise
    outcome: Outcome
    points: float | None
    earned: tuple[tuple[str, float, float], ...] = ()
    misconception: str = ""
    first_wrong: Case | None = None
    seen: Result | None = None
    problem: Problem | None = None
    note: str = ""
    right_cases: int = 0
    all_cases: int = 0
    printed_octets: int = 0
    either: tuple[str, ...] = ()


def judge(item: Exercise, cases: Sequence[Case], run: Run, again: Sequence[Result] = ()) -> Verdict:
    """Judge one run of an answer over `cases`, and what these gave when they were asked `again`."""
    if run.load_problem is not None:
        return _judge_unloadable(item, run.load_problem)
    if _is_untouched(run.results):
        return without_run(item, Outcome.NO_ANSWER)
    first_right = _right(item, cases, run.results)
    differ = _different(item, cases, run.results, again) if again else []
    right = [one and place not in differ for place, one in enumerate(first_right)]
    earned = tuple(
        (
            aspect.name,
            aspect.points if _all_right(aspect.name, cases, right) else 0.0,
            aspect.points,
        )
        for aspect in item.aspects
    )
    points = sum(got for _, got, _ in earned)
    verdict = Verdict(
        item, Outcome.RIGHT, points, earned, right_cases=sum(right), all_cases=len(right),
        printed_octets=run.printed_octets,
    )  # fmt: skip
    if all(right):
        return verdict
    names = () if all(first_right) else beliefs_shown(item, cases, run.results)
    if differ and not names:
        call = min((call_text(item, cases[place].arguments) for place in differ), key=len)
        return replace(verdict, outcome=Outcome.TWO_RUNS_DIFFER, note=_short(call))
    first = _to_be_shown(cases, first_right, run.results)
    return replace(
        verdict,
        outcome=_outcome(points, bool(names), item, cases, run.results[first]),
        misconception=names[0] if len(names) == 1 else "",
        either=names if len(names) == 2 else (),
        first_wrong=cases[first],
        seen=run.results[first],
        problem=run.results[first].problem,
    )


def without_run(
    item: Exercise, outcome: Outcome, note: str = "", points: float | None = 0.0
) -> Verdict:
    """Give the verdict on an answer that was never run, and say why in `note`."""
    earned = tuple((aspect.name, 0.0, aspect.points) for aspect in item.aspects)
    return Verdict(item, outcome, points, earned, note=note)


def same_result(one: Result, other: Result) -> bool:
    """Tell whether two results of one case are the same: values, or kinds of exceptions."""
    if one.problem is not None and other.problem is not None:
        return one.problem.kinds == other.problem.kinds
    return one.kind == other.kind and same(one.value, other.value, whole=True)


def _judge_unloadable(item: Exercise, problem: Problem) -> Verdict:
    outcome = Outcome.OUT_OF_TIME if problem.kind == "out of time" else Outcome.ERROR
    earned = tuple((aspect.name, 0.0, aspect.points) for aspect in item.aspects)
    return Verdict(item, outcome, 0.0, earned, problem=problem, note=problem.message)


def _right(item: Exercise, cases: Sequence[Case], results: Sequence[Result]) -> list[bool]:
    return [
        agrees(case.expected, result, whole=item.whole)
        for case, result in zip(cases, results, strict=True)
    ]


def _different(
    item: Exercise, cases: Sequence[Case], one: Sequence[Result], other: Sequence[Result]
) -> list[int]:
    """Return the cases of which only one result is right, or two wrong ones are not the same.

    Whether an answer that never comes back is ended by its time or by itself is up to chance.
    """
    right = zip(_right(item, cases, one), _right(item, cases, other), strict=True)
    return [
        place for place, (first, second) in enumerate(right)
        if first != second
        or not (
            first
            or same_result(one[place], other[place])
            or {one[place].kind, other[place].kind} <= {"out of time", "died"}
        )
    ]  # fmt: skip


def _short(call: str) -> str:
    return call if len(call) <= SHORT else f"{call[:SHORT]} ..."


def _is_untouched(results: Sequence[Result]) -> bool:
    """Tell whether the answer is still the cell as it was handed out."""
    return bool(results) and all(
        got.problem is not None and got.problem.kind == "NotImplementedError" for got in results
    )


def _all_right(aspect: str, cases: Sequence[Case], right: Sequence[bool]) -> bool:
    chosen = [ok for case, ok in zip(cases, right, strict=True) if case.aspect == aspect]
    return bool(chosen) and all(chosen)


def _to_be_shown(cases: Sequence[Case], right: Sequence[bool], results: Sequence[Result]) -> int:
    """Choose the wrong case that people are shown: the first of its aspect that is short.

    One that was tried, if there is any.
    """
    wrong = [number for number, ok in enumerate(right) if not ok]
    wrong = [number for number in wrong if results[number].was_tried] or wrong
    wrong = [number for number in wrong if cases[number].aspect == cases[wrong[0]].aspect]
    lengths = {number: len(repr(cases[number].arguments)) for number in wrong}
    short = [number for number in wrong if lengths[number] <= SHORT]
    return short[0] if short else min(wrong, key=lambda number: lengths[number])


def _outcome(
    points: float, named: bool, item: Exercise, cases: Sequence[Case], got: Result
) -> Outcome:
    if points > 0:
        return Outcome.PARTLY_RIGHT
    if named or got.kind == "changed" or (got.problem is not None and got.problem.on_purpose):
        return Outcome.WRONG
    if got.kind == "out of time":
        return Outcome.OUT_OF_TIME
    if got.kind in ("raised", "died"):
        return Outcome.ERROR
    if got.kind == "not plain" or _kind(got.value, item.whole) not in {
        _kind(case.expected.value, item.whole) for case in cases if not case.expected.raises
    }:
        return Outcome.BAD_VALUE
    return Outcome.WRONG


def _kind(value: object, whole: bool) -> str:
    """Name a value's type, as the contract of an exercise tells types apart."""
    if isinstance(value, int | float) and not (whole and isinstance(value, float)):
        return "number"
    return "octets" if isinstance(value, bytes | bytearray) else type(value).__name__
