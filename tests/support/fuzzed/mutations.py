"""Change JSON as somebody would who wants to hurt: by its structure, and octet by octet.

What comes out mostly still reads as JSON, so that it reaches what lies behind the parser: a value
somewhere inside is replaced by an odd one, moved, repeated or nested. Some changes are raw: flipped
octets, pieces cut out, numbers and marks that no writer of JSON would produce.
"""

import json
from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

DEEP, LONG = 950, 5000  # nested as deep as Python's JSON still reads; digits, more than `int` reads
HASH_MODULUS = (1 << 61) - 1  # multiples of it have the hash 0 in CPython, see `sys.hash_info`
MOST_OCTETS = 1 << 20  # of one mutated text; larger ones are made by hand where they matter

ODD_TEXTS = (
    "", "x", "\ud800", "\x00", "\u2028a\u2029b\x85c", "\u202eexe.txt", "\x1b[2J\x07", "\r\n\t",
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "&lt;b&gt;", "`<i>`", "``",
    "=1+1", "＝1+1", "\t@x", "{function} {0} %s {note.__class__}", "[red]x[/]", "nan", "inf",
    "course_lib.checksum", "x" * 3000, "é" * 2000, "\ud800" * 500, "0" * 5000, "raised", "ended",
)  # fmt: skip
ODD_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 7, 1 << 63, 10**309, 10**400, 10**4299, -(1 << 4096), 0.5, -0.0,
    1e308, float("nan"), float("inf"), [], {}, [[]], [None] * 300, [[[]] * 30] * 30,
    [{"a": [1]}], {"octets": "4"}, {"octets": "45 00"}, {"octets": "\u0664"}, {"float": 10**400},
    {"float": "nan"}, {"float": "1e5"}, {"float": True}, {"map": []}, {"map": ["ab"]},
    {"map": [[[1, [2]], 3]]}, {"map": [[{"map": []}, 1]]}, {"map": [[{"float": "nan"}, 1]] * 3},
    {"map": [[k * HASH_MODULUS, 0] for k in range(400)]}, {"x" * 3000: 1},
    {"raised": "ValueError", "kinds": ["ValueError", "Exception"], "message": "no", "line": 2},
    {"ended": ["<b>"]}, {"case": 0, "value": 1}, {"not_plain": {"a": []}},
)  # fmt: skip
ODD_PIECES = (
    b"NaN", b"-Infinity", b"1e999", b"1" * LONG, b"-" + b"9" * LONG, b"0." + b"1" * LONG, b"1E400",
    b'"\\ud800"', b'"\\u0000"', b'"\\ud83d\\ude00"', b"[" * DEEP + b"]" * DEEP, b"[" * 60_000,
    b'{"a":' * DEEP + b"1" + b"}" * DEEP, b'{"a":1,"a":2}', b"\xe2\x80\xa8", b"\xff", b"\x00",
    b"\xef\xbb\xbf", b"\n", b"\n\n", b",", b"[0" + b",0" * 30_000 + b"]", b"{},{}", b'"', b"\\",
)  # fmt: skip
Place = tuple[Any, Any]  # what holds a value, and its key or index there


def mutated(
    octets: bytes,
    random: Random,
    others: Sequence[bytes] = (),
    pieces: Sequence[bytes] = ODD_PIECES,
) -> bytes:
    """Return another version of a text of JSON, or of several with a line feed between them.

    The first octet says what the text is for, and is kept. Parts of `others`, which begin
    with such an octet too, may be spliced in, and any of `pieces` may be put anywhere.
    """
    lines = octets[1:].split(b"\n")
    for _ in range(random.choice((1, 1, 2, 4))):
        number = random.randrange(len(lines))
        change = random.choice((_by_structure, _by_structure, _by_structure, _raw))
        lines[number] = change(lines[number], random, pieces)
        if random.random() < 0.1:
            lines = _rearranged(lines, random, others)
    return octets[:1] + b"\n".join(lines)[:MOST_OCTETS]


def _by_structure(line: bytes, random: Random, pieces: Sequence[bytes]) -> bytes:
    try:
        data = [json.loads(line)]  # in a list, so that the whole has a place too
    except (ValueError, RecursionError):
        return _raw(line, random, pieces)
    places = list(_places(data))
    holder, key = random.choice(places)
    other, other_key = random.choice(places)
    kind = random.randrange(6)
    if kind == 0:
        holder[key] = random.choice(ODD_TEXTS)
    elif kind == 1:
        holder[key] = random.choice(ODD_VALUES)
    elif kind == 2:
        holder[key] = _copied(other[other_key])
    elif kind == 3:
        holder[key] = [_copied(holder[key])] * random.choice((0, 1, 2, 20, 300))
    elif kind == 4 and isinstance(holder, dict):
        holder[random.choice(ODD_TEXTS)] = holder.pop(key)
    else:
        piece = random.choice(pieces)
        holder[key] = "piece-goes-here"
        return _written(data, random).replace(b'"piece-goes-here"', piece)
    return _written(data, random)


def _raw(line: bytes, random: Random, pieces: Sequence[bytes]) -> bytes:
    start = random.randrange(len(line) + 1)
    end = min(len(line), start + random.choice((0, 1, 1, 4, 40, 4000)))
    middle = random.choice((
        b"", random.choice(pieces), bytes([random.randrange(256)]), line[start:end] * 2,
        bytes(one ^ (1 << random.randrange(8)) for one in line[start:end]),
    ))  # fmt: skip
    return line[:start] + middle + (b"" if random.random() < 0.1 else line[end:])


def _rearranged(lines: list[bytes], random: Random, others: Sequence[bytes]) -> list[bytes]:
    """Splice two texts, or leave out, repeat or move whole lines."""
    cut = random.randrange(len(lines) + 1)
    more = random.choice(others)[1:].split(b"\n") if others else lines
    return random.choice(
        (
            lines[:cut] + more[random.randrange(len(more)) :],
            lines[:cut] + lines[cut + 1 :],
            lines[:cut] + lines[cut : cut + 1] * 3 + lines[cut:],
        )
    ) or [b""]


def _places(data: Any) -> Iterator[Place]:
    """Yield every place in a value at which another one could stand, not deeper than is usual."""
    waiting = [(data, 0)]
    while waiting:
        holder, depth = waiting.pop()
        keys = list(holder) if isinstance(holder, dict) else range(min(len(holder), 200))
        for key in keys:
            yield holder, key
            if isinstance(holder[key], dict | list) and depth < 20:
                waiting.append((holder[key], depth + 1))


def _copied(value: Any) -> Any:
    try:
        return json.loads(json.dumps(value))
    except (ValueError, RecursionError):
        return value


def _written(data: list[Any], random: Random) -> bytes:
    try:
        text = json.dumps(data, ensure_ascii=random.random() < 0.9)
    except (ValueError, RecursionError):  # it holds itself, or is nested too deep to be written
        return b"[" * DEEP
    return text.encode("utf-8", "surrogatepass")[1:-1]
