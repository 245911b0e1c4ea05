"""From Python annotations to machine types: what a compiled loop takes and gives.

| annotation                              | machine type                              |
|-----------------------------------------|-------------------------------------------|
| `float`, `int`, `bool`, `None`          | 64-bit number, 64-bit integer, flag, none |
| `Numbers`, `Counts`                     | row of numbers, row of whole numbers      |
| `Shorts`                                | row of whole numbers of 32 bits           |
| `CountTable`                            | table of whole numbers                    |
| a `NamedTuple` class                    | its fields, one after the other           |
| a `dataclass` of numbers                | a record that can be changed              |
| `list` of such a dataclass              | row of records (see `records`)            |
| `Callable[[...], ...]`                  | pointer to a function of these types      |

Rows and tables must lie in memory without gaps, as `np.zeros` makes them.
"""

__all__ = ["CountTable", "Counts", "Numbers", "function_type", "takes_records"]

from collections.abc import Callable
from dataclasses import is_dataclass
from typing import Any, TypeAlias, get_args, get_origin, get_type_hints

import numpy as np

from course_lib.engine.records import machine_row

Numbers: TypeAlias = np.ndarray[tuple[int], np.dtype[np.float64]]
Counts: TypeAlias = np.ndarray[tuple[int], np.dtype[np.int64]]
CountTable: TypeAlias = np.ndarray[tuple[int, int], np.dtype[np.int64]]


def function_type(function: Any) -> Any:
    """Return Numba's signature of an annotated function or of a `Callable[[...], ...]` type.

    Raises TypeError for an annotation that is missing or has no machine type.
    """
    if get_origin(function) is Callable:
        takes, gives = get_args(function)
        return machine_type(gives)(*map(machine_type, takes))
    hints = get_type_hints(function)
    code = function.__code__
    names = code.co_varnames[: code.co_argcount]
    missing = [name for name in (*names, "return") if name not in hints]
    if missing:
        raise TypeError(f"{function.__name__}: annotate {', '.join(missing)} to compile it")
    return machine_type(hints["return"])(*(machine_type(hints[name]) for name in names))


def machine_type(annotation: Any) -> Any:
    """Return Numba's type for one annotation of the table above."""
    from numba import from_dtype, types  # not at the top: loading it takes most of a second

    if annotation is None or annotation is type(None):
        return types.void
    plain: dict[Any, Any] = {float: types.float64, int: types.int64, bool: types.boolean}
    if annotation in plain:
        return plain[annotation]
    if get_origin(annotation) is np.ndarray:
        shape, number = (get_args(part) for part in get_args(annotation))
        return types.Array(from_dtype(np.dtype(number[0])), len(shape), "C")
    if isinstance(annotation, type) and is_dataclass(annotation):
        return from_dtype(machine_row(annotation))
    if _is_row_of_records(annotation):
        return types.Array(machine_type(get_args(annotation)[0]), 1, "C")
    if get_origin(annotation) is Callable:
        return types.FunctionType(function_type(annotation))
    if isinstance(annotation, type) and issubclass(annotation, tuple):
        fields = [machine_type(hint) for hint in get_type_hints(annotation).values()]
        return _tuple_type(types, fields, annotation)
    raise TypeError(f"no machine type for {annotation!r}; see the table of {__name__}")


def takes_records(function: Any) -> bool:
    """Return True if a function is given rows of records, or a tuple that holds such."""
    hints = list(get_type_hints(function).values())
    for hint in hints:  # grows on the way
        if isinstance(hint, type) and issubclass(hint, tuple):
            hints += get_type_hints(hint).values()
    return any(map(_is_row_of_records, hints))


def _is_row_of_records(annotation: Any) -> bool:
    return get_origin(annotation) is list and is_dataclass(get_args(annotation)[0])


def _tuple_type(types: Any, fields: list[Any], of: type) -> Any:
    # Numba tells tuples of one type from tuples of several, and insists on the difference.
    if len(set(fields)) == 1:
        return types.NamedUniTuple(fields[0], len(fields), of)
    return types.NamedTuple(fields, of)
