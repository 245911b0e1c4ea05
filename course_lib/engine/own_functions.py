"""Make a rule of a function that somebody wrote, and say if it cannot be compiled."""

__all__ = ["Tell", "as_rule", "tell_of"]

from collections.abc import Callable, Sequence
from inspect import signature
from types import FunctionType
from typing import Any

from course_lib.engine.compiled import CannotCompileError, engine, plain_function, ready
from course_lib.engine.plain_reasons import plain_reason
from course_lib.engine.rules import OwnRule, RuleKind

Tell = Callable[[str], None]

_NUMBERS = {3: "three", 4: "four"}


def as_rule(function: Any, kind: RuleKind) -> OwnRule:
    """Return the function as a rule, compiled if that can be.

    Raises TypeError for what is not a function of the arguments that this kind is given.
    """
    function = plain_function(function)
    if not isinstance(function, FunctionType):
        raise TypeError(f"a {kind.name} must be a function made with `def`, not {function!r}")
    _check_arguments(function, kind)
    rule = OwnRule(function, kind)
    if engine().compiled:
        rule.reason = _why_not(rule)
    return rule


def tell_of(rules: Sequence[Any], tell: Tell) -> None:
    """Tell of each rule that is not compiled, and why."""
    for rule in rules:
        if isinstance(rule, OwnRule) and rule.reason:
            how = "runs in plain Python, some hundred times slower than compiled"
            tell(f"{rule.__name__} {how}. The reason: {rule.reason}.")


def _check_arguments(function: FunctionType, kind: RuleKind) -> None:
    try:
        signature(function).bind(*kind.given)
    except TypeError:
        takes = ", ".join(signature(function).parameters)
        raise TypeError(
            f"a {kind.name} is given {_NUMBERS[len(kind.given)]} things "
            f"({', '.join(kind.given)}); {function.__name__}({takes}) cannot take them"
        ) from None


def _why_not(rule: OwnRule) -> str:
    """Compile a rule; return why that cannot be done, in a line, or nothing if it is done."""
    try:
        ready(rule, rule.kind.machine_type, compiled=True)
    except CannotCompileError as error:
        return plain_reason(error.__cause__ or error, rule.functions)
    return ""
