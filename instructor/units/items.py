"""Everything the teaching staff knows about one exercise, in one value.

Each unit has a folder (`unit_NN`): the model answers (`answers`), other right answers
(`other_answers`), the misconceptions as code (`misconceptions`) and the questions
(`cases`). An `Item` joins what these say about one exercise.
"""

__all__ = [
    "SHARE",
    "Evaluate",
    "Item",
    "Question",
    "all_items",
    "as_expected",
    "evaluate",
    "item",
    "secret_cases",
    "secret_questions",
    "source_of",
    "unit_items",
]

import ast
import functools
import importlib
import inspect
import random
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.registry import UNITS, Case, Exercise, Expected, exercise, unit_exercises
from course_lib.runner.plain_data import decode, encode
from course_lib.runner.runner import (
    EncodedCases,
    Limits,
    Result,
    StandAlone,
    encoded,
    run_answer,
)

Function = Callable[..., Any]
SHARE = 0.25  # of its time is enough to see that a mistake runs for ever


@dataclass(frozen=True, slots=True)
class Question:
    """One input: the aspect it tests, where it is from, and perhaps a published result.

    `published` is compared with the model answer when cases are built; leave it
    None where no source prints the result.
    """

    aspect: str
    arguments: tuple[Any, ...]
    source: str = "computed by the model answer"
    published: Expected | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One exercise with its answers, its misconceptions and its questions."""

    exercise: Exercise
    answer: Function
    others: tuple[Function, ...]
    misconceptions: Mapping[str, Function]
    public: tuple[Question, ...]
    secret: Callable[[random.Random], Sequence[Question]]


def all_items() -> tuple[Item, ...]:
    """Return the items of all units, in the order of the course."""
    return tuple(one for unit in UNITS for one in unit_items(unit))


@functools.cache
def unit_items(unit: str) -> tuple[Item, ...]:
    """Return the items of one unit, given by its number ("01")."""
    return tuple(_item(unit, one) for one in unit_exercises(unit))


def item(exercise_id: str) -> Item:
    """Return the item of one exercise; raise `LookupError` if there is none."""
    place = exercise(exercise_id)
    return next(one for one in unit_items(place.unit[:2]) if one.exercise == place)


@functools.cache
def source_of(function: Function, name: str | None = None) -> str:
    """Return source that stands alone and defines `function`, also under `name`.

    This is what a student would have had to type into the answer's cell. Modules are long, and
    the same functions are asked for again and again, so what was found is kept.
    """
    module = inspect.getmodule(function)
    assert module is not None
    answer = stand_alone(function.__name__, _cells_of(module.__name__))
    assert answer is not None
    parts = [re.sub(r"\n{3,}", "\n\n\n", answer.whole.strip("\n")) + "\n"]
    if name and name != function.__name__:
        parts.append(f"{name} = {function.__name__}\n")
    return "\n\n".join(parts)


@functools.cache
def _cells_of(module: str) -> tuple[str, ...]:
    """Return a module behind those of the units that it imports, all without these imports."""
    source = inspect.getsource(importlib.import_module(module))
    tree = ast.parse(source)
    own = [
        one for one in tree.body
        if isinstance(one, ast.ImportFrom) and (one.module or "").startswith(__package__ + ".unit_")
    ]  # fmt: skip
    if not own:
        return (source,)
    tree.body = [one for one in tree.body if one not in own]
    return (*(cell for one in own for cell in _cells_of(str(one.module))), ast.unparse(tree))


class Evaluate(Protocol):
    """Work out what a function gives for each case of an exercise."""

    def __call__(
        self, shape: Exercise, function: Function, asked: EncodedCases, share: float = 1.0
    ) -> tuple[Expected, ...]:
        """Return it in the order of the cases; `share` of an answer's time is enough."""


