"""Questions of unit 04, longest prefix match: the public ones.

Values that a source prints stand beside its name; the rest is worked out by the model answers,
which `tests/oracles` holds against PyTricia. Addresses are for documentation (RFC 5737) or, where
a prefix must be shorter than theirs, private (RFC 1918), as in the examples of RFC 4632 and 1812.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_04.case_parts import BACKBONE, NESTED, THREE, steps, trie_of
from instructor.units.unit_04.secret_cases import cover_questions, list_questions, walk_questions
from instructor.units.unit_04.secret_tables import level_questions, spare_questions, table_questions

RFC_4632_6_1 = "RFC 4632, section 6.1 (the range of the provider's block)"
RFC_4632_6_2 = "RFC 4632, section 6.2 (the metrics are ours)"
RFC_4632_WITHDRAWN = "RFC 4632, section 6.2: PA withdraws 10.32.0.0/20"
RFC_1812 = "RFC 1812, section 5.2.4.3 (the metrics are ours)"

DEFAULT = ("0.0.0.0/0", "Lantern", 1)


def _ask(aspect: str, *arguments: Any) -> Question:
    return Question(aspect, arguments)


def _printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    return Question(aspect, arguments, source, Expected(value=value))


def _walk(aspect: str, hops: dict[str, str], bits: str) -> Question:
    return Question(aspect, (trie_of(hops), bits))


def _steps(aspect: str, calls: str, **about: Any) -> Question:
    """Put calls of a table's methods, written as words with commas between them."""
    return steps(aspect, *(tuple(call.split(" ")) for call in calls.split(", ")), **about)


def _inserted(routes: Sequence[tuple[str, str, int]]) -> str:
    return ", ".join(f"insert {prefix} {hop}" for prefix, hop, _ in routes)


_SPREAD = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Plover"}

COVERS = (
    _ask("whole octets", "203.0.113.0/24", "203.0.113.7"),
    _ask("whole octets", "203.0.113.0/24", "203.0.114.7"),
    _ask("whole octets", "10.2.0.0/16", "10.20.0.1"),
    _ask("whole octets", "10.2.0.0/16", "10.2.200.9"),
    _ask("whole octets", "10.0.0.0/8", "11.0.0.0"),
    _ask("inside an octet", "203.0.113.64/26", "203.0.113.100"),
    _ask("inside an octet", "203.0.113.64/26", "203.0.113.128"),
    _ask("inside an octet", "203.0.113.64/26", "203.0.113.63"),
    _printed("inside an octet", RFC_4632_6_1, True, "10.24.0.0/13", "10.31.255.255"),
    _printed("inside an octet", RFC_4632_6_1, False, "10.24.0.0/13", "10.32.0.0"),
    _ask("inside an octet", "10.24.0.0/13", "10.25.32.0"),
    _ask("edges", "0.0.0.0/0", "198.51.100.9"),
    _ask("edges", "198.51.100.9/32", "198.51.100.9"),
    _ask("edges", "198.51.100.9/32", "198.51.100.8"),
    _ask("edges", "203.0.113.77/26", "203.0.113.100"),
    _ask("edges", "203.0.113.77/26", "203.0.113.13"),
    _ask("edges", "10.31.7.9/13", "10.24.0.1"),
    _ask("edges", "203.0.113.77/25", "203.0.113.130"),
)

