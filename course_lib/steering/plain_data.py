"""States and changes as plain data that JSON can hold, and back.

Addresses travel as people write them. What comes back is looked at closely, since a router of
somebody's own may share its process with who speaks for it: a value of a wrong type or an unknown
name raises `SteeringError`, and nothing is guessed.

>>> from course_lib.prefixes.prefix import parse_prefix
>>> data = as_plain(AddRoute(parse_prefix("203.0.113.0/24"), None, "sea"))
>>> data
{'kind': 'add route', 'prefix': '203.0.113.0/24', 'next_hop': None, 'interface': 'sea'}
>>> change_of(data).interface
'sea'
"""

__all__ = ["as_plain", "change_of", "state_of"]

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, cast, get_args, get_type_hints

from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import format_address, format_mac, parse_address, parse_mac
from course_lib.steering.changes import (
    AddRoute,
    Change,
    PutBackStage,
    SetLine,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
    WithdrawRoute,
)
from course_lib.steering.states import InterfaceState, NeighbourState, RouterState, RouteState

_CHANGES: Mapping[str, type[Any]] = {
    "add route": AddRoute,
    "withdraw route": WithdrawRoute,
    "set link": SetLink,
    "set line": SetLine,
    "swap stage": SwapStage,
    "put back stage": PutBackStage,
}
_KINDS = {kind: name for name, kind in _CHANGES.items()}
_PARTS = {"interfaces": InterfaceState, "routes": RouteState, "neighbours": NeighbourState}


# Which types each field may have, None's included.
_TYPES = {
    kind: {name: get_args(hint) or (hint,) for name, hint in get_type_hints(kind).items()}
    for kind in (*_CHANGES.values(), *_PARTS.values())
}


class _Text(NamedTuple):
    """How a value is written, and read again."""

    write: Callable[[Any], str]
    read: Callable[[str], Any]


_TEXTS = {
    "prefix": _Text(str, parse_prefix),
    "next_hop": _Text(format_address, parse_address),
    "address": _Text(format_address, parse_address),
    "hardware_address": _Text(format_mac, parse_mac),
    "place": _Text(str, StagePlace),
}


def as_plain(value: Change | RouterState) -> dict[str, Any]:
    """Return a change or a state as what JSON can hold."""
    if isinstance(value, RouterState):
        plain = value._asdict() | {"counters": dict(value.counters)}
        parts = {name: [_row(each) for each in plain[name]] for name in _PARTS}
        lists = {name: list(plain[name]) for name in ("stages", "complaints")}
        return plain | parts | lists
    return {"kind": _KINDS[type(value)], **_row(value)}


def change_of(data: object) -> Change:
    """Return the change that `as_plain` was given; raises `SteeringError` for anything else."""
    fields = _fields(data, "a change")
    name = fields.pop("kind", None)
    if not isinstance(name, str) or name not in _CHANGES:
        raise SteeringError(f"{name!r:.80} is no kind of change; there are {', '.join(_CHANGES)}")
    return cast(Change, _read_row(_CHANGES[name], fields))


def state_of(data: object) -> RouterState:
    """Return the state that `as_plain` was given; raises `SteeringError` for anything else."""
    fields = _fields(data, "a state")
    for name, kind in _PARTS.items():
        rows = _list(fields.get(name, []), name)
        fields[name] = tuple(_read_row(kind, _fields(row, name)) for row in rows)
    for name in ("stages", "complaints"):
        fields[name] = tuple(
            _checked(name, each, (str,)) for each in _list(fields.get(name, []), name)
        )
    counters = _fields(fields.get("counters"), "counters")
    fields["counters"] = {name: _checked(name, each, (int,)) for name, each in counters.items()}
    try:
        state = RouterState(**fields)
    except TypeError as problem:
        raise SteeringError(f"a state has other fields: {problem}") from None
    _checked("name", state.name, (str,))
    return state._replace(now_s=float(_checked("now_s", state.now_s, (float, int))))


def _row(value: Any) -> dict[str, Any]:
    """Return a named tuple whose addresses are written as text."""
    return {
        name: each if each is None or name not in _TEXTS else _TEXTS[name].write(each)
        for name, each in value._asdict().items()
    }


def _read_row(kind: type[Any], fields: Mapping[str, Any]) -> Any:
    types = _TYPES[kind]
    unknown = ", ".join(name for name in fields if name not in types)
    if unknown:
        raise SteeringError(f"{kind.__name__} has no {unknown}")
    try:
        return kind(**{name: _read(name, each, types[name]) for name, each in fields.items()})
    except TypeError as problem:  # a field is missing
        raise SteeringError(f"{kind.__name__}: {problem}") from None


def _read(name: str, value: Any, types: tuple[type, ...]) -> Any:
    if value is None or name not in _TEXTS:
        return _checked(name, value, types)
    try:
        return _TEXTS[name].read(_checked(name, value, (str,)))
    except SteeringError:
        raise
    except ValueError as problem:
        raise SteeringError(str(problem)) from None


def _checked(name: str, value: Any, types: tuple[type, ...]) -> Any:
    """Return a value of one of these types; a bool is no number."""
    if type(value) in types or (float in types and type(value) is int):
        return value
    allowed = " or ".join(each.__name__ for each in types)
    raise SteeringError(f"{name} must be {allowed}, not {value!r:.80}")


def _fields(data: object, what: str) -> dict[str, Any]:
    if not isinstance(data, dict) or not all(isinstance(name, str) for name in data):
        raise SteeringError(f"{what} must be fields with names, not {data!r:.80}")
    return dict(data)


def _list(data: object, what: str) -> list[Any]:
    if not isinstance(data, list):
        raise SteeringError(f"{what} must be a list, not {data!r:.80}")
    return data
