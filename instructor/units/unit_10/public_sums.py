"""Questions of unit 10, buffers and TCP: the public ones of 10.1, 10.2, 10.4 and 10.5.

Values that a source prints stand beside its name; the rest is worked out by the model answers.
"""

__all__ = ["BUFFERS", "PATHS", "TEETH", "WAITS"]

from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

RFC_6349 = "RFC 6349, section 3.3.1 (the octets; packets and the two ways are ours)"
NO_BUFFER = "K. Nichols, V. Jacobson, the draft of 2013 that became RFC 8289: 75 % of the line"
RULE_OF_THUMB = "C. Villamizar, C. Song, CCR 24 (1994): rate x delay of buffer keeps a line busy"
ROOT_99 = (
    "G. Appenzeller et al., SIGCOMM 2004, abstract: 10,000 flows, 99 % less (in packets: ours)"
)
ROOT = "G. Appenzeller et al., SIGCOMM 2004, section 3: rate x delay / root of the flows"
CONTRACT = "the contract's example"


def ask(aspect: str, *arguments: Any, source: str = "") -> Question:
    """Ask for what the model answer works out."""
    return Question(aspect, arguments, source) if source else Question(aspect, arguments)


def printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    """Ask for what a source prints."""
    return Question(aspect, arguments, source, Expected(value=value))


PATHS = (
    printed("there and back", CONTRACT, (750, 15), 8_000, 250, 500, 50),
    ask("there and back", 8_000, 500, 250, 50),
    printed("there and back", RFC_6349, (9_600, 10), 1_536_000, 12, 38, 960),
    printed("there and back", RFC_6349, (56_250, 45), 5_000_000, 70, 20, 1250),
    printed("there and back", RFC_6349, (62_500, 50), 100_000_000, 1, 4, 1250),
    ask("there and back", 1_536_000, 12, 38, 480),
    ask("whole octets", 8_001, 1, 1, 3),
    ask("whole octets", 8_001, 500, 500, 143),
    ask("whole octets", 8_012, 500, 500, 167),
    ask("whole octets", 12_000_001, 4, 4, 1091),
    ask("whole octets", 9_608, 250, 250, 601),
    ask("whole octets", 12_000, 501, 501, 167),
    ask("whole octets", 20_000, 7, 7, 5),
    ask("whole octets", 1_536_000, 17, 17, 1632),
    ask("whole octets", 10_000_000, 35, 35, 1250),
    ask("whole octets", 10**11, 10_000, 10_000, 10_000),
    ask("whole octets", 8, 501, 501, 1),
    ask("whole octets", 8_012, 500, 500, 1),
    ask("whole packets", 8_000, 500, 500, 100),
    printed("whole packets", RFC_6349, (3_840, 4), 1_536_000, 10, 10, 960),
    ask("whole packets", 8_000, 525, 525, 100),
    ask("whole packets", 8_000, 510, 510, 100),
    ask("whole packets", 8_000, 4, 4, 1500),
    printed("whole packets", RFC_6349, (9_600, 7), 1_536_000, 25, 25, 1500),
    printed("whole packets", RFC_6349, (56_250, 38), 5_000_000, 45, 45, 1500),
    ask("whole packets", 5_000_000, 42, 42, 1500),
    ask("whole packets", 10_000_000, 21, 21, 1500),
)

TEETH = (
    printed("line idle at times", CONTRACT, (2, 4, 0.75), 4, 0),
    printed("line idle at times", "the worked case", (3, 6, 18 / 19), 4, 2),
    ask("line idle at times", 2, 0),
    ask("line idle at times", 14, 0),
    printed("line idle at times", NO_BUFFER, (50, 100, 0.75), 100, 0),
    ask("line idle at times", 3, 1),
    ask("line idle at times", 5, 1),
    ask("line idle at times", 8, 4),
    ask("line idle at times", 20, 10),
    ask("line idle at times", 250, 60),
    ask("line always busy", 4, 4),
    ask("line always busy", 4, 10),
    ask("line always busy", 10, 14),
    ask("line always busy", 2, 30),
    ask("line always busy", 400, 400),
    printed("line always busy", RULE_OF_THUMB, (100, 200, 1.0), 100, 100),
    ask("half of an odd window", 4, 5),
    ask("half of an odd window", 5, 6),
    ask("half of an odd window", 10, 11),
    ask("half of an odd window", 8, 9),
)

