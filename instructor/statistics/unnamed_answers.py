"""Wrong answers that show no belief with a name, together with those that return the same.

Several people who go wrong in just the same way may share a belief that nobody has written down
yet. The largest such groups are offered to whoever writes the course, with one example. Two answers
are alike if the same case is the first to go wrong in both, both return the same there, both earn
the same in each aspect, and both get as many cases right.

The example is code alone: comments and texts in it are left out, and whoever's code names a student
is no example. Nobody's id is in what comes out of here.
"""

__all__ = ["FEWEST_ALIKE", "UnnamedGroup", "unnamed_groups"]

import ast
import copy
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from course_lib.exercises.case_in_words import case_in_words
from course_lib.exercises.cells.cell_text import parse_cell
from course_lib.exercises.registry import Exercise, public_cases
from course_lib.exercises.verdict import Outcome, Verdict
from instructor.grading.marked import BatchResult, MarkedAnswer
from instructor.reporting.class_report import NOT_TRIED, SMALLEST_GROUP
from instructor.reporting.intervals import Estimate, wilson

FEWEST_ALIKE = 3
MOST_LINES = 16  # of an example
LONGEST_CODE = 20_000  # characters; a longer answer is no example


@dataclass(frozen=True, slots=True)
class UnnamedGroup:
    """Answers to one exercise that go wrong alike: how many of the `tried`, and an example.

    `case` says what one call returned and what was right; '' where that case is secret. `example`
    may be ''.
    """

    exercise: Exercise
    students: int
    tried: int
    share: Estimate
    case: str
    right_cases: int
    all_cases: int
    example: str


def unnamed_groups(result: BatchResult) -> tuple[UnnamedGroup, ...]:
    """Return the groups of three or more, the largest first."""
    ids = {one.student for one in result.marked}
    tried: dict[Exercise, int] = {}
    alike: dict[tuple[object, ...], list[MarkedAnswer]] = {}
    for answer in (answer for one in result.marked for answer in one.answers):
        verdict = answer.verdict
        if verdict.outcome in NOT_TRIED:
            continue
        tried[verdict.exercise] = tried.get(verdict.exercise, 0) + 1
        if _goes_wrong_without_a_name(verdict):
            alike.setdefault(_what_it_does(verdict), []).append(answer)
    groups = [
        _group(answers, tried[answers[0].verdict.exercise], ids)
        for answers in alike.values()
        if len(answers) >= FEWEST_ALIKE and tried[answers[0].verdict.exercise] >= SMALLEST_GROUP
    ]
    return tuple(sorted(groups, key=lambda one: (-one.students, one.exercise.unit, one.case)))


def _goes_wrong_without_a_name(verdict: Verdict) -> bool:
    """Tell what returned, or refused, something else: an accident shows no belief."""
    seen = verdict.seen
    if verdict.outcome is Outcome.RIGHT or verdict.misconception or verdict.either or seen is None:
        return False
    return seen.kind == "value" or (seen.problem is not None and seen.problem.on_purpose)


def _what_it_does(verdict: Verdict) -> tuple[object, ...]:
    case, seen = verdict.first_wrong, verdict.seen
    assert case is not None
    assert seen is not None
    returned = repr(seen.value) if seen.problem is None else seen.problem.kind
    earned = tuple(got for _, got, _ in verdict.earned)
    return (
        verdict.exercise.id, repr(case.arguments), returned, earned, verdict.right_cases,
        verdict.all_cases,
    )  # fmt: skip


def _group(answers: Sequence[MarkedAnswer], tried: int, ids: Iterable[str]) -> UnnamedGroup:
    verdict = answers[0].verdict
    return UnnamedGroup(
        exercise=verdict.exercise,
        students=len(answers),
        tried=tried,
        share=wilson(len(answers), tried),
        case=_public_case(verdict),
        right_cases=verdict.right_cases,
        all_cases=verdict.all_cases,
        example=min(_examples(answers, ids), key=len, default=""),
    )


def _public_case(verdict: Verdict) -> str:
    """Say what the first wrong case gave, if anybody may know it: the page gets about."""
    case, seen = verdict.first_wrong, verdict.seen
    assert case is not None
    assert seen is not None
    asked = repr(case.arguments)
    is_public = any(repr(one.arguments) == asked for one in public_cases(verdict.exercise.id))
    return case_in_words(verdict.exercise, case, seen) if is_public else ""


def _examples(answers: Iterable[MarkedAnswer], ids: Iterable[str]) -> Iterator[str]:
    for answer in answers:
        code = _code_alone(answer.source)
        if code and not any(one.casefold() in code.casefold() for one in ids):
            yield code


def _code_alone(source: str) -> str:
    """Return the functions of an answer without comments, texts that stand alone, and prints."""
    tree = parse_cell(source) if len(source) <= LONGEST_CODE else None
    if tree is None:
        return ""
    functions = (one for one in tree.body if isinstance(one, ast.FunctionDef | ast.ClassDef))
    kept = [_without_texts(copy.deepcopy(one)) for one in functions]  # trees are shared
    lines = "\n\n".join(ast.unparse(one) for one in kept).splitlines()
    return "\n".join([*lines[:MOST_LINES], *(["..."] if len(lines) > MOST_LINES else [])])


def _without_texts(function: ast.stmt) -> ast.stmt:
    for node in ast.walk(function):
        for name in ("body", "orelse", "finalbody"):
            if isinstance(body := getattr(node, name, None), list):
                own = [one for one in body if not _only_says(one)]
                setattr(node, name, own or ([ast.Pass()] if name == "body" else []))
    return function


def _only_says(node: ast.AST) -> bool:
    if not isinstance(node, ast.Expr):
        return False
    value = node.value
    if isinstance(value, ast.Call):
        return isinstance(value.func, ast.Name) and value.func.id == "print"
    return isinstance(value, ast.Constant)