def evaluate(
    shape: Exercise, function: Function, asked: EncodedCases, share: float = 1.0
) -> tuple[Expected, ...]:
    """Return what a function gives for each case, run as a student's answer is run.

    `share` of the time that an answer has is enough for it.
    """
    run = run_answer(
        StandAlone(source_of(function)),
        function.__name__,
        asked,
        driver=shape.driver,
        limits=Limits(case_s=share * shape.time_limit_s, timeouts=len(asked)),
        may_use=shape.may_use,
    )
    if run.load_problem is not None:
        raise RuntimeError(f"{function.__name__} cannot be run: {run.load_problem.message}")
    return tuple(as_expected(function, result) for result in run.results)


def cases_for(
    one: Item,
    questions: Sequence[Question],
    names: Sequence[str] | None = None,
    work_out: Evaluate = evaluate,
) -> tuple[Case, ...]:
    """Return questions with what is right and what each misconception would give.

    `names` limits the misconceptions that are worked out.
    """
    asked = encoded(question.arguments for question in questions)
    right = work_out(one.exercise, one.answer, asked)
    wrong = {
        name: work_out(one.exercise, one.misconceptions[name], asked, SHARE)
        for name in (one.misconceptions if names is None else names)
    }
    return tuple(
        Case(
            aspect=question.aspect,
            arguments=tuple(map(decode, asked[place])),  # tuples as lists, as an answer gets them
            expected=as_control(one.exercise, question.aspect, right[place]),
            source=question.source,
            variants={name: results[place] for name, results in wrong.items()},
        )
        for place, question in enumerate(questions)
    )


def as_control(shape: Exercise, aspect: str, right: Expected) -> Expected:
    """Return what is right, or any value where an aspect asks only what is refused."""
    only_refusals = any(one.name == aspect and one.refusals for one in shape.aspects)
    return replace(right, any_value=only_refusals and not right.raises)


def after_a_trip(value: Any) -> Any:
    """Return a value as it reaches an answer: through plain data, tuples as lists."""
    return decode(encode(value))


def secret_cases(one: Item, seed: str, work_out: Evaluate = evaluate) -> tuple[Case, ...]:
    """Return the secret cases of a batch: the same seed gives the same cases, in the same order.

    Those on which a known mistake runs for ever are asked last: after some time-outs no more is.
    """
    cases = cases_for(one, secret_questions(one, seed), work_out=work_out)
    return tuple(sorted(cases, key=_may_run_for_ever))


def secret_questions(one: Item, seed: str) -> list[Question]:
    """Draw the secret questions of a batch; one that is public by chance is left out.

    They come in an order of the seed's own, so that no result can be known by its place.
    """
    public = {repr(question.arguments) for question in one.public}
    rng = random.Random(f"{one.exercise.id} {seed}")
    drawn = [each for each in one.secret(rng) if repr(each.arguments) not in public]
    rng.shuffle(drawn)
    return drawn


def _may_run_for_ever(case: Case) -> bool:
    return any(given.out_of_time for given in case.variants.values())


def _item(unit: str, shape: Exercise) -> Item:
    answers = _module("answers", unit)
    others = _module("other_answers", unit)
    wrong = _module("misconceptions", unit)
    cases = _module("cases", unit)
    return Item(
        exercise=shape,
        answer=getattr(answers, shape.function),
        others=tuple(others.OTHERS[shape.id]),
        misconceptions=wrong.MISCONCEPTIONS[shape.id],
        public=tuple(cases.PUBLIC[shape.id]),
        secret=cases.SECRET[shape.id],
    )


def _module(kind: str, unit: str) -> Any:
    return importlib.import_module(f"{__package__}.unit_{unit}.{kind}")


def as_expected(function: Function, result: Result) -> Expected:
    """Return a result as what is expected from now on; it must be plain data, or an exception."""
    if result.kind == "value":
        return Expected(value=result.value)
    if result.problem is not None:
        return Expected(raises=result.problem.kind)
    if result.kind == "out of time":
        return Expected(out_of_time=True)
    raise RuntimeError(f"{function.__name__} gave no plain value: {result.note}")
