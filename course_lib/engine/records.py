"""Records that a loop can change: machine memory for a compiled run, objects for a plain one.

A record is a slotted dataclass whose fields are `int` or `float`, each with a default. `rows` makes
as many as are asked for: as one block of memory that Numba understands, or as a list of objects.
`Short` fields take half the room there.
Both are used in the same words, `senders[3].window += 1.0`, so that one loop serves both, and the
numbers of both agree to the last bit.
"""

__all__ = [
    "LINE_OCTETS",
    "Short",
    "Shorts",
    "column",
    "field_of",
    "machine_row",
    "numbers",
    "record",
    "rows",
    "set_column",
]

from collections.abc import Sequence
from dataclasses import fields
from typing import Annotated, Any, TypeAlias, TypeVar, cast, get_type_hints

import numpy as np
from numpy.typing import NDArray

Short: TypeAlias = Annotated[int, np.int32]  # a whole number that is sure to stay below 2**31
Shorts: TypeAlias = np.ndarray[tuple[int], np.dtype[np.int32]]
Row = TypeVar("Row")

LINE_OCTETS = 64  # what a processor fetches from memory at a time; common practice


def machine_row(kind: type[Any]) -> "np.dtype[Any]":
    """Return how the fields of a record lie in memory: one after the other, as they are listed.

    Records are padded so that they begin where a line of memory does, or share one evenly. Large
    ones get an odd number of pairs of lines: were it even, the first lines of all records would
    compete for one half of the processor's cache.
    """
    places = {int: np.int64, float: np.float64, Short: np.int32}
    hints = get_type_hints(kind, include_extras=True)
    row = np.dtype([(field.name, places[hints[field.name]]) for field in fields(kind)])
    pairs = -(-row.itemsize // (2 * LINE_OCTETS))
    octets = 1 << (row.itemsize - 1).bit_length() if pairs == 1 else 2 * LINE_OCTETS * (pairs | 1)
    names = list(row.names or ())
    where: Any = row.fields
    return np.dtype(
        {
            "names": names,
            "formats": [where[name][0] for name in names],
            "offsets": [where[name][1] for name in names],
            "itemsize": octets,
        }
    )


def rows(kind: type[Row], count: int, *, compiled: bool) -> list[Row]:
    """Return `count` records with the defaults of their class.

    In machine memory this is really a NumPy array of records, which loops use as if it were a list.
    """
    if not compiled:
        return [kind() for _ in range(count)]
    row = _in_memory(kind())
    memory = np.empty(count * row.itemsize + 2 * LINE_OCTETS, np.uint8)
    start = -memory.ctypes.data % (2 * LINE_OCTETS)
    made = memory[start : start + count * row.itemsize].view(row.dtype)
    made[:] = row
    return cast(list[Row], made)


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
