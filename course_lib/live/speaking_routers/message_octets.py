"""Messages of routing protocols as octets, and back; nothing but these kinds can come out.

In a simulated network messages are Python's values. On a link they are octets: here, JSON with the
name of each kind in front of its fields, compressed by zlib (RFC 1950). What comes in may be
anything, so it is read with a limit, and the protocols check the fields themselves.

Real routers: each protocol has a format of its own, with a fixed place for each field (RFC 2453,
section 4; RFC 2328, appendix A.3).
"""

__all__ = ["MessageError", "message_from", "octets_of"]

import json
import zlib
from collections.abc import Mapping
from typing import Any

from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.routing.advertisements import Advertisement, AdvertisementHeader
from course_lib.routing.distance_vector_messages import Request, RouteEntry, Update
from course_lib.routing.flooding import Acknowledgement, LinkStateUpdate
from course_lib.routing.neighbour_discovery import Hello, Timers

MOST_OCTETS = 1 << 20  # of the text, however small it was compressed
_KINDS: Mapping[str, type[Any]] = {
    kind.__name__: kind
    for kind in (
        Acknowledgement, Advertisement, AdvertisementHeader, Hello, LinkStateUpdate, Request,
        RouteEntry, Timers, Update,
    )
}  # fmt: skip
_PREFIX, _TUPLE = "Prefix", ""


class MessageError(ValueError):
    """Octets that are no message."""


def octets_of(message: object) -> bytes:
    """Return a message as octets; raises `MessageError` for a value that no protocol here sends.

    >>> message_from(octets_of(Request("Plover")))
    Request(sender='Plover')
    """
    return zlib.compress(json.dumps(_plain(message)).encode())


def message_from(octets: bytes) -> object:
    """Return the message; octets behind it, as Ethernet may add, are left out."""
    try:
        reader = zlib.decompressobj()
        text = reader.decompress(octets, MOST_OCTETS)
        if not reader.eof:
            raise MessageError("the message is cut off, or too long")
        return _value(json.loads(text))
    except (zlib.error, ValueError, TypeError, RecursionError) as problem:
        raise MessageError(f"no message: {problem}") from problem


def _plain(value: object) -> object:
    if isinstance(value, Prefix):
        return [_PREFIX, str(value)]
    if isinstance(value, tuple):
        name = type(value).__name__
        if type(value) is not tuple and name not in _KINDS:
            raise MessageError(f"{name} is no part of a message")
        return [name if name in _KINDS else _TUPLE, *map(_plain, value)]
    if value is None or isinstance(value, str | int | float):
        return value
    raise MessageError(f"{value!r} is no part of a message")


def _value(data: object) -> object:
    if not isinstance(data, list):
        return data
    name, *fields = data
    if name == _PREFIX:
        return parse_prefix(*fields)
    values = [_value(field) for field in fields]
    if name == _TUPLE:
        return tuple(values)
    if name not in _KINDS:
        raise MessageError(f"there is no kind of message {name!r:.80}")
    return _KINDS[name](*values)
