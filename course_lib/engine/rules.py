"""Call a rule that somebody is still writing, and say plainly what is wrong with it.

An `OwnRule` stands where a rule of this package would: a loop calls it, compiled or not. It

* stops a call that does not come to an end (see `step_limits`; in plain Python there is also a
  limit of computing time, as far as `course_lib.runner.time_limit` reaches),
* refuses an answer that cannot be meant, and
* lets Ctrl-C through, for which compiled code knows no way of its own.

Compiled code cannot tell in which line it failed. But the same arguments give the same run: so
`run_with_rules` repeats a run that failed in plain Python, where the line is known. If a million
packets went well before, that takes some seconds.
"""

__all__ = ["NonsenseError", "OwnRule", "RuleError", "RuleKind", "run_with_rules"]

import linecache
import traceback
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from types import CodeType, FunctionType
from typing import Any, NamedTuple, TypeVar

import numpy as np

from course_lib.engine.compiled import CannotCompileError, ready
from course_lib.engine.interrupts import InterruptedRunError, compiled_look
from course_lib.engine.machine_types import Counts, Numbers
from course_lib.engine.step_limits import (
    PASSES,
    CannotCountError,
    TooManyPassesError,
    all_helpers,
    new_counter,
    returned_in,
    with_counter,
)
from course_lib.engine.waiting_note import waiting_note
from course_lib.runner.time_limit import CallLimit, TookTooLongError

CALL_LIMIT_S = 1.0  # of computing, for one call in plain Python
_BRACKETS = ("<listcomp>", "<setcomp>", "<dictcomp>", "<genexpr>")  # Python's names for them
_MAX_TEXT = 200  # characters of an answer or of an error's own words that are shown

T = TypeVar("T")


class RuleError(Exception):
    """A rule of one's own failed; the message says where, how, and what it was asked."""


class NonsenseError(Exception):
    """Compiled code met an answer that cannot be meant."""


class RuleKind(NamedTuple):
    """What all rules of one kind share.

    `machine_type` is the kind for `compiled.ready`. `problem(answer, seen)` tells what is wrong
    with an answer, or nothing; `asked(seen)` what the rule was asked about. `guard(rule,
    new_counter, look)` makes the function that is compiled: it calls the rule with a new counter,
    `look` with this counter, and raises NonsenseError for an answer with a problem.
    """

    name: str
    machine_type: Any
    problem: Callable[[Any, Any], str]
    asked: Callable[[Any], str]
    guard: Callable[[Any, Any, Any], Any]


class OwnRule:
    """A student's function as a rule. `reason` says why it is not compiled, if it is not."""

    def __init__(self, function: FunctionType, kind: RuleKind) -> None:
        self.function = function
        self.kind = kind
        self.reason = ""
        self.__name__ = function.__name__
        self.limit: CallLimit | None = None  # of time, within a run in plain Python

    def __call__(self, seen: Any, settings: Numbers, memory: Numbers) -> Any:
        """Ask in plain Python. Raises RuleError."""
        counter = new_counter()
        try:
            if self.limit is None:
                answer = self._counted(counter, seen, settings, memory)
            else:
                answer = self.limit.call(self._counted, counter, seen, settings, memory)
        except TooManyPassesError as error:
            what = f"more than {PASSES:,} passes in one call; the loop seems to have no end"
            raise RuleError(self._told(what, error, seen)) from None
        except TookTooLongError as error:
            what = f"{error} in one call; it seems to have no end"
            raise RuleError(self._told(what, error.__context__ or error, seen)) from None
        except (Exception, SystemExit) as error:
            what = f"{type(error).__name__}: {_short(error, str)}".rstrip(": ")
            raise RuleError(self._told(what, error, seen)) from error
        if problem := self.kind.problem(answer, seen):
            where = _return(self.function, returned_in(counter)) if self.is_counted else ""
            told = f"{self.__name__} answered {_short(answer, repr)}{where}"
            raise RuleError(f"{told}. {problem} {self.kind.asked(seen)}")
        return answer

    @property
    def is_counted(self) -> bool:
        """Whether the passes of its loops are counted: not if its source cannot be read."""
        return self._counted.__code__ is not _uncounted(self.function).__code__

    @cached_property
    def _counted(self) -> FunctionType:
        try:
            return with_counter(self.function, recursion=True)  # type: ignore[no-any-return]
        except CannotCountError:  # then there is the limit of time alone
            return _uncounted(self.function)

    @cached_property
    def machine_form(self) -> Any:
        """The function to compile. Raises CannotCountError."""
        import numba  # not at the top: loading it takes most of a second

        finish = numba.njit(boundscheck=True)
        rule = with_counter(self.function, finish, recursion=False)
        form = self.kind.guard(rule, ready(new_counter), compiled_look())
        form.__name__ = form.__qualname__ = self.__name__
        return form

    def _told(self, what: str, error: BaseException, seen: Any) -> str:
        return (
            f"{self.__name__} failed{_where(error, self.function)}: {what}. {self.kind.asked(seen)}"
        )


