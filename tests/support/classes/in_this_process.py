"""Put one case of an exercise to a function that is trusted, in this very process."""

from collections.abc import Callable, Sequence
from typing import Any

from course_lib.exercises.registry import Exercise
from course_lib.runner.drivers import DRIVERS
from course_lib.runner.plain_data import decode, encode
from course_lib.runner.runner import Problem, Result


def result_of_case(one: Exercise, function: Callable[..., Any], arguments: Sequence[Any]) -> Result:
    """Return what `runner.run_answer` would, had it started a process for the function."""
    try:
        value = DRIVERS[one.driver](function, *arguments)
    except Exception as problem:
        kinds = tuple(kind.__name__ for kind in type(problem).__mro__)
        return Result("raised", problem=Problem(kinds, str(problem), None))
    return Result("value", decode(encode(value)))
