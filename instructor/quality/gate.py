"""Put any source to an exercise's cases, as a student's answer is put to them.

Used to prove the checks sound before a class sees them: right answers pass,
trivial ones earn nothing, misconceptions are named, mutants are noticed.
"""

__all__ = [
    "TRIVIAL",
    "Naming",
    "cases_of_seeds",
    "loops",
    "naming",
    "trivial_verdicts",
    "verdict_on",
]

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from course_lib.exercises.registry import Case, public_cases
from course_lib.exercises.verdict import Verdict, judge
from course_lib.runner.plain_data import encode
from course_lib.runner.runner import (
    EncodedCases,
    Limits,
    Problem,
    Result,
    Run,
    StandAlone,
    encoded,
    run_answer,
)
from instructor.units.items import Evaluate, Item, cases_for, evaluate, secret_questions


@dataclass(frozen=True, slots=True)
class Naming:
    """How one misconception fares over many seeds: how often it fails, and is named."""

    name: str
    seeds: int
    failed: int
    named: int
    named_as_other: tuple[str, ...]


def verdict_on(
    one: Item,
    source: str,
    cases: Sequence[Case],
    case_s: float = 1.0,
    *,
    asked: EncodedCases | None = None,
    share: float = 1.0,
) -> Verdict:
    """Run source that defines the exercise's function, and judge it.

    `asked` are the arguments of the cases as they are sent, if they are known already. `share`
    of the time that an answer has is enough for it.
    """
    shape = one.exercise
    limits = Limits(case_s=share * max(case_s, shape.time_limit_s), timeouts=1)
    asked = encoded(case.arguments for case in cases) if asked is None else asked
    run = run_answer(
        StandAlone(source), shape.function, asked, driver=shape.driver, limits=limits,
        may_use=shape.may_use,
    )  # fmt: skip
    return judge(shape, cases, run)


def cases_of_seeds(
    one: Item,
    seeds: Sequence[str],
    names: Sequence[str] | None = None,
    work_out: Evaluate = evaluate,
) -> list[tuple[Case, ...]]:
    """Return public cases as they are on file and secret ones for each seed, worked out in one go.

    `names` limits the misconceptions that are worked out: one that loops for ever
    costs its time limit in many cases.
    """
    drawn = [secret_questions(one, seed) for seed in seeds]
    public = public_cases(one.exercise.id)
    if names is not None:
        public = tuple(
            replace(case, variants={name: case.variants[name] for name in names}) for case in public
        )
    rest = iter(cases_for(one, [*itertools.chain(*drawn)], names, work_out))
    return [(*public, *itertools.islice(rest, len(batch))) for batch in drawn]


def naming(one: Item, name: str, batches: Sequence[Sequence[Case]]) -> Naming:
    """Count how one misconception fares in the cases of each seed.

    What it gives is already known: each case says so.
    """
    verdicts = [
        judge(one.exercise, cases, Run(tuple(_result(case, name) for case in cases), None, "", 0))
        for cases in batches
    ]
    return Naming(
        name=name,
        seeds=len(batches),
        failed=sum(verdict.points != one.exercise.points for verdict in verdicts),
        named=sum(verdict.misconception == name for verdict in verdicts),
        named_as_other=tuple(sorted({v.misconception for v in verdicts} - {name, ""})),
    )


def loops(one: Item, name: str) -> bool:
    """Tell whether a misconception runs for ever on some public case."""
    return any(case.variants[name].out_of_time for case in public_cases(one.exercise.id))


def _result(case: Case, name: str) -> Result:
    given = case.variants[name]
    if given.raises:
        return Result("raised", problem=Problem((given.raises,), "", None))
    return Result("out of time") if given.out_of_time else Result("value", given.value)


MAKE_OBJECTS = ("operate", "with_parts")  # drivers whose last argument are steps
TRIVIAL = {
    "as handed out": "def {name}(*given):\n    raise NotImplementedError\n",
    "echo of the first argument": "def {name}(*given):\n    return given[0]\n",
    "echo of the last argument": "def {name}(*given):\n    return given[-1]\n",
    "nothing": "def {name}(*given):\n    pass\n",
    "always refuses": "def {name}(*given):\n    raise ValueError\n",
    "length of the first argument": "def {name}(*given):\n    return len(given[0])\n",
}


def trivial_verdicts(one: Item, cases: Sequence[Case]) -> Iterator[tuple[str, Verdict]]:
    """Yield what answers without any thought in them earn: it must be nothing at all.

    What a constant gives for every case is known without running it. Only where a case makes an
    object and calls its methods, it has to be run: one of each type that has no such method.
    """
    name, types = one.exercise.function, set()
    for what, source in TRIVIAL.items():
        yield what, verdict_on(one, source.format(name=name), cases)
    for value in _right_values(one):
        if one.exercise.driver == "call":
            run = Run(tuple(Result("value", value) for _ in cases), None, "", 0)
            verdict = judge(one.exercise, cases, run)
        elif type(value) not in types:
            if one.exercise.driver in MAKE_OBJECTS and not _has_methods(value, cases):
                types.add(type(value))
            source = f"def {name}(*given):\n    return {value!r}\n"
            verdict = verdict_on(one, source, cases)
        yield f"constant {encode(value)}", verdict


def _has_methods(value: Any, cases: Sequence[Case]) -> bool:
    """Tell whether a value has a method that some step of a case calls."""
    steps = [step for case in cases for step in case.arguments[-1]]
    return any(
        isinstance(word, str) and hasattr(value, word) for step in steps for word in step[:2]
    )


def _right_values(one: Item) -> Iterator[Any]:
    """Yield each value that is right for some public case, once."""
    seen: set[str] = set()
    for expected in evaluate(
        one.exercise, one.answer, encoded(question.arguments for question in one.public)
    ):
        text = repr(expected.value)
        if not expected.raises and text not in seen:
            seen.add(text)
            yield expected.value
