"""Plain data: the only thing that passes between an answer and its judge.

An answer runs in a process of its own. What it returns is rewritten there as
JSON of a few built-in types, and rebuilt by the judge. No object that an answer
made ever reaches the judge, so nothing it overrides (equality, for one) counts.

* Lists travel as JSON lists, tuples as `{"tuple": [...]}`, sets as `{"set": [...]}`.
* Octets travel as `{"octets": "4500"}`, those that can be changed as `{"bytearray": "4500"}`, maps
  as `{"map": [[key, value], ...]}`.
* NumPy's integers, floats and booleans travel as Python's.
"""

__all__ = ["NotPlainError", "decode", "encode", "same", "writable"]

import math
from collections import Counter
from collections.abc import Sequence
from typing import Any

MAX_DEPTH = 12
MAX_ITEMS = 20_000
MAX_OCTETS = 1 << 20
MAX_INTEGER_BITS = 4096
SMALL = 1 << 64  # nothing to look at in what is smaller
TOO_MANY = f"a value with more than {MAX_ITEMS:,} items"
MAX_SAME_HASH = 16  # keys of one map; more were chosen to make a dictionary slow


class NotPlainError(ValueError):
    """A value that is not plain data; the text says what it was, for people."""


def encode(value: Any) -> Any:
    """Rewrite a value as JSON-ready data; raise `NotPlainError` if it is not plain.

    >>> encode([(b"E", 5), None])
    [{'tuple': [{'octets': '45'}, 5]}, None]
    """
    return _encode(value, 0, _Budget(MAX_ITEMS))


def decode(data: Any) -> Any:
    """Rebuild the value that `encode` rewrote, with the same types all through.

    Raises `NotPlainError` for data that `encode` cannot have written.
    """
    return _decode(data, 0, _Budget(MAX_ITEMS))


def same(expected: Any, given: Any, *, whole: bool = False) -> bool:
    """Tell whether two decoded values agree: as `==` says, and floats to nine digits.

    So a list is no tuple, but `True` is `1`, and `20.0` is `20`, unless a `whole` number is wanted.

    >>> same([20, (1.5, None)], [20.0, (1.5, None)]), same([1], (1,)), same(20, 20.0, whole=True)
    (True, False, False)
    """
    if not whole and type(expected) is type(given) and expected == given:
        return True  # as most are, and found out at once; else a float may still be close enough
    if isinstance(expected, list | tuple):
        return (
            type(expected) is type(given)
            and len(expected) == len(given)
            and all(same(*pair, whole=whole) for pair in zip(expected, given, strict=True))
        )
    if isinstance(expected, dict):
        return (
            isinstance(given, dict)
            and expected.keys() == given.keys()
            and all(same(expected[key], given[key], whole=whole) for key in expected)
        )
    if isinstance(expected, int) and whole:
        return isinstance(given, int) and expected == given
    if isinstance(expected, int | float):
        return isinstance(given, int | float) and _is_close(expected, given)
    return bool(expected == given)


