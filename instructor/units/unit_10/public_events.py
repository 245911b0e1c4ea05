"""Questions of unit 10, buffers and TCP: the public ones of 10.3 and 10.6, rows of events.

What one aspect asks for must not fall with another: so rows with duplicates hold
acknowledgements only where both kinds of growth add the same, and rows with short waits hold
no third drop.
"""

__all__ = ["SENDERS", "WATCHES"]

from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

EQUATION_3 = "RFC 5681, section 3.1, equation 3 and the paragraph on integer arithmetic"
EQUATION_4 = "RFC 5681, section 3.1, equation 4"
RECOVERY = "RFC 5681, section 3.2, steps 1 to 6"
RFC_8289 = "RFC 8289, section 5: the next drop after the interval, divided by the root of the count"
WORKED = "the worked case"

_ACK = ("ack",)
_BELOW, _ABOVE = (1000, 10_000, 20_000), (1000, 10_000, 5_000)


def _duplicates(number: int, flight: int) -> list[tuple[str, int]]:
    return [("duplicate", flight)] * number


def _watch(aspect: str, *packets: tuple[int, int], source: str = "") -> Question:
    about = {"source": source} if source else {}
    return events(aspect, (5, 100), *[("leaves", *packet) for packet in packets], **about)


def _long(*times: int) -> list[tuple[int, int]]:
    return [(time, 9) for time in times]


def _two_watches(*packets: tuple[int, int, int]) -> Question:
    steps: list[tuple[Any, ...]] = [(number, "leaves", *packet) for number, *packet in packets]
    return between("patience", ((5, 100), (20, 100)), *steps)


SENDERS = (
    events("slow start", (1000, 4000, 5000), _ACK, source=WORKED),
    events("slow start", (1000, 1000, 8000), _ACK, _ACK, _ACK),
    events("slow start", (1460, 4380, 65_535), _ACK, _ACK),
    events("slow start", (1000, 2000, 4000), _ACK, _ACK),
    events("slow start", (1000, 3500, 4000), _ACK),
    between(
        "slow start", ((1000, 2000, 9000), (500, 1500, 7000)), (0, "ack"), (1, "ack"), (0, "ack")
    ),
    between("slow start", ((1000, 1000, 8000), (500, 500, 7000)), (0, "ack"), (1, "ack")),
    events("congestion avoidance", (1000, 5000, 5000), _ACK, source=WORKED),
    events("congestion avoidance", (1000, 8000, 8000), _ACK, source=EQUATION_3),
    events("congestion avoidance", (1000, 8000, 8000), _ACK, _ACK, source=EQUATION_3),
    events("congestion avoidance", (1000, 9000, 8000), _ACK, _ACK, source=EQUATION_3),
    events("congestion avoidance", (1460, 14_600, 2920), _ACK, _ACK, _ACK),
    events("congestion avoidance", (1000, 1000, 2000), _ACK, _ACK),
    events("congestion avoidance", (100, 20_000, 200), _ACK, _ACK, source=EQUATION_3),
    events("congestion avoidance", (100, 10_000, 5000), _ACK, _ACK, source=EQUATION_3),
    events("duplicates", (1000, 5200, 5000), *_duplicates(4, 5200), _ACK, source=WORKED),
    events("duplicates", _BELOW, *_duplicates(2, 10_000)),
    events("duplicates", _ABOVE, *_duplicates(2, 10_000)),
    events("duplicates", _BELOW, *_duplicates(3, 10_000), source=EQUATION_4),
    events("duplicates", _ABOVE, *_duplicates(3, 10_000), source=EQUATION_4),
    events("duplicates", _ABOVE, *_duplicates(3, 8_000), source=EQUATION_4),
    events("duplicates", (1000, 9001, 5000), *_duplicates(3, 9001)),
    events("duplicates", (1000, 9001, 5000), *_duplicates(3, 9001), _ACK),
    events("duplicates", (1000, 3000, 2000), *_duplicates(3, 3000), source=EQUATION_4),
    events("duplicates", (1000, 2000, 2000), *_duplicates(3, 1000), _ACK, source=EQUATION_4),
    events("duplicates", (1000, 4000, 3000), *_duplicates(3, 4000)),
    events("duplicates", (1460, 146_000, 65_535), *_duplicates(3, 146_000)),
    events("duplicates", _ABOVE, *_duplicates(4, 10_000), source=RECOVERY),
    events("duplicates", _ABOVE, *_duplicates(3, 10_000), _ACK, source=RECOVERY),
    events("duplicates", _ABOVE, *_duplicates(6, 10_000), source=RECOVERY),
    events("duplicates", _ABOVE, *_duplicates(7, 10_000), _ACK, source=RECOVERY),
    events("duplicates", _ABOVE, *_duplicates(4, 10_000), _ACK, *_duplicates(3, 5000)),
    events("duplicates", _ABOVE, *_duplicates(2, 10_000), _ACK, *_duplicates(2, 10_000)),
    events("duplicates", (1000, 1000, 9000), *_duplicates(2, 6000), _ACK, *_duplicates(2, 6000)),
    events("duplicates", (1000, 1000, 9000), *_duplicates(1, 6000), _ACK, *_duplicates(3, 6000)),
    events(
        "duplicates",
        (1000, 1000, 2000),
        *_duplicates(2, 4000),
        ("timeout", 4000),
        *_duplicates(2, 4000),
    ),
    events("duplicates", (1000, 1000, 2000), ("timeout", 4000), *_duplicates(3, 4000)),
    events("duplicates", (1000, 6000, 5000), *_duplicates(3, 6000), ("timeout", 6000), _ACK),
    events("time-out", _BELOW, ("timeout", 10_000), source=EQUATION_4),
    events("time-out", _ABOVE, ("timeout", 8_000), source=EQUATION_4),
    events("time-out", _ABOVE, ("timeout", 6_000), _ACK),
    events("time-out", (1000, 9001, 20_000), ("timeout", 9001)),
    events("time-out", (1000, 3000, 20_000), ("timeout", 1000), source=EQUATION_4),
    events("time-out", (1000, 3000, 20_000), ("timeout", 0), source=EQUATION_4),
    events("time-out", (1000, 2000, 8000), ("timeout", 4000)),
    events("time-out", _BELOW, ("timeout", 10_000), ("timeout", 4000)),
    events("time-out", _ABOVE, ("timeout", 10_000), ("timeout", 4000), _ACK),
    events("time-out", _BELOW, ("timeout", 10_000), _ACK, ("timeout", 4000)),
)