LOOK_UP = (
    _ask("longest prefix", [("10.0.0.0/8", "Reed", 1), ("10.1.0.0/16", "Gull", 2)], "10.1.2.3"),
    _ask("longest prefix", [("10.1.0.0/16", "Gull", 1), ("10.0.0.0/8", "Reed", 2)], "10.1.2.3"),
    _ask("longest prefix", [("10.1.0.0/16", "Gull", 1), ("10.0.0.0/8", "Reed", 2)], "10.9.2.3"),
    _ask(
        "longest prefix",
        [("0.0.0.0/0", "North", 1), ("198.51.100.0/24", "Reed", 2)],
        "198.51.100.9",
    ),
    _printed("longest prefix", RFC_1812, ["10.144.2.0/24", "Reed"], NESTED, "10.144.2.5"),
    _printed("longest prefix", RFC_1812, ["10.144.2.0/24", "Pier 2"], THREE, "10.144.2.5"),
    _printed("longest prefix", RFC_4632_6_2, ["10.24.32.0/23", "PB"], BACKBONE, "10.24.33.9"),
    _printed("longest prefix", RFC_4632_6_2, ["10.32.0.0/20", "PA"], BACKBONE, "10.32.15.255"),
    _printed("longest prefix", RFC_4632_6_2, ["10.32.0.0/13", "PB"], BACKBONE, "10.32.16.0"),
    _ask("default and no route", [DEFAULT], "198.51.100.9"),
    _ask("default and no route", [("203.0.113.0/24", "Reed", 1)], "198.51.100.9"),
    _ask("default and no route", [DEFAULT, ("203.0.113.0/24", "Reed", 2)], "203.0.113.9"),
    _printed("default and no route", RFC_4632_6_2, None, BACKBONE, "10.40.0.0"),
    _ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 20), ("203.0.113.0/24", "Gull", 10)],
        "203.0.113.9",
    ),
    _ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 2), ("203.0.113.0/24", "Gull", 10), DEFAULT],
        "203.0.113.9",
    ),
    _printed("equal prefixes", RFC_4632_6_2, ["10.24.12.0/22", "PB"], BACKBONE, "10.24.12.1"),
)

WALK = (
    _walk("on the way", {"0": "Reed"}, "0110"),
    _walk("on the way", {"0": "Reed", "01": "Gull"}, "0110"),
    _walk("on the way", {"0": "Reed", "011": "Gull"}, "0110"),
    _walk("on the way", {"1": "North", "10": "Gull", "1011": "Reed"}, "1011"),
    _walk("on the way", {"0": "Reed", "0000": "Gull"}, "0010"),
    _walk("on the way", _SPREAD, "01101011"),
    _walk("dead ends", {"0": "Reed", "0111": "Gull"}, "0110"),
    _walk("dead ends", {"11": "Reed"}, "0110"),
    _walk("dead ends", {"11": "Reed", "0100": "Gull"}, "0110"),
    _walk("dead ends", {"01": "Reed", "011011": "Gull"}, "01100000"),
    _walk("default route", {"": "North"}, "0110"),
    _walk("default route", {}, "0110"),
    _walk("default route", {"": "North", "011": "Gull"}, "0101"),
    _walk("default route", _SPREAD, "00000000"),
)

