"""Frozen dataclasses as JSON, and back: nothing but the kinds that were named can come out.

What comes in was sealed by somebody who has the code, and still may be anything. So every field is
looked at by its annotation: texts and tuples have a longest length, numbers are finite, and what is
not named is refused. Annotations may be `str`, `int`, `float`, `bool`, `None`, other dataclasses,
`tuple[X, ...]`, `tuple[X, Y]`, and unions of these.
"""

__all__ = ["MessageError", "Reader"]

import json
import math
import types
import typing
from collections.abc import Iterable
from dataclasses import asdict, fields, is_dataclass
from typing import Any

LONGEST_TEXT, LONGEST_TUPLE = 8000, 4096
LARGEST = 1 << 53  # whole numbers that every reader of JSON keeps exactly (RFC 8259, section 6)


class MessageError(ValueError):
    """Octets that are no message of ours; the text names the field."""


class Reader:
    """Reads and writes messages of the kinds that it was given."""

    def __init__(self, kinds: Iterable[type[Any]]) -> None:
        self._kinds = {kind.__name__: kind for kind in kinds}

    def octets_of(self, message: Any) -> bytes:
        """Return a message as octets."""
        told = {"what": type(message).__name__} | asdict(message)
        return json.dumps(told, separators=(",", ":"), allow_nan=False).encode()

    def message_from(self, octets: bytes) -> Any:
        """Return the message; raises `MessageError` for anything that is none."""
        try:
            told = json.loads(octets)
        except (ValueError, RecursionError) as problem:
            raise MessageError(f"no JSON: {problem}") from None
        what = told.pop("what", None) if isinstance(told, dict) else None
        kind = self._kinds.get(what) if isinstance(what, str) else None
        if kind is None:
            raise MessageError(f"what: it must be one of {', '.join(self._kinds)}")
        return _value(kind, told, kind.__name__)


def _value(kind: Any, told: Any, where: str) -> Any:
    """Return what was told as a value of this kind; `where` names it in errors."""
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        if told is None and type(None) in inner:
            return None
        (only,) = (each for each in inner if each is not type(None))
        return _value(only, told, where)
    if origin is tuple:
        return _tuple(inner, told, where)
    if is_dataclass(kind):
        return _fields(kind, told, where)
    if kind is float and type(told) is int:
        told = float(told)
    if type(told) is not kind or not _is_bounded(told):
        raise MessageError(f"{where}: it must be a {kind.__name__}, not {told!r:.40}")
    return told


def _tuple(inner: tuple[Any, ...], told: Any, where: str) -> tuple[Any, ...]:
    if not isinstance(told, list) or len(told) > LONGEST_TUPLE:
        raise MessageError(f"{where}: it must be a list of {LONGEST_TUPLE} at most")
    kinds = [inner[0]] * len(told) if inner[-1] is Ellipsis else inner
    if len(kinds) != len(told):
        raise MessageError(f"{where}: it must have {len(kinds)} parts, not {len(told)}")
    pairs = enumerate(zip(kinds, told, strict=True))
    return tuple(_value(kind, each, f"{where}[{place}]") for place, (kind, each) in pairs)


def _fields(kind: Any, told: Any, where: str) -> Any:
    hints = typing.get_type_hints(kind)
    if not isinstance(told, dict) or {*told} != {each.name for each in fields(kind)}:
        raise MessageError(f"{where}: it must have the fields {', '.join(hints)}")
    return kind(**{name: _value(hints[name], told[name], f"{where}.{name}") for name in hints})


def _is_bounded(told: Any) -> bool:
    if isinstance(told, str):
        return len(told) <= LONGEST_TEXT
    if isinstance(told, float):
        return math.isfinite(told)
    return not isinstance(told, int) or abs(told) <= LARGEST
