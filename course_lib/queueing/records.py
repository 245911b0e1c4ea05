"""Records that a loop can change: machine memory for a compiled run, objects for a plain one.

A record is a slotted dataclass whose fields are `int` or `float`, each with a default. `rows` makes
as many as are asked for: as one block of memory that Numba understands, or as a list of objects.
Both are used in the same words, `senders[3].window += 1.0`, so that one loop serves both, and the
numbers of both agree to the last bit.
"""

__all__ = ["column", "field_of", "machine_row", "numbers", "record", "rows", "set_column"]

from collections.abc import Sequence
from dataclasses import fields
from typing import Any, TypeVar, cast, get_type_hints

import numpy as np
from numpy.typing import NDArray

Row = TypeVar("Row")


def machine_row(kind: type[Any]) -> "np.dtype[Any]":
    """Return how the fields of a record lie in memory."""
    places = {int: np.int64, float: np.float64}
    hints = get_type_hints(kind)
    return np.dtype([(field.name, places[hints[field.name]]) for field in fields(kind)])


def rows(kind: type[Row], count: int, *, compiled: bool) -> list[Row]:
    """Return `count` records with the defaults of their class.

    In machine memory this is really a NumPy array of records, which loops use as if it were a list.
    """
    if not compiled:
        return [kind() for _ in range(count)]
    return cast(list[Row], np.repeat(_in_memory(kind()), count))


def record(of: Row, *, compiled: bool) -> Row:
    """Return a single record as the loop shall have it."""
    return cast(Row, _in_memory(of)[0]) if compiled else of


def numbers(values: NDArray[Any], *, compiled: bool) -> Any:
    """Return a row of numbers as the loop shall have it: the array, or a plain list."""
    return values if compiled else values.tolist()


def column(of: Sequence[Any], name: str) -> NDArray[Any]:
    """Return a copy of one field of all records."""
    if isinstance(of, np.ndarray):
        return np.array(of[name])
    return np.array([getattr(row, name) for row in of])


def field_of(of: Any, name: str) -> Any:
    """Return a field of a single record."""
    return of[name] if isinstance(of, np.void) else getattr(of, name)


def set_column(of: Sequence[Any], name: str, values: Any) -> None:
    """Set one field of all records, each to its own value or all to the same."""
    if isinstance(of, np.ndarray):
        of[name] = values
        return
    for row, value in zip(of, np.broadcast_to(values, len(of)).tolist(), strict=True):
        setattr(row, name, value)


def _in_memory(of: Any) -> "np.ndarray[Any, np.dtype[Any]]":
    row = tuple(getattr(of, field.name) for field in fields(of))
    return np.array([row], machine_row(type(of)))
