"""Questions of unit 10, buffers and TCP: the public ones.

Values that a source prints stand beside its name; the rest is worked out by the model answers.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_10.secret_cases import (
    buffer_questions,
    path_questions,
    tooth_questions,
    wait_questions,
)
from instructor.units.unit_10.secret_events import events, sender_questions, watch_questions

RFC_6349 = "RFC 6349, section 3.3.1 (the octets; packets and the two ways are ours)"
NO_BUFFER = "K. Nichols, V. Jacobson, the draft of 2013 that became RFC 8289: 75 % of the line"
RULE_OF_THUMB = "C. Villamizar, C. Song, CCR 24 (1994): rate x delay of buffer keeps a line busy"
ROOT_99 = (
    "G. Appenzeller et al., SIGCOMM 2004, abstract: 10,000 flows, 99 % less (in packets: ours)"
)
ROOT = "G. Appenzeller et al., SIGCOMM 2004, section 3: rate x delay / root of the flows"
EQUATION_3 = "RFC 5681, section 3.1, equation 3 and the paragraph on integer arithmetic"
EQUATION_4 = "RFC 5681, section 3.1, equation 4"
RECOVERY = "RFC 5681, section 3.2, steps 1 to 6"
RFC_8289 = "RFC 8289, section 5: the next drop after the interval, divided by the root of the count"

_SMALL, _LARGE = (1000, 3000, 20000), (1000, 10000, 20000)
_ACK = ("ack",)


def _ask(aspect: str, *arguments: Any, source: str = "") -> Question:
    return Question(aspect, arguments, source) if source else Question(aspect, arguments)


def _printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    return Question(aspect, arguments, source, Expected(value=value))


def _duplicates(flight: int, number: int) -> list[tuple[str, int]]:
    return [("duplicate", flight)] * number


def _watch(aspect: str, *packets: tuple[int, int], source: str = "") -> Question:
    about = {"source": source} if source else {}
    return events(aspect, (5, 100), *[("leaves", *packet) for packet in packets], **about)


def _long(*times: int) -> list[tuple[int, int]]:
    return [(time, 9) for time in times]


PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "10.1": (
        _ask("same way back", 8_000, 500, 500, 100),
        _printed("same way back", RFC_6349, [3_840, 4], 1_536_000, 10, 10, 960),
        _printed("same way back", RFC_6349, [19_200, 16], 1_536_000, 50, 50, 1200),
        _ask("another way back", 8_000, 250, 500, 50),
        _printed("another way back", RFC_6349, [9_600, 10], 1_536_000, 12, 38, 960),
        _printed("another way back", RFC_6349, [56_250, 45], 5_000_000, 70, 20, 1250),
        _printed("another way back", RFC_6349, [62_500, 50], 100_000_000, 1, 4, 1250),
        _ask("part of a packet", 8_000, 500, 505, 100),
        _ask("part of a packet", 8_001, 500, 500, 100),
        _printed("part of a packet", RFC_6349, [9_600, 7], 1_536_000, 25, 25, 1500),
        _ask("part of a packet", 10_000_000, 30, 50, 1500),
        _printed("part of a packet", RFC_6349, [56_250, 38], 5_000_000, 45, 45, 1500),
    ),
    "10.2": (
        _ask("no buffer", 4, 0),
        _ask("no buffer", 7, 0),
        _printed("no buffer", NO_BUFFER, [50, 100, 0.75], 100, 0),
        _ask("some buffer", 8, 4),
        _ask("some buffer", 6, 3),
        _ask("some buffer", 10, 8),
        _ask("some buffer", 100, 25),
        _ask("enough buffer", 4, 4),
        _ask("enough buffer", 4, 9),
        _ask("enough buffer", 10, 11),
        _printed("enough buffer", RULE_OF_THUMB, [100, 200, 1.0], 100, 100),
    ),
    "10.3": (
        events("slow start", (1000, 1000, 8000), _ACK, _ACK, _ACK),
        events("slow start", (1460, 4380, 65_535), _ACK, _ACK),
        events("slow start", (1000, 2000, 4000), _ACK, _ACK),
        events("congestion avoidance", (1000, 8000, 8000), _ACK, _ACK, source=EQUATION_3),
        events("congestion avoidance", (1000, 3000, 4000), _ACK, _ACK),
        events("congestion avoidance", (100, 20_000, 200), _ACK, _ACK, source=EQUATION_3),
        events("third duplicate", _LARGE, *_duplicates(10_000, 3), source=EQUATION_4),
        events("third duplicate", _LARGE, *_duplicates(8_000, 3), source=EQUATION_4),
        events("third duplicate", _SMALL, *_duplicates(3_000, 3), source=EQUATION_4),
        events("third duplicate", (1000, 5000, 2000), *_duplicates(5000, 2), _ACK),
        events("third duplicate", _LARGE, *_duplicates(9000, 2), _ACK, *_duplicates(9000, 2), _ACK),
        events("recovery", _LARGE, *_duplicates(10_000, 4), source=RECOVERY),
        events("recovery", _LARGE, *_duplicates(10_000, 3), _ACK, _ACK, source=RECOVERY),
        events("recovery", _LARGE, *_duplicates(9000, 7), _ACK, source=RECOVERY),
        events("recovery", _LARGE, *_duplicates(9000, 4), _ACK, *_duplicates(4000, 3)),
        events("time-out", _LARGE, ("timeout", 10_000), source=EQUATION_4),
        events("time-out", _LARGE, ("timeout", 8_000), _ACK, _ACK),
        events("time-out", _SMALL, ("timeout", 1_000), source=EQUATION_4),
        events(
            "time-out",
            _LARGE,
            *_duplicates(9000, 3),
            ("timeout", 9000),
            *_duplicates(1000, 2),
            _ACK,
        ),
        events("time-out", _LARGE, ("timeout", 9000), *_duplicates(6000, 3)),
    ),
    "10.4": (
        _ask("not in step", 12_000_000, 100, 4, False),
        _ask("not in step", 12_000_000, 100, 2, False),
        _ask("not in step", 10_000_000, 100, 1, False),
        _ask("not in step", 100_000_000, 100, 100, False),
        _ask("not in step", 10_000_000, 80, 10, False, source=ROOT),
        _printed("not in step", ROOT_99, 521, 2_500_000_000, 250, 10_000, False),
        _ask("not in step", 10_000_000_000, 250, 50_000, False, source=ROOT),
        _ask("in step", 12_000_000, 100, 4, True),
        _ask("in step", 10_000_000, 100, 10, True),
        _ask("in step", 44_210_000, 25, 7, True),
    ),
    "10.5": (
        _ask("half of them", [1, 1, 1], 12_000_000, 50),
        _ask("half of them", [2, 2], 12_000_000, 50),
        _ask("half of them", [6, 3, 0, 1], 12_000_000, 50),
        _ask("half of them", [3, 0, 1, 4, 1], 10_000_000, 50),
        _ask("nearly all", [90, 5, 3, 1, 1], 12_000_000, 95),
        _ask("nearly all", [90, 5, 3, 1, 1], 12_000_000, 99),
        _ask("nearly all", [80, 10, 5, 3, 2, 0], 10_000_000, 90),
        _ask("nearly all", [50, 30, 15, 3, 0, 2], 100_000_000, 99),
        _ask("nearly all", [0, 40, 500, 30, 0, 4, 1], 2_000_000, 99),
        _ask("all of them", [3, 2, 0], 12_000_000, 100),
        _ask("all of them", [4], 12_000_000, 100),
        _ask("all of them", [0, 0, 7, 1, 0, 0], 10_000_000, 100),
    ),
    "10.6": (
        _watch("patience", (0, 6), (50, 6), (99, 6), (100, 6)),
        _watch("patience", (0, 4), (60, 3), (200, 4)),
        _watch("patience", (0, 6), (50, 4), (100, 6), (150, 6), (200, 6)),
        _watch("patience", (7, 5), (60, 5), (107, 5)),
        _watch("patience", (0, 6), (40, 4), (80, 20), (110, 20)),
        _watch("patience", (0, 1), (10, 1), (20, 1), (30, 6), (130, 6)),
        _watch("pace", *_long(0, 100, 150, 200)),
        _watch("pace", *_long(0, 100, 200, 260, 271, 310, 329, 340, 379), source=RFC_8289),
        _watch("pace", *_long(0, 130, 205, 210, 272, 290)),
        _watch("pace", *_long(0, 100, 140, 200, 240, 265, 300)),
        _watch("relief", *_long(0, 100, 200), (210, 2), *_long(220, 280, 320, 400, 420)),
        _watch("relief", *_long(0, 100), (110, 4), (120, 9), (200, 9)),
        _watch("relief", *_long(0, 100, 200, 271), (280, 0), *_long(300, 400, 460, 500)),
    ),
}


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "10.1": path_questions,
    "10.2": tooth_questions,
    "10.3": sender_questions,
    "10.4": buffer_questions,
    "10.5": wait_questions,
    "10.6": watch_questions,
}
