"""Put cases of an exercise to a function that is trusted, in this very process."""

import gc
import signal
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


class TooLongError(BaseException):
    """A case has computed for as long as it may."""


def _stop(*_: object) -> None:
    raise TooLongError


def result_in_time(
    one: Exercise, function: Callable[..., Any], asked: Sequence[Any], limit_s: float
) -> Result:
    """Return what comes of a case as it is sent, or that it computed for so long without an end.

    Garbage is not looked for meanwhile: in a process of ten thousand tests that alone takes longer.
    """
    gc.disable()
    before = signal.signal(signal.SIGVTALRM, _stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, limit_s)
    try:
        return result_of_case(one, function, [decode(argument) for argument in asked])
    except TooLongError:
        return Result("out of time")
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
        gc.enable()


def evaluate_here(
    shape: Exercise, function: Callable[..., Any], asked: EncodedCases, share: float = 1.0
) -> tuple[Expected, ...]:
    """Return what `items.evaluate` would, of a function that is trusted.

    Nearly all of these end, so each may take its whole time, whatever `share` of it is said to do.
    """
    limit_s = max(share, 1.0) * shape.time_limit_s
    return tuple(
        as_expected(function, result_in_time(shape, function, case, limit_s)) for case in asked
    )
