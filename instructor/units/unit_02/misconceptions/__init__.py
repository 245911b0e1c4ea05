"""What learners believe about checksums, as code: unit 02.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_02.toml`. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_02.misconceptions.checksums import HEADER_CHECKSUM
from instructor.units.unit_02.misconceptions.datagrams import UDP_CHECKSUM
from instructor.units.unit_02.misconceptions.headers import FOLD, IS_HEADER_INTACT
from instructor.units.unit_02.misconceptions.hops import LOWER_TIME_TO_LIVE
from instructor.units.unit_02.misconceptions.pairs import MISSED_PAIRS

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "2.1": FOLD,
    "2.2": HEADER_CHECKSUM,
    "2.3": IS_HEADER_INTACT,
    "2.4": UDP_CHECKSUM,
    "2.5": LOWER_TIME_TO_LIVE,
    "2.6": MISSED_PAIRS,
}
