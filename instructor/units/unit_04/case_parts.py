"""Addresses, prefixes and published tables from which the questions of unit 04 are made."""

__all__ = [
    "BACKBONE",
    "MASK",
    "NESTED",
    "PIERS",
    "THREE",
    "ask",
    "other_pier",
    "prefix_of",
    "printed",
    "private",
    "random_bits",
    "steps",
    "text",
    "trie_of",
]

import random
from collections.abc import Iterable, Mapping
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

PIERS = ("Reed", "Gull", "North", "Lantern", "Plover", "Curlew")
MASK = 0xFFFFFFFF

# RFC 4632, section 6.2: what a backbone hears from the providers PA and PB. The metrics are ours.
BACKBONE = [
    ("10.24.12.0/22", "PA", 20),
    ("10.24.12.0/22", "PB", 10),
    ("10.32.0.0/20", "PA", 5),
    ("10.24.0.0/13", "PA", 1),
    ("10.24.32.0/23", "PB", 7),
    ("10.32.0.0/13", "PB", 1),
]
# RFC 1812, section 5.2.4.3: the prefixes of its two examples. Next hops and metrics are ours.
NESTED = [
    ("10.144.0.0/16", "Gull", 2),
    ("10.144.2.0/24", "Reed", 9),
    ("10.0.0.0/8", "North", 1),
    ("128.12.0.0/16", "Plover", 1),
    ("0.0.0.0/0", "Lantern", 3),
]
THREE = [(f"10.144.{number}.0/24", f"Pier {number}", 1) for number in (1, 2, 3)]


def private(rng: random.Random) -> int:
    """Return an address of 10.0.0.0/8 (RFC 1918)."""
    return 10 << 24 | rng.getrandbits(24)


def text(address: int) -> str:
    """Write an address in dotted decimals."""
    return ".".join(str(octet) for octet in address.to_bytes(4, "big"))


def prefix_of(address: int, length: int) -> str:
    """Write the prefix of that length that holds the address."""
    return f"{text(address >> 32 - length << 32 - length)}/{length}"


def other_pier(rng: random.Random, pier: str) -> str:
    """Draw a pier, but not this one."""
    return rng.choice([one for one in PIERS if one != pier])


def random_bits(rng: random.Random, count: int) -> str:
    """Return bits that read differently from behind, already in the first two."""
    while True:
        bits = f"{rng.getrandbits(count):0{count}b}"
        if bits[:2] != bits[::-1][:2]:
            return bits


def trie_of(hops: Mapping[str, str], circles: Iterable[str] = ()) -> dict[str, Any]:
    """Build a trie as exercise 4.3 has it: dictionaries with the keys "0", "1" and "hop".

    `circles` are nodes without a next hop that are there all the same.
    """
    trie: dict[str, Any] = {}
    for bits in (*hops, *circles):
        node = trie
        for bit in bits:
            node = node.setdefault(bit, {})
        if bits in hops:
            node["hop"] = hops[bits]
    return trie


def steps(aspect: str, *calls: tuple[str, ...], **about: Any) -> Question:
    """Put calls of the methods of a new table, in order.

    A method may be "0:insert": for the first table, where ("new",) makes more.
    """
    made = [["new"], *(_step(*call) for call in calls)]
    return Question(aspect, (sorted(made, key=lambda step: step != ["new"]),), **about)


def _step(method: str, *arguments: str) -> list[Any]:
    number, colon, name = method.rpartition(":")
    return [int(number), name, *arguments] if colon else [method, *arguments]


def ask(aspect: str, *arguments: Any) -> Question:
    """Put arguments to the answer; the model answer says what is right."""
    return Question(aspect, arguments)


def printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    """Put arguments to the answer; a source says what is right."""
    return Question(aspect, arguments, source, Expected(value=value))