def run_with_rules(
    run: Callable[[bool | None], T], rules: Iterable[Callable[..., Any]], compiled: bool | None
) -> T:
    """Return `run(compiled)`, a run that asks the `rules`; see to those that are `OwnRule`.

    It runs in plain Python if one of them cannot be compiled. Raises RuleError.
    """
    own = [rule for rule in rules if isinstance(rule, OwnRule)]
    for rule in own:
        if rule.reason and compiled:
            raise CannotCompileError(f"{rule.__name__} cannot be compiled: {rule.reason}")
        compiled = False if rule.reason else compiled
    try:
        return run(compiled) if compiled is not False else _run_in_plain_python(run, own)
    except InterruptedRunError:
        raise KeyboardInterrupt from None
    except Exception as error:
        if not own or compiled is False or isinstance(error, RuleError):
            raise
        failure = error
    note = "A rule failed. Repeating the run in plain Python, to find the line"
    told: RuleError | None = None
    with waiting_note(note):
        try:
            _run_in_plain_python(run, own)
        except RuleError as error:
            told = error
    if told is not None:  # raised here: without what compiled code said, which is no help
        raise told
    names = " or ".join(rule.__name__ for rule in own)
    raise RuleError(
        f"{names} failed as machine code ({_short(failure, str) or type(failure).__name__}), but "
        "not in plain Python. Does it draw random numbers? Use compiled=False to go on"
    ) from failure


def _run_in_plain_python(run: Callable[[bool | None], T], own: Sequence[OwnRule]) -> T:
    """Run with a limit of time for each call of rules whose loops may escape being counted."""
    limited = [rule for rule in own if rule.reason or not rule.is_counted]
    if not limited:
        return run(False)
    with CallLimit(CALL_LIMIT_S) as limit:
        try:
            for rule in limited:
                rule.limit = limit
            return run(False)
        finally:
            for rule in limited:
                rule.limit = None


def _uncounted(function: FunctionType) -> FunctionType:
    def uncounted(counter: Counts, *arguments: Any) -> Any:
        return function(*arguments)

    return uncounted  # type: ignore[return-value]


def _where(error: BaseException, function: FunctionType) -> str:
    """Return the innermost line of the student's own that an error came from."""
    own = {code_of.co_filename for code_of in _own_codes(function)}
    frames = [
        (frame.f_code, line)
        for frame, line in traceback.walk_tb(error.__traceback__)
        if frame.f_code.co_filename in own
    ]
    if not frames:
        return ""
    line = frames[-1][1]
    code = next(
        (code for code, _ in reversed(frames) if code.co_name not in _BRACKETS), frames[0][0]
    )
    of = "" if code.co_name == function.__name__ else f" of {code.co_name}"
    return f" in line {line - code.co_firstlineno + 1}{of}{_source(code.co_filename, line)}"


def _return(function: FunctionType, line: int) -> str:
    if line == 0:
        return " at its end, without a `return`"
    code = function.__code__
    return f" in line {line - code.co_firstlineno + 1}{_source(code.co_filename, line)}"


def _source(file: str, line: int) -> str:
    text = linecache.getline(file, line).strip()
    return f", `{text}`" if text else ""


def _own_codes(function: FunctionType) -> list[CodeType]:
    return [one.__code__ for one in (function, *all_helpers(function))]


def _short(thing: Any, words: Callable[[Any], str]) -> str:
    try:
        text = words(thing.item() if isinstance(thing, np.generic) else thing)
    except Exception as error:  # a thing of the student's own that cannot be shown
        text = f"something that cannot be shown ({type(error).__name__})"
    return text if len(text) <= _MAX_TEXT else f"{text[:_MAX_TEXT]}..."