TABLE = (
    _steps("insert and look up", "look_up 203.0.113.9"),
    _steps("insert and look up", "insert 203.0.113.0/24 Reed, look_up 203.0.113.9"),
    _steps("insert and look up",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.64/26 Gull, look_up 203.0.113.9, "
           "look_up 203.0.113.100"),
    _steps("insert and look up", "insert 203.0.113.77/26 Gull, look_up 203.0.113.100"),
    _steps("insert and look up",
           f"{_inserted(NESTED)}, look_up 10.144.2.5, look_up 10.144.3.5, look_up 10.145.0.1, "
           "look_up 192.0.2.1"),
    _steps("the same prefix again",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.0/24 Gull, look_up 203.0.113.9"),
    _steps("the same prefix again",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.0/24 Gull, withdraw 203.0.113.0/24, "
           "look_up 203.0.113.9"),
    _steps("the same prefix again",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.9/24 North, look_up 203.0.113.9, "
           "withdraw 203.0.113.200/24, insert 203.0.113.0/25 Gull, look_up 203.0.113.9"),
    _steps("withdraw",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.64/26 Gull, "
           "withdraw 203.0.113.64/26, look_up 203.0.113.100"),
    _steps("withdraw",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.64/26 Gull, withdraw 203.0.113.0/24, "
           "look_up 203.0.113.100, look_up 203.0.113.9"),
    _steps("withdraw",
           f"{_inserted(BACKBONE)}, look_up 10.32.1.1, withdraw 10.32.0.0/20, look_up 10.32.1.1",
           source=RFC_4632_WITHDRAWN, published=Expected(value=[None] * 6 + ['PA', None, 'PB'])),
    _steps("withdraw",
           "insert 0.0.0.0/0 Lantern, insert 203.0.113.0/24 Reed, withdraw 0.0.0.0/0, "
           "look_up 198.51.100.9, look_up 203.0.113.9"),
    _steps("not there", "insert 203.0.113.0/24 Reed, withdraw 203.0.113.0/25"),
    _steps("not there", "withdraw 203.0.113.0/24"),
    _steps("not there",
           "insert 203.0.113.0/24 Reed, withdraw 203.0.113.0/24, withdraw 203.0.113.0/24"),
    _steps("not there",
           "insert 203.0.113.0/25 Reed, insert 203.0.113.0/27 Gull, withdraw 203.0.113.0/26"),
    _steps("not there",
           "insert 203.0.113.0/25 Reed, withdraw 203.0.113.0/25, insert 203.0.113.0/25 Gull, "
           "look_up 203.0.113.9"),
    _steps("not there",
           "insert 203.0.113.0/25 Reed, insert 203.0.113.0/24 Gull, withdraw 203.0.113.0/25, "
           "look_up 203.0.113.9"),
)  # fmt: skip

LEVELS = (
    _ask("first level", [("000", "Reed"), ("111", "Gull")]),
    _ask("first level", [("0", "Reed")]),
    _ask("first level", [("01", "Gull"), ("0", "Reed")]),
    _ask("first level", [("0", "Reed"), ("01", "Gull"), ("", "North")]),
    _ask("first level", [("1", "Reed"), ("", "North"), ("101", "Gull")]),
    _ask("first level", []),
    _ask("second level", [("010", "Reed"), ("010111", "Gull")]),
    _ask("second level", [("0101", "Gull")]),
    _ask("second level", [("0", "Reed"), ("0011", "Gull"), ("00110", "North")]),
    _ask("second level", [("00110", "North"), ("0011", "Gull"), ("0", "Reed")]),
    _ask("second level", [("1110", "Reed"), ("0001", "Gull")]),
    _ask("second level", [("11100", "Gull"), ("001111", "North"), ("", "Reed")]),
    _ask("second level", [("1011", "Reed"), ("10100", "Gull"), ("10", "North")]),
)

SPARE = (
    _ask("same next hop", [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Reed")]),
    _ask("same next hop", [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Gull")]),
    _ask("same next hop", [("10.1.0.0/16", "Gull"), ("10.0.0.0/8", "Gull")]),
    _ask("same next hop", [("10.1.0.0/16", "Reed"), ("10.2.0.0/16", "Reed")]),
    _ask(
        "same next hop",
        [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Gull"), ("10.1.2.0/24", "Reed")],
    ),
    _ask(
        "same next hop",
        [
            ("0.0.0.0/0", "North"),
            ("10.1.2.0/24", "Gull"),
            ("10.1.0.0/16", "Gull"),
            ("10.2.0.0/16", "North"),
            ("10.1.2.128/25", "North"),
        ],
    ),
    _ask(
        "never used",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Gull"), ("203.0.113.128/25", "North")],
    ),
    _ask(
        "never used",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Gull"), ("203.0.113.128/26", "North")],
    ),
    _ask(
        "never used",
        [
            ("203.0.113.0/25", "Gull"),
            ("203.0.113.192/26", "Reed"),
            ("203.0.113.0/24", "North"),
            ("203.0.113.128/26", "Plover"),
        ],
    ),
    _ask(
        "both at once",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Reed"), ("203.0.113.128/25", "North")],
    ),
    _ask(
        "both at once",
        [
            ("10.0.0.0/8", "Reed"),
            ("10.0.0.0/10", "Gull"),
            ("10.64.0.0/10", "Reed"),
            ("10.128.0.0/9", "North"),
            ("10.128.0.0/16", "North"),
        ],
    ),
    _ask(
        "both at once",
        [("0.0.0.0/0", "Reed"), ("128.0.0.0/1", "Gull"), ("0.0.0.0/1", "Gull")],
    ),
)


PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "4.1": COVERS,
    "4.2": LOOK_UP,
    "4.3": WALK,
    "4.4": TABLE,
    "4.5": LEVELS,
    "4.6": SPARE,
}


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "4.1": cover_questions,
    "4.2": list_questions,
    "4.3": walk_questions,
    "4.4": table_questions,
    "4.5": level_questions,
    "4.6": spare_questions,
}
