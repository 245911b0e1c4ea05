"""Call a student's part, and let it name itself when something goes wrong.

Deep inside a router an error says little about where it came from. So a part's errors get the name
of the function, of its exercise and of the line. Refusals that the exercise asks for, such as the
`ValueError` of a header that may go no further, pass as they are: a router counts on them.

A result of a type that the exercise does not know is an error too, and is noticed here and not
three stages later.
"""

__all__ = ["MissingPartError", "PartError", "careful", "file_name_of", "missing"]

import functools
import traceback
from collections.abc import Callable
from typing import Any, NoReturn

from course_lib.exercises.registry import Exercise, public_cases
from course_lib.runner.plain_data import NotPlainError, decode, encode

Function = Callable[..., Any]

_KIND_NAMES = {"NoneType": "None"}


class PartError(RuntimeError):
    """Something that a part of the student's own should not have done; the text names the part."""


class MissingPartError(LookupError):
    """A part that neither the student nor the library has."""


def careful(item: Exercise, function: Function) -> Function:
    """Return the same function, which names itself when it fails."""

    @functools.wraps(function, updated=())
    def part(*arguments: Any, **named: Any) -> Any:
        return _checked(item, _call(item, item.function, function, arguments, named))

    return part


def missing(item: Exercise) -> Function:
    """Return what stands in for a part that nobody has: it refuses to be called."""

    def part(*arguments: Any, **named: Any) -> NoReturn:
        raise MissingPartError(
            f"there is no {item.function} to borrow: answer exercise {item.id} first"
        )

    part.__name__ = item.function
    return part


def file_name_of(item: Exercise) -> str:
    """Return what stands in place of a file's name in messages about an answer.

    The cells around the answer add to it; hence `startswith` below.
    """
    return f"exercise {item.id}"


class _CarefulObject:
    """An object of a student's own, such as a table, whose methods name themselves too."""

    def __init__(self, item: Exercise, thing: Any) -> None:
        self._item, self._thing = item, thing

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._thing, name)
        if not callable(value):
            return value
        whole_name = f"{self._item.function}().{name}"

        def method(*arguments: Any, **named: Any) -> Any:
            return _call(self._item, whole_name, value, arguments, named)

        return method

    def __repr__(self) -> str:
        return f"<what your {self._item.function} made, exercise {self._item.id}>"


def _call(
    item: Exercise, name: str, function: Function, arguments: tuple[Any, ...], named: dict[str, Any]
) -> Any:
    try:
        return function(*arguments, **named)
    except Exception as problem:
        place = _place(item, problem)
        if _refusals(item) & {kind.__name__ for kind in type(problem).__mro__}:
            problem.add_note(f"Raised by your {name} ({place}).")
            raise
        what = f"{type(problem).__name__}: {problem}"
        raise PartError(f"your {name} ({place}) raised {what}") from problem


def _place(item: Exercise, problem: Exception) -> str:
    """Return the exercise, and the last line of the student's that the error came through."""
    lines = [
        f"{frame.filename}, line {frame.lineno}"
        for frame in traceback.extract_tb(problem.__traceback__)
        if frame.filename.startswith(file_name_of(item))
    ]
    return lines[-1] if lines else file_name_of(item)


def _checked(item: Exercise, value: Any) -> Any:
    """Return a result if it is of a type that the exercise knows, numbers and octets as Python's.

    NumPy's numbers and a `bytearray` are right in an answer, but a router would trip over them.
    """
    if item.driver == "operate":
        return _CarefulObject(item, value)
    if item.driver != "call":
        return value
    try:
        plain = decode(encode(value))
    except NotPlainError as problem:
        raise _unknown_kind(item, str(problem)) from problem
    plain = bytes(plain) if isinstance(plain, bytearray) else plain
    if _kind(plain) not in _kinds(item):
        raise _unknown_kind(item, "None" if plain is None else f"a {type(value).__name__}")
    return value if isinstance(plain, list | tuple | dict) else plain


def _unknown_kind(item: Exercise, given: str) -> PartError:
    wanted = " or ".join(sorted(_KIND_NAMES.get(kind, kind) for kind in _kinds(item)))
    return PartError(
        f"your {item.function} ({file_name_of(item)}) returned {given}, "
        f"the exercise asks for {wanted}"
    )


@functools.cache
def _refusals(item: Exercise) -> frozenset[str]:
    """Return the kinds of error that the exercise asks for."""
    return frozenset(case.expected.raises for case in public_cases(item.id)) - {""}


@functools.cache
def _kinds(item: Exercise) -> frozenset[str]:
    """Return the types of the results that the exercise asks for."""
    results = (case.expected for case in public_cases(item.id) if not case.expected.raises)
    return frozenset(_kind(result.value) for result in results)


def _kind(value: Any) -> str:
    return "int" if isinstance(value, bool) else type(value).__name__
