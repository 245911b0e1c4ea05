"""When a hand-in came is passed on with how that is known; where nothing says it, there is no time.

The times in archives are worked out by hand from what the formats say: MS-DOS time without an
offset in zip (PKWARE APPNOTE, section 4.4.6), seconds since 1970 UTC in tar (POSIX, ustar).
"""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from instructor.deadlines.counted import UNKNOWN, Arrival
from instructor.deadlines.moments import read_moment
from instructor.grading.intake.arrivals import arrival_of
from instructor.grading.intake.hand_ins import HandIn

NOON = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
STAMP = "2026-05-04 12:00:00 UTC"
NS = round(NOON.timestamp()) * 10**9
ZONE = read_moment("2026-05-04T18:00:00+02:00").tzinfo

TABLE = [
    ({"handed_in": STAMP, "time_from": "timestamp.txt"}, Arrival(NOON, "timestamp.txt")),
    ({"handed_in": STAMP, "time_from": "handed-in.csv"}, Arrival(NOON, "handed-in.csv")),
    ({"handed_in": STAMP, "time_from": "timestamp.txt", "changed": (1, 0)},
     Arrival(NOON, "timestamp.txt")),
    ({"changed": (NS + 999, 0)}, Arrival(NOON, "the file")),
    ({"changed": (NS, 20260504093000)}, Arrival(NOON, "the file")),  # a student's own archive
    ({"changed": (0, 20260504140000)}, Arrival(NOON, "the archive")),  # zip: the deadline's clock
    ({"changed": (0, NS)}, Arrival(NOON, "the archive")),  # tar
    ({"changed": (0, 0)}, UNKNOWN),
    ({"changed": (0, 20261399000000)}, UNKNOWN),  # no month 13
    ({"changed": (0, 10**40)}, UNKNOWN),
    ({}, UNKNOWN),
]  # fmt: skip


@pytest.mark.parametrize(("known", "arrival"), TABLE)
def test_a_time_comes_with_its_source(known, arrival):
    hand_in = HandIn("alder", "01-a", Path("a.ipynb"), None, **known)
    assert arrival_of(hand_in, ZONE) == arrival
