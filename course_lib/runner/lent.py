"""Arguments are lent: they belong to the caller, and are left as they came.

A list or a map that an answer gets is the caller's own, who may need it afterwards. So
whatever can be changed is compared with a copy, after every call, for as long as the
caller holds it.
"""

__all__ = ["ArgumentChangedError", "Lent"]

import copy
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

CAN_CHANGE = (list, dict, set, bytearray)


class ArgumentChangedError(Exception):
    """An answer changed what it was given; the text is the argument's name in the answer."""


class _Loan(NamedTuple):
    function: Callable[..., Any]
    place: int
    given: Any
    before: Any


class Lent:
    """Everything that was lent to one answer in one case."""

    def __init__(self) -> None:
        self._loans: list[_Loan] = []

    def call(self, function: Callable[..., Any], arguments: Sequence[Any]) -> Any:
        """Call a function and return what it returns, or raise what it raises.

        Raises `ArgumentChangedError` if an argument of this call or an earlier one was changed.
        """
        self._loans += [
            _Loan(function, place, one, copy.deepcopy(one))
            for place, one in enumerate(arguments)
            if _can_change(one)
        ]
        try:
            return function(*arguments)
        finally:
            self._look()

    def _look(self) -> None:
        for loan in self._loans:
            if loan.given != loan.before:
                raise ArgumentChangedError(_name(loan.function, loan.place))


def _can_change(value: Any) -> bool:
    return isinstance(value, CAN_CHANGE) or (
        isinstance(value, tuple) and any(_can_change(one) for one in value)
    )


def _name(function: Callable[..., Any], place: int) -> str:
    """Return the name of a parameter; where it has none of its own, its number."""
    import inspect  # hardly ever needed, and slow to import

    try:
        parameters = list(inspect.signature(function).parameters.values())
        one = parameters[min(place, len(parameters) - 1)]
    except (TypeError, ValueError, IndexError):
        return f"argument {place + 1}"
    return f"argument {place + 1}" if one.kind is one.VAR_POSITIONAL else str(one.name)
