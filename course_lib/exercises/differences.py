"""Where two values part: the first place at which what came differs from what was expected.

A long value hides its one wrong item, and a text that is cut off hides it for good. So
feedback on long values shows the place, and both parts there.
"""

__all__ = ["Difference", "first_difference"]

from collections.abc import Sequence
from typing import Any, NamedTuple

from course_lib.exercises.calls import shown
from course_lib.runner.plain_data import same

NOTHING = object()  # what stands where a value has already ended


class Difference(NamedTuple):
    """A place in a value, by the indexes and keys that lead there, and what stands there."""

    path: tuple[Any, ...]
    expected: Any
    given: Any

    @property
    def place(self) -> str:
        """Return the place as it is typed behind a value: `[3]['mtu']`."""
        return "".join(f"[{shown(step)}]" for step in self.path)


def first_difference(expected: Any, given: Any, *, whole: bool = False) -> Difference | None:
    """Return the first place at which two values differ, as deep inside as there is one.

    A part that is missing on one side is `NOTHING` there. None if the values are the same.

    >>> first_difference([1, {"mtu": 1500}], [1, {"mtu": 576}])
    Difference(path=(1, 'mtu'), expected=1500, given=576)
    """
    if same(expected, given, whole=whole):
        return None
    if isinstance(expected, list | tuple | bytes) and _is_alike(expected, given):
        return _in_sequence(expected, given, whole)
    if isinstance(expected, dict) and isinstance(given, dict):
        for key in (*expected, *(key for key in given if key not in expected)):
            inner = _part(expected.get(key, NOTHING), given.get(key, NOTHING), whole)
            if inner is not None:
                return inner._replace(path=(key, *inner.path))
    return Difference((), expected, given)


def _is_alike(expected: Any, given: Any) -> bool:
    if isinstance(expected, bytes):
        return isinstance(given, bytes | bytearray)
    return type(expected) is type(given)


def _in_sequence(expected: Sequence[Any], given: Sequence[Any], whole: bool) -> Difference:
    for place in range(max(len(expected), len(given))):
        inner = _part(
            expected[place] if place < len(expected) else NOTHING,
            given[place] if place < len(given) else NOTHING,
            whole,
        )
        if inner is not None:
            return inner._replace(path=(place, *inner.path))
    return Difference((), expected, given)


def _part(expected: Any, given: Any, whole: bool) -> Difference | None:
    if expected is NOTHING or given is NOTHING:
        return Difference((), expected, given)
    return first_difference(expected, given, whole=whole)
