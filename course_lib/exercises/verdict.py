"""From what an answer returned to what it earned, and which belief it shows.

An aspect earns its points when every one of its cases is right. A misconception is
named when the answer's wrong values are the ones that it gives. If nothing fits,
nothing is named.
"""

__all__ = ["Outcome", "Verdict", "diagnose", "judge", "without_run"]

import enum
from collections.abc import Sequence
from dataclasses import dataclass

from course_lib.exercises.registry import Case, Exercise, Expected
from course_lib.runner.plain_data import same
from course_lib.runner.runner import Problem, Result, Run

Pair = tuple[Case, Result]


class Outcome(enum.Enum):
    """What became of one answer; the text is what people read, and never changes."""

    RIGHT = "right"
    PARTLY_RIGHT = "partly right"
    WRONG = "wrong"
    ERROR = "error"
    OUT_OF_TIME = "out of time"
    NO_ANSWER = "no answer"
    BAD_VALUE = "bad value"
    DAMAGED = "damaged"
    COULD_NOT_TELL = "could not tell"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The judgement on one answer.

    `points` is None where nobody could tell: that is a matter for a person and
    never a zero. `earned` gives the points of each aspect. `first_wrong` and
    `seen` are the first case that is not right and what it gave. `note` says in
    words what no case shows, such as a syntax error.
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


def judge(item: Exercise, cases: Sequence[Case], run: Run) -> Verdict:
    """Judge one run of an answer over `cases`."""
    if run.load_problem is not None:
        return _judge_unloadable(item, run.load_problem)
    if _is_untouched(run.results):
        return without_run(item, Outcome.NO_ANSWER)
    right = [agrees(case.expected, result) for case, result in zip(cases, run.results, strict=True)]
    earned = tuple(
        (
            aspect.name,
            aspect.points if _all_right(aspect.name, cases, right) else 0.0,
            aspect.points,
        )
        for aspect in item.aspects
    )
    points = sum(got for _, got, _ in earned)
    if all(right):
        return Verdict(
            item, Outcome.RIGHT, points, earned, right_cases=len(right), all_cases=len(right),
            printed_octets=run.printed_octets,
        )  # fmt: skip
    first = right.index(False)
    misconception = diagnose(cases, run.results)
    return Verdict(
        item,
        _outcome(points, misconception, cases[first], run.results[first]),
        points,
        earned,
        misconception,
        first_wrong=cases[first],
        seen=run.results[first],
        problem=run.results[first].problem,
        right_cases=sum(right),
        all_cases=len(right),
        printed_octets=run.printed_octets,
    )


def without_run(
    item: Exercise, outcome: Outcome, note: str = "", points: float | None = 0.0
) -> Verdict:
    """Give the verdict on an answer that was never run, and say why in `note`."""
    earned = tuple((aspect.name, 0.0, aspect.points) for aspect in item.aspects)
    return Verdict(item, outcome, points, earned, note=note)


def agrees(expected: Expected, result: Result) -> bool:
    """Tell whether a result is what was expected."""
    if expected.out_of_time:
        return result.kind == "out of time"
    if expected.raises:
        return result.problem is not None and expected.raises in result.problem.kinds
    return result.kind == "value" and same(expected.value, result.value)


def diagnose(cases: Sequence[Case], results: Sequence[Result]) -> str:
    """Name the misconception that explains the wrong results, or return ''.

    One that gives the very same results in all cases is named. So is one that gives
    all the wrong results, two values at least, if no other does: the answer may be
    right by luck where the belief would be wrong. Last, each aspect is looked at
    alone, since an answer may show one belief and leave something else undone.
    """
    pairs = list(zip(cases, results, strict=True))
    wrong = _wrong(pairs)
    name = _only_one(pairs) or (_only_one(wrong) if _values(wrong) >= 2 else "")
    if name:
        return name
    for aspect in dict.fromkeys(case.aspect for case in cases):
        part = [pair for pair in pairs if pair[0].aspect == aspect]
        name = _only_one(part) if _values(_wrong(part)) >= 2 else ""
        if name:
            return name
    return ""


def _only_one(pairs: Sequence[Pair]) -> str:
    """Return the one misconception that gives all these results, or '' if none or several do."""
    names = dict.fromkeys(name for case, _ in pairs for name in case.variants)
    fit = [name for name in names if all(agrees(case.variants[name], got) for case, got in pairs)]
    return fit[0] if len(fit) == 1 else ""


def _wrong(pairs: Sequence[Pair]) -> list[Pair]:
    return [(case, got) for case, got in pairs if not agrees(case.expected, got)]


def _values(pairs: Sequence[Pair]) -> int:
    return sum(got.kind == "value" for _, got in pairs)


def _judge_unloadable(item: Exercise, problem: Problem) -> Verdict:
    outcome = Outcome.OUT_OF_TIME if problem.kind == "out of time" else Outcome.ERROR
    earned = tuple((aspect.name, 0.0, aspect.points) for aspect in item.aspects)
    return Verdict(item, outcome, 0.0, earned, problem=problem, note=problem.message)


def _is_untouched(results: Sequence[Result]) -> bool:
    """Tell whether the answer is still the cell as it was handed out."""
    return bool(results) and all(
        got.problem is not None and got.problem.kind == "NotImplementedError" for got in results
    )


def _all_right(aspect: str, cases: Sequence[Case], right: Sequence[bool]) -> bool:
    chosen = [ok for case, ok in zip(cases, right, strict=True) if case.aspect == aspect]
    return bool(chosen) and all(chosen)


def _outcome(points: float, misconception: str, case: Case, got: Result) -> Outcome:
    if points > 0:
        return Outcome.PARTLY_RIGHT
    if misconception:
        return Outcome.WRONG
    if got.kind == "out of time":
        return Outcome.OUT_OF_TIME
    if got.kind in ("raised", "died"):
        return Outcome.ERROR
    if got.kind == "not plain" or _is_other_type(case.expected, got):
        return Outcome.BAD_VALUE
    return Outcome.WRONG


def _is_other_type(expected: Expected, got: Result) -> bool:
    """Tell whether the value is of a type that the contract does not allow."""
    if expected.raises:
        return False
    return not _alike(expected.value, got.value)


def _alike(expected: object, given: object) -> bool:
    whole = (bool, int)
    if isinstance(expected, whole):
        return isinstance(given, whole)
    return type(expected) is type(given)
