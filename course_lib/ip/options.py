"""IPv4 options: what a router does with those that packets carry along (RFC 791, section 3.1).

An option is one octet, or a type, a length and data. Most go through a router untouched, known or
not (RFC 1812, sections 4.2.2.6 and 5.3.13.1). Two ask every router on the way to write something
down, and they have room for that: the third octet points at the place, counted from 1.

* Record route (5.3.13.5): the address of the interface by which the packet leaves.
* Timestamp (5.3.13.6): the time, or address and time, or the time if the address is ours.

Each of the two appears at most once in a datagram (RFC 791), so a second one is an error.

Source routes (5.3.13.4) are not followed: RFC 7126, sections 4.3 and 4.4, advises to discard such
packets, because they lead around filters. So their headers raise `SourceRouteError`.

Real routers: packets with options are often dropped, because they cost the slow path's time; RFC
7126 says for each option whether that is advisable.
"""

__all__ = [
    "Option",
    "OptionError",
    "SourceRouteError",
    "answered_options",
    "copied_options",
    "fill_in",
    "split_options",
]

from collections.abc import Callable, Container, Iterator
from typing import NamedTuple

_END, _NO_OPERATION, _RECORD_ROUTE, _TIMESTAMP = 0, 1, 7, 68
_SOURCE_ROUTES = (131, 137)  # loose and strict
_COPIED = 0x80  # the first bit of the type: copy into all fragments
_TIMES_ONLY, _WITH_ADDRESSES, _ADDRESSES_GIVEN = 0, 1, 3
_ENTRY_OCTETS = {_TIMES_ONLY: 4, _WITH_ADDRESSES: 8, _ADDRESSES_GIVEN: 8}
_NOT_UNIVERSAL_TIME = 1 << 31  # says that the time is not counted from midnight, universal time


class OptionError(ValueError):
    """Options that cannot be read; `offset` is the octet of the options that is wrong."""

    def __init__(self, message: str, offset: int) -> None:
        super().__init__(message, offset)
        self.offset = offset

    def __str__(self) -> str:
        return str(self.args[0])


class SourceRouteError(ValueError):
    """A packet that wants to choose its own way."""


class Option(NamedTuple):
    """One option: where it begins, its type, and all of its octets."""

    offset: int
    kind: int
    octets: bytes


def split_options(options: bytes) -> Iterator[Option]:
    """Go through the options one by one; raises `OptionError` where one does not end in time.

    >>> [(each.kind, each.offset) for each in split_options(bytes.fromhex("01 070304 00"))]
    [(1, 0), (7, 1)]
    """
    offset = 0
    while offset < len(options) and options[offset] != _END:
        kind = options[offset]
        length = 1
        if kind != _NO_OPERATION:
            length = options[offset + 1] if offset + 1 < len(options) else 0
            if length < 2 or offset + length > len(options):
                # In the last octet is a type without a length: we point at what is there.
                place = min(offset + 1, len(options) - 1)
                raise OptionError(f"option {kind} has a wrong length, {length}", place)
        yield Option(offset, kind, options[offset : offset + length])
        offset += length


def copied_options(options: bytes) -> bytes:
    """Return the options for all fragments but the first: those whose type says so.

    >>> copied_options(bytes.fromhex("0704 0400 9404 0000")).hex()
    '94040000'
    """
    return _those(options, lambda kind: kind & _COPIED != 0)


def answered_options(options: bytes) -> bytes:
    """Return those options that go back with the answer to a datagram.

    RFC 1812, section 4.3.3.6, and RFC 1122, section 3.2.2.6, name record route and timestamp for
    the reply to an echo. Nobody asks for the others: a router alert, sent back, would hold up every
    router on the way (RFC 2113), and what an unknown option asks for, we cannot promise.

    >>> answered_options(bytes.fromhex("9404 0000 0707 0400 0000 0000")).hex()
    '0707040000000000'
    """
    return _those(options, lambda kind: kind in (_RECORD_ROUTE, _TIMESTAMP))