WATCHES = (
    _watch("patience", *_long(0, 60, 100), source="the contract's example"),
    _watch("patience", (0, 6), (50, 6), (99, 6), (100, 6)),
    _watch("patience", (0, 4), (60, 3), (200, 0)),
    _watch("patience", (7, 5), (60, 5), (110, 5)),
    _watch("patience", (40, 5), (139, 5), (141, 5)),
    _watch("patience", (30, 8), (129, 8), (131, 8)),
    _watch("patience", (500, 9), (580, 9), (600, 9)),
    _watch("patience", (0, 9), (450, 9)),
    _two_watches((0, 0, 9), (1, 60, 30), (0, 110, 9), (1, 120, 30), (1, 170, 30)),
    _two_watches((0, 0, 9), (1, 0, 30), (0, 105, 9), (1, 105, 30)),
    _two_watches((1, 0, 19), (0, 20, 19), (1, 90, 25), (0, 130, 19), (1, 150, 25)),
    _watch("pace", *_long(0, 101, 104)),
    _watch("pace", *_long(0, 60, 103, 150, 204), source=WORKED),
    _watch("pace", *_long(0, 101, 150, 202, 260, 275, 300)),
    _watch("pace", *_long(0, 140, 195, 205)),
    _watch("pace", *_long(0, 101, 202, 270, 271), source="a due time between two milliseconds"),
    _watch("pace", *_long(0, 105, 205, 305, 405, 455, 460)),
    _watch("pace", *_long(0, 103, 160, 203, 265, 272, 320, 330, 370, 380, 420), source=RFC_8289),
    _watch("pace", *_long(0, 110, 110, 150, 210), source="two packets at the same moment"),
    _watch("pace", *_long(0, 1000, 1000, 1000, 1001)),
    _watch("pace", *_long(0, 300, 301, 302, 310, 330)),
    _watch("pace", *_long(0, 130, 140, 201, 240, 260, 275)),
    _watch("relief", (0, 6), (50, 4), (103, 6), (160, 6), (206, 6)),
    _watch("relief", (0, 6), (40, 4), (80, 20), (110, 20), (170, 20)),
    _watch("relief", (0, 1), (10, 1), (20, 1), (30, 6), (90, 6), (135, 6)),
    _watch("relief", (0, 9), (60, 9), (120, 3), (130, 9)),
    _watch("relief", *_long(0, 104), (230, 4), *_long(240, 300)),
    _watch("relief", *_long(0, 105), (110, 2), *_long(120, 190, 225, 300, 327)),
    _watch("relief", *_long(0, 103, 206), (210, 4), *_long(215, 280, 320, 395, 425)),
    _watch("relief", *_long(0, 103, 206, 290), (294, 1), *_long(300, 360, 405, 480, 506)),
    _watch("relief", *_long(0, 104), (110, 4), (120, 0), *_long(130, 205, 235)),
)