def writable(text: str) -> str:
    """Return a text in which what no file can hold (a lone surrogate) is spelled out."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _is_close(expected: float, given: float) -> bool:
    if isinstance(expected, int) and isinstance(given, int):
        return expected == given
    try:
        return math.isclose(expected, given, rel_tol=1e-9, abs_tol=1e-12)
    except OverflowError:  # an integer larger than any float
        return False


class _Budget:
    """Count items on the way, so that a huge value is refused early.

    Each is counted where it is met, without a call: that would be a third of the work.
    """

    def __init__(self, items: int) -> None:
        self.left = items


def _encode(value: Any, depth: int, budget: _Budget) -> Any:
    if depth > MAX_DEPTH:
        raise NotPlainError(f"a value nested more than {MAX_DEPTH} deep")
    budget.left -= 1
    if budget.left < 0:
        raise NotPlainError(TOO_MANY)
    kind = type(value)
    if kind is int:
        return value if -SMALL < value < SMALL else _whole_number(value)
    if kind is str:
        return _text(value)
    if value is None or kind is bool:
        return value
    if kind is float:
        return value if math.isfinite(value) else {"float": repr(value)}
    if kind in (bytes, bytearray, memoryview):
        return {"bytearray" if kind is bytearray else "octets": _octets(bytes(value))}
    if kind is list:
        return [_encode(item, depth + 1, budget) for item in value]
    if kind in (tuple, set, frozenset):
        items = [_encode(item, depth + 1, budget) for item in value]
        return {"tuple": items} if kind is tuple else {"set": sorted(items, key=repr)}
    if kind is dict:
        pairs = [
            [_encode(key, depth + 1, budget), _encode(item, depth + 1, budget)]
            for key, item in value.items()
        ]
        return {"map": pairs}
    return _encode_relative(value, depth, budget)


def _encode_relative(value: Any, depth: int, budget: _Budget) -> Any:
    """Encode what only behaves like a built-in: NumPy values and subclasses."""
    if type(value).__module__ == "numpy":  # scalars and arrays become Python's own
        return _encode(value.tolist(), depth + 1, budget)
    builtins: tuple[type[Any], ...] = (int, float, str, bytes, bytearray, tuple, list, dict)
    for builtin in builtins:
        if isinstance(value, builtin):
            return _encode(builtin(value), depth + 1, budget)
    raise NotPlainError(f"an object of type {type(value).__name__}")


def _whole_number(value: int) -> int:
    if value.bit_length() > MAX_INTEGER_BITS:
        raise NotPlainError(f"an integer of {value.bit_length():,} bits")
    return value


def _text(value: str) -> str:
    if len(value) <= MAX_OCTETS and value.isascii():  # as nearly all are, and found out at once
        return value
    text = writable(value[: MAX_OCTETS + 1])
    if len(text) > MAX_OCTETS:
        raise NotPlainError(f"a text of {len(value):,} characters")
    return text


def _octets(value: bytes) -> str:
    if len(value) > MAX_OCTETS:
        raise NotPlainError(f"{len(value):,} octets")
    return value.hex()


def _decode(data: Any, depth: int, budget: _Budget) -> Any:
    """Rebuild a value; types are those that JSON gives, and the most frequent are asked for first.

    Every argument of every case comes this way, in every process.
    """
    if depth > MAX_DEPTH:
        raise NotPlainError("data nested too deep")
    budget.left -= 1
    if budget.left < 0:
        raise NotPlainError(TOO_MANY)
    kind = type(data)
    if kind is int:
        return data if -SMALL < data < SMALL else _whole_number(data)
    if kind is list:
        return [_decode(item, depth + 1, budget) for item in data]
    if kind is str:
        return _text(data)
    if data is None or kind is bool or kind is float:
        return data
    if kind is dict and len(data) == 1:
        ((tag, content),) = data.items()
        return _decode_tagged(tag, content, depth, budget)
    raise NotPlainError("data of an unknown form")


def _decode_tagged(tag: str, content: Any, depth: int, budget: _Budget) -> Any:
    if tag in ("octets", "bytearray") and isinstance(content, str):
        try:
            octets = bytes.fromhex(content[: 2 * MAX_OCTETS + 1])
        except ValueError as problem:
            raise NotPlainError("octets that are no pairs of hexadecimal digits") from problem
        return octets if tag == "octets" else bytearray(octets)
    if tag == "float" and content in ("nan", "inf", "-inf"):
        return float(content)
    if tag == "map" and isinstance(content, list):
        return _decode_map(content, depth, budget)
    if tag in ("tuple", "set") and isinstance(content, list):
        items = tuple(_decode(item, depth + 1, budget) for item in content)
        if tag == "tuple":
            return items
        _check_keys(items)
        return set(items)
    raise NotPlainError(f"data with an unknown tag {tag[:40]!r}")


def _decode_map(content: list[Any], depth: int, budget: _Budget) -> dict[Any, Any]:
    pairs: list[tuple[Any, Any]] = []
    for pair in content:
        if not isinstance(pair, list) or len(pair) != 2:
            raise NotPlainError("a map that is not made of pairs")
        key, item = (_decode(part, depth + 1, budget) for part in pair)
        pairs.append((key, item))
    _check_keys([key for key, _ in pairs])
    return dict(pairs)


def _check_keys(keys: Sequence[Any]) -> None:
    """Refuse what cannot be a key, and keys made so that all of them have the same hash.

    The hash of numbers is no secret.
    """
    try:
        hashes = [hash(key) for key in keys]
    except TypeError as problem:
        raise NotPlainError("a key that cannot be one") from problem
    if len(keys) > MAX_SAME_HASH and max(Counter(hashes).values()) > MAX_SAME_HASH:
        raise NotPlainError(f"over {MAX_SAME_HASH} keys that look alike")