def _those(options: bytes, wanted: Callable[[int], bool]) -> bytes:
    """Return the options whose type is wanted, filled up to whole words."""
    kept = b"".join(each.octets for each in split_options(options) if wanted(each.kind))
    return kept + bytes(-len(kept) % 4)


def fill_in(options: bytes, now_s: float, leaves_by: int, own: Container[int]) -> bytes:
    """Write into the options what they ask of us; the length stays the same.

    leaves_by: address of the interface by which the packet leaves. own: all our addresses.
    Raises `OptionError`, or `SourceRouteError` for a source route; whether it does depends on the
    options alone.

    >>> fill_in(bytes.fromhex("070704 00000000 00"), 0.0, 0xC0000201, own=()).hex()
    '070708c000020100'
    """
    filled, met = bytearray(options), set[int]()
    for offset, kind, octets in split_options(options):
        if kind in _SOURCE_ROUTES:
            raise SourceRouteError(f"option {kind} is a source route")
        if kind in met:
            raise OptionError(f"option {kind} is there for the second time", offset)
        if kind == _RECORD_ROUTE:
            written = _record(octets, offset, leaves_by)
        elif kind == _TIMESTAMP:
            written = _stamp(octets, offset, now_s, leaves_by, own)
        else:
            continue
        met.add(kind)
        filled[offset : offset + len(octets)] = written
    return bytes(filled)


def _record(octets: bytes, offset: int, address: int) -> bytes:
    pointer = _pointer(octets, offset, smallest=4)
    if pointer > len(octets):
        return octets  # full; that is no fault
    _check_room(octets, offset, pointer, 4)
    return _written(octets, pointer, address.to_bytes(4, "big"))


def _stamp(octets: bytes, offset: int, now_s: float, leaves_by: int, own: Container[int]) -> bytes:
    pointer = _pointer(octets, offset, smallest=5)
    overflow, flag = octets[3] >> 4, octets[3] & 0x0F
    if pointer > len(octets):
        if overflow == 15:
            raise OptionError("more routers than the timestamp option can count", offset + 3)
        return octets[:3] + bytes([(overflow + 1) << 4 | flag]) + octets[4:]
    if flag not in _ENTRY_OCTETS:
        raise OptionError(f"timestamp option has the unknown flag {flag}", offset + 3)
    _check_room(octets, offset, pointer, _ENTRY_OCTETS[flag])
    time = (int(now_s * 1000) % _NOT_UNIVERSAL_TIME | _NOT_UNIVERSAL_TIME).to_bytes(4, "big")
    if flag == _TIMES_ONLY:
        return _written(octets, pointer, time)
    if flag == _WITH_ADDRESSES:
        return _written(octets, pointer, leaves_by.to_bytes(4, "big") + time)
    given = octets[pointer - 1 : pointer + 3]
    if int.from_bytes(given, "big") not in own:
        return octets
    return _written(octets, pointer, given + time)


def _pointer(octets: bytes, offset: int, smallest: int) -> int:
    if len(octets) < smallest - 1:
        raise OptionError(f"option {octets[0]} has no room for its pointer", offset + 1)
    if octets[2] < smallest:
        raise OptionError(f"pointer is {octets[2]}, must be {smallest} or more", offset + 2)
    return octets[2]


def _check_room(octets: bytes, offset: int, pointer: int, entry_octets: int) -> None:
    if pointer - 1 + entry_octets > len(octets):
        raise OptionError("there is some room left, but not enough for an entry", offset + 2)


def _written(octets: bytes, pointer: int, entry: bytes) -> bytes:
    """Put `entry` where the pointer points, and move the pointer behind it."""
    after = pointer + len(entry)
    return octets[:2] + bytes([after]) + octets[3 : pointer - 1] + entry + octets[after - 1 :]
