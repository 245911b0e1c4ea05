"""Call a rule that somebody is still writing, and say plainly what is wrong with it.

An `OwnRule` stands where a rule of this package would: a loop calls it, compiled or not. It

* stops a call that does not come to an end (see `step_limits`), and
* refuses an answer that cannot be meant.

`run_with_rules` lets Ctrl-C end a compiled run. And it tells the line: compiled code cannot say in
which one it failed, but the same arguments give the same run. So a run that failed is repeated in
plain Python, where the line is known. If a million packets went well before, that takes a minute.
"""

__all__ = ["NonsenseError", "OwnRule", "RuleError", "RuleKind", "run_with_rules"]

import linecache
import sys
import threading
import traceback
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from contextvars import copy_context
from functools import cached_property
from types import FunctionType
from typing import Any, NamedTuple, TypeVar

import numpy as np

from course_lib.engine.compiled import CannotCompileError, engine, helpers_of
from course_lib.engine.step_limits import (
    STEPS,
    StepCounter,
    TooManyStepsError,
    begin,
    stop_compiled_runs,
)
from course_lib.engine.waiting_note import waiting_note

_LISTEN_S = 1.0  # so often the main thread looks whether there was a Ctrl-C
_BRACKETS = ("<listcomp>", "<setcomp>", "<dictcomp>", "<genexpr>")  # Python's names for them
_MAX_TEXT = 200  # characters of an answer or of an error's own words that are shown

T = TypeVar("T")


class RuleError(Exception):
    """A rule of one's own failed; the message says where, how, and what it was asked."""


class NonsenseError(Exception):
    """Compiled code met an answer that cannot be meant."""


class RuleKind(NamedTuple):
    """What all rules of one kind share.

    `given` names the arguments, of which the first is what is `seen`. `machine_type` is the kind
    for `compiled.ready`. `problem(answer, seen)` tells what is wrong with an answer, or nothing;
    `asked(seen)` what the rule was asked about. `guard(rule, begin)` makes the function that is
    compiled: it calls `begin` and the rule, and raises NonsenseError for an answer with a problem.
    """

    name: str
    given: tuple[str, ...]
    machine_type: Any
    problem: Callable[[Any, Any], str]
    asked: Callable[[Any], str]
    guard: Callable[[Any, Any], Any]


class OwnRule:
    """A student's function as a rule. `reason` says why it is not compiled, if it is not."""

    def __init__(self, function: FunctionType, kind: RuleKind) -> None:
        self.function = function
        self.kind = kind
        self.reason = ""
        self.__name__ = function.__name__

    def __call__(self, seen: Any, *others: Any) -> Any:
        """Ask in plain Python. Raises RuleError."""
        steps, outside = StepCounter(self.function.__code__), sys.gettrace()
        try:
            sys.settrace(steps)
            try:
                answer = self.function(seen, *others)
            finally:
                sys.settrace(outside)
        except TooManyStepsError as error:
            what = f"more than {STEPS:,} steps in one call; the loop seems to have no end"
            raise RuleError(self._told(what, error, seen)) from None
        except (Exception, SystemExit) as error:
            what = f"{type(error).__name__}: {_short(error, str)}".rstrip(": ")
            raise RuleError(self._told(what, error, seen)) from error
        if problem := self.kind.problem(answer, seen):
            where = self._returned(answer, steps.returned_in)
            told = f"{self.__name__} answered {_short(answer, repr)}{where}"
            raise RuleError(f"{told}. {problem} {self.kind.asked(seen)}")
        return answer

    @cached_property
    def machine_form(self) -> Any:
        """The function to compile."""
        form = self.kind.guard(self.function, begin())
        form.__name__ = form.__qualname__ = self.__name__
        form.__module__ = self.function.__module__
        return form

    @property
    def functions(self) -> list[FunctionType]:
        """The function, and those that it calls, directly or by others."""
        found = [self.function]
        for one in found:  # grows on the way
            found += [helper for helper in helpers_of(one).values() if helper not in found]
        return found

    def _told(self, what: str, error: BaseException, seen: Any) -> str:
        where = _where(error, self.function)
        return f"{self.__name__} failed{where}: {what}. {self.kind.asked(seen)}"

    def _returned(self, answer: Any, line: int) -> str:
        code = self.function.__code__
        source = _source(code.co_filename, line)
        if answer is None and "return" not in source:
            return " at its end, without a `return`"
        return f" in line {line - code.co_firstlineno + 1}{source}"


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
    if any(rule.reason for rule in own):
        compiled = False
    if not own or compiled is False or not engine().compiled:
        return run(compiled)
    try:
        return _interruptible(run)
    except Exception as error:
        failure = error
    told: RuleError | None = None
    with waiting_note("A rule failed. Repeating the run in plain Python, to find the line"):
        try:
            run(False)
        except RuleError as error:
            told = error
    if told is not None:  # raised here: without what compiled code said, which is no help
        raise told
    names = " or ".join(rule.__name__ for rule in own)
    raise RuleError(
        f"{names} failed as machine code ({_short(failure, str) or type(failure).__name__}), but "
        "not in plain Python. Does it draw random numbers? Use compiled=False to go on"
    ) from failure


def _interruptible(run: Callable[[bool | None], T]) -> T:
    """Return `run(True)`, which a Ctrl-C ends.

    Python takes note of Ctrl-C in the main thread alone, and not while compiled code runs there. So
    another thread runs it, and the main thread waits.
    """
    if threading.current_thread() is not threading.main_thread():
        return run(True)
    with ThreadPoolExecutor(1) as pool:
        future = pool.submit(copy_context().run, run, True)
        try:
            while not wait([future], _LISTEN_S).done:  # not for ever: Windows would not hear Ctrl-C
                pass
        except KeyboardInterrupt:
            with stop_compiled_runs():
                while not future.done():
                    with suppress(KeyboardInterrupt):  # it is ending already
                        wait([future], _LISTEN_S)
            raise
        return future.result()


def _where(error: BaseException, function: FunctionType) -> str:
    """Return the innermost line of the student's own that an error came from."""
    frames = [
        (frame.f_code, line)
        for frame, line in traceback.walk_tb(error.__traceback__)
        if frame.f_globals is function.__globals__  # all cells of a notebook have the same
    ]
    if not frames:
        return ""
    line = frames[-1][1]
    code = next(
        (code for code, _ in reversed(frames) if code.co_name not in _BRACKETS), frames[0][0]
    )
    of = "" if code.co_name == function.__name__ else f" of {code.co_name}"
    return f" in line {line - code.co_firstlineno + 1}{of}{_source(code.co_filename, line)}"


def _source(file: str, line: int) -> str:
    text = linecache.getline(file, line).strip()
    return f", `{text}`" if text else ""


def _short(thing: Any, words: Callable[[Any], str]) -> str:
    try:
        text = words(thing.item() if isinstance(thing, np.generic) else thing)
    except Exception as error:  # a thing of the student's own that cannot be shown
        text = f"something that cannot be shown ({type(error).__name__})"
    return text if len(text) <= _MAX_TEXT else f"{text[:_MAX_TEXT]}..."