BUFFERS = (
    printed("not in step", CONTRACT, 50, 12_000_000, 100, 4, False),
    printed("not in step", "the worked case", 71, 12_000_000, 100, 2, False),
    ask("not in step", 10_000_000, 144, 9, False),
    ask("not in step", 144_000_000, 100, 7, False),
    ask("not in step", 10_000_000_000, 250, 50_000, False, source=ROOT),
    ask("not in step", 50_000_000, 60, 25, False, source=ROOT),
    ask("not in step", 120_000_000, 100, 100, False),
    printed("not in step", ROOT_99, 500, 2_500_000_000, 240, 10_000, False),
    ask("in step", 12_000_000, 100, 4, True),
    ask("in step", 10_000_000, 144, 9, True),
    ask("in step", 50_000_000, 60, 25, True),
    ask("in step", 120_000_000, 100, 7, True),
    ask("in step", 60_000_000, 100, 400, True),
    ask("part of a packet", 10_000_000, 100, 1, False),
    ask("part of a packet", 10_000_000, 100, 1, True),
    ask("part of a packet", 44_210_000, 25, 1, True),
    ask("part of a packet", 10_000_000, 80, 1, False),
    ask("part of a packet", 600_000, 10, 5, False),
    ask("part of a packet", 1_500_000, 10, 3, False),
    ask("part of a packet", 2_640_000, 10, 2, False),
    ask("part of a packet", 3_120_000, 10, 2, False),
    ask("part of a packet", 3_840_000, 10, 3, False),
    ask("part of a packet", 12_000_060, 1000, 1, True),
    ask("part of a packet", 12_000_010, 100, 1, True),
    ask("part of a packet", 10_010_000, 2000, 1, True),
)

WAITS = (
    printed("nearly all", CONTRACT, 3.0, [6, 3, 0, 1], 12_000_000, 95),
    ask("nearly all", [90, 5, 3, 1, 1], 12_000_000, 96),
    ask("nearly all", [80, 10, 5, 3, 2, 0], 10_000_000, 91),
    ask("nearly all", [50, 30, 15, 3, 0, 2], 100_000_000, 99),
    ask("nearly all", [0, 40, 500, 30, 0, 4, 1], 2_000_000, 99),
    ask("nearly all", [3, 0, 1, 4, 1], 10_000_000, 50),
    ask("nearly all", [1, 1, 1], 12_000_000, 60),
    ask("nearly all", [0, 1, 0, 1, 1], 12_000_000, 50),
    ask("nearly all", [1, 1, 1, 1, 1], 7_000_000, 70),
    ask("nearly all", [4, 9, 2], 12_000_000, 1),
    ask("nearly all", [989, 6, 5], 12_000_000, 99),
    ask("just the percentage", [2, 2], 12_000_000, 50),
    ask("just the percentage", [3, 4, 7], 12_000_000, 50),
    ask("just the percentage", [7, 18], 12_000_000, 28),
    ask("just the percentage", [7, 0, 43], 12_000_000, 14),
    ask("just the percentage", [4, 10, 11], 12_000_000, 56),
    ask("just the percentage", [14, 20, 16], 6_000_000, 28),
    ask("just the percentage", [9, 3, 2, 11], 4_000_000, 56),
    ask("just the percentage", [20, 8, 20, 52], 12_000_000, 28),
    ask("all of them", [3, 2, 0], 12_000_000, 100),
    ask("all of them", [4], 12_000_000, 100),
    ask("all of them", [5, 1, 2], 12_000_000, 100),
    ask("all of them", [2, 7, 1, 1, 0, 0], 6_000_000, 100),
)
