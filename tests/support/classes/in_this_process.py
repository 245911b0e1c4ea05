"""Put cases of an exercise to a function that is trusted, in this very process."""

import gc
import math
import signal
from collections.abc import Callable, Sequence
from types import ModuleType
from typing import Any

from course_lib.exercises.registry import Exercise, Expected
from course_lib.runner.drivers import DRIVERS
from course_lib.runner.lent import ArgumentChangedError
from course_lib.runner.plain_data import NotPlainError, decode, encode
from course_lib.runner.runner import EncodedCases, Problem, Result
from instructor.units.items import as_expected, source_of


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


OUT_OF_TIME = Result("out of time")
LEND_ALL = ("call", "operate")  # drivers that see to it that no argument is changed


class TooLongError(BaseException):
    """A case has computed for as long as it may."""


def _stop(*_: object) -> None:
    raise TooLongError


class CasesHere:
    """Cases of an exercise that many trusted functions are put to, in this process.

    To rebuild their arguments takes longer than most functions. So these are rebuilt once for all
    functions, where the driver sees to it that they are left as they were.
    """

    def __init__(self, shape: Exercise, asked: EncodedCases) -> None:
        self.asked = asked
        self._shape = shape
        self._left: dict[int, list[Any]] = {}  # arguments that nobody changed, by their case

    def results(
        self, function: Callable[..., Any], limit_s: float, timeouts: float = math.inf
    ) -> list[Result]:
        """Return what comes of each case, or that it computed for so long without an end.

        After so many `timeouts`, no more cases are tried. Garbage is not looked for meanwhile: in a
        process of ten thousand tests that alone takes longer.
        """
        results: list[Result] = []
        gc.disable()
        before = signal.signal(signal.SIGVTALRM, _stop)
        try:
            for place in range(len(self.asked)):
                gone_on = timeouts > 0
                results.append(self._result(function, place, limit_s) if gone_on else OUT_OF_TIME)
                timeouts -= results[-1] is OUT_OF_TIME
            return results
        finally:
            signal.signal(signal.SIGVTALRM, before)
            gc.enable()

    def _result(self, function: Callable[..., Any], place: int, limit_s: float) -> Result:
        arguments = self._left.pop(place, None)
        if arguments is None:
            arguments = [decode(argument) for argument in self.asked[place]]
        signal.setitimer(signal.ITIMER_VIRTUAL, limit_s)
        try:
            result = result_of_case(self._shape, function, arguments)
        except TooLongError:
            return OUT_OF_TIME
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        if self._shape.driver in LEND_ALL and result.kind != "changed":
            self._left[place] = arguments
        return result


class EvaluateHere:
    """Does what `items.evaluate` does, for functions that are trusted."""

    def __init__(self) -> None:
        self._cases: CasesHere | None = None  # those of the function before: mostly the same

    def __call__(
        self, shape: Exercise, function: Callable[..., Any], asked: EncodedCases, share: float = 1.0
    ) -> tuple[Expected, ...]:
        """Return what a function gives for each case.

        Nearly all functions end, so each may take its whole time, whatever `share` is said to do.
        """
        if self._cases is None or self._cases.asked is not asked:
            self._cases = CasesHere(shape, asked)
        limit_s = max(share, 1.0) * shape.time_limit_s
        results = self._cases.results(anew(function), limit_s)
        return tuple(as_expected(function, result) for result in results)


def anew(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function as a process of its own would have it.

    Some keep what they were asked, by mistake: that is the misconception. Here they would remember
    what other tests have asked before.
    """
    module = ModuleType("answer")
    exec(source_of(function), module.__dict__)  # ours: nobody else's is evaluated here
    made: Callable[..., Any] = module.__dict__[function.__name__]
    return made
