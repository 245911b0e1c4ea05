"""Put cases of an exercise to a function that is trusted, in this very process."""

from collections.abc import Callable, Sequence
from typing import Any

from course_lib.exercises.registry import Exercise, Expected
from course_lib.runner.drivers import DRIVERS
from course_lib.runner.lent import ArgumentChangedError
from course_lib.runner.plain_data import NotPlainError, decode, encode
from course_lib.runner.runner import EncodedCases, Problem, Result
from instructor.units.items import as_expected


def result_of_case(one: Exercise, function: Callable[..., Any], arguments: Sequence[Any]) -> Result:
    """Return what `runner.run_answer` would, had it started a process for the function."""
    try:
        value = DRIVERS[one.driver](function, *arguments)
    except ArgumentChangedError as change:
        return Result("changed", note=str(change))
    except Exception as problem:
        kinds = tuple(kind.__name__ for kind in type(problem).__mro__)
        return Result("raised", problem=Problem(kinds, str(problem), None))
    try:
        return Result("value", decode(encode(value)))
    except NotPlainError as problem:
        return Result("not plain", note=str(problem))


def evaluate_here(
    shape: Exercise, function: Callable[..., Any], asked: EncodedCases, share: float = 1.0
) -> tuple[Expected, ...]:
    """Return what `items.evaluate` would, of a function that never loops for ever."""
    return tuple(
        as_expected(function, result_of_case(shape, function, [decode(one) for one in case]))
        for case in asked
    )
