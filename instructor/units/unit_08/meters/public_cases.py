"""The public questions of 8.3, rows of packets.

Where one bucket is asked for, the other one is full again a millisecond later.
"""

__all__ = ["METERS"]

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_08.meters.secret_cases import WIDE, Step
from instructor.units.unit_10.secret_events import between, events

RULES = "RFC 2698, section 3 (its rules, worked out by hand)"
FULL = "RFC 2698, section 3: the buckets are initially full"


def _colours(aspect: str, new: Step, *packets: tuple[int, int], source: str = "") -> Question:
    about = {"source": source} if source else {}
    return events(aspect, new, *[("colour", *packet) for packet in packets], **about)


def _one(rate: int, depth: int, *packets: tuple[int, int], source: str = "") -> Question:
    return _colours("one bucket", (*WIDE, rate, depth), *packets, source=source)


def _two(new: Step, *packets: tuple[int, int], source: str = "") -> Question:
    return _colours("two buckets", new, *packets, source=source)


def _left(new: Step, *steps: Step) -> Question:
    return events("what is left", new, *steps)


BUCKETS = (16, 4000, 8, 2000)  # 1 octet each ms, and twice as much

METERS = (
    _one(8, 3000, (0, 1400), (1, 1400), (2, 1400), (3, 150), source=FULL),
    _one(24, 2000, (0, 900), (2, 900), (4, 900), (6, 200), (7, 500), source=FULL),
    _one(8, 3000, (5, 500), (60_000, 1600), (60_002, 1300), (60_004, 700), (60_006, 90)),
    _one(40, 4500, (3, 800), (25_000, 2300), (25_002, 1500), (25_004, 1500), (25_006, 900)),
    _one(8, 2000, (0, 1200), (10, 810), (60, 51), (61, 1)),
    _one(32, 3500, (0, 1000), (25, 2600), (65, 161), (66, 4)),
    _one(16, 2000, (1, 1600), (3, 1200), (5, 250), (9, 700)),
    _one(8, 1700, (1, 1300), (3, 900), (5, 400), (9, 700)),
    _one(8, 1500, (0, 1500), (400, 700), (800, 700), (1900, 1000), (2100, 700), (2500, 200)),
    _one(24, 2400, (0, 2350), (250, 900), (300, 800), (1400, 1400), (1700, 1200), (1900, 900)),
    between(
        "one bucket",
        ((*WIDE, 8, 1600), (*WIDE, 24, 3200)),
        *[(0, "colour", 0, 1000), (1, "colour", 2, 1300), (0, "colour", 4, 100)],
        *[(1, "colour", 6, 1200), (0, "colour", 8, 1000), (1, "colour", 10, 1000)],
    ),
    between(
        "one bucket",
        ((*WIDE, 8, 1800), (*WIDE, 8, 3600)),
        *[(1, "colour", 0, 1200), (0, "colour", 2, 1000), (1, "colour", 4, 1300)],
        *[(0, "colour", 6, 1000), (1, "colour", 8, 1000), (0, "colour", 10, 90)],
    ),
    events(
        "two buckets",
        BUCKETS,
        *[("colour", now, 1500) for now in (0, 0, 0, 0, 1000, 2000, 4000)],
        source=RULES,
        published=Expected(value=["green", "yellow", "red", "red", "green", "yellow", "green"]),
    ),
    _two((24, 2000, 16, 4400), (0, 500), (5000, 1000), (5000, 950), (5000, 400)),
    _two((40, 3000, 32, 6100), (0, 700), (9000, 1500), (9000, 1440), (9000, 500)),
    _two((24, 4000, 8, 1800), (0, 1600), (10, 2430)),
    _two((40, 4500, 16, 1700), (0, 1500), (20, 3100)),
    _two((24, 2600, 8, 1700), (0, 1400), (0, 1350), (2, 1150)),
    _two((32, 2800, 16, 1600), (0, 1300), (0, 1800), (4, 1480)),
    _two((16, 4200, 8, 2000), (0, 1600), (0, 1300), (0, 350), (0, 1100)),
    _two((24, 4400, 8, 2000), (0, 1700), (0, 1200), (0, 260), (0, 1400)),
    _two((16, 1200, 8, 2400), (2, 1300), (70_000, 10_800)),
    _two((32, 1000, 8, 2000), (0, 1700), (700, 9000)),
    _two((40, 3500, 40, 1500), (0, 800), (0, 1400), (0, 1150), (20, 259)),
    _two((24, 3600, 24, 1500), (0, 750), (0, 1400), (0, 1300), (30, 249)),
    _two(
        (24, 4000, 8, 9000),
        *[(0, 1400), (0, 1300), (0, 1200), (0, 1100), (0, 1000), (200, 900), (500, 1400)],
        *[(700, 1200), (1000, 700), (1400, 1500), (1600, 800)],
    ),
    _left((48, 8500, 16, 6500), ("tokens", 0), ("colour", 0, 1500), ("tokens", 0)),
    _left((64, 9000, 8, 7000), ("colour", 0, 1500), ("tokens", 100), ("tokens", 170)),
    _left(
        (40, 8000, 24, 6000),
        *[("colour", 0, 1500), ("colour", 5, 1200), ("colour", 5, 900), ("tokens", 90)],
        *[("colour", 90, 700), ("tokens", 240)],
    ),
    _left((32, 7500, 8, 6600), ("colour", 0, 1500), ("colour", 40, 1100), ("tokens", 40)),
    _left((16, 7000, 16, 7000), ("colour", 0, 1500), ("tokens", 0)),
    _left((24, 6000, 24, 6000), ("colour", 0, 1500), ("colour", 3, 800), ("tokens", 150)),
    _left((40, 8000, 40, 8000), ("colour", 0, 1500), ("tokens", 0), ("tokens", 0)),
)
