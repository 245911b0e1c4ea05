"""What learners believe about queues and schedulers, as code: unit 08.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_08.toml`. RFC 2698, section 3, answers two of them
itself (full buckets, and a depth). That learners hold the others is common practice, no published
source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_08.misconceptions.agreement import COMPARE_WITH_THEORY
from instructor.units.unit_08.misconceptions.lines import WAITS_IN_LINE
from instructor.units.unit_08.misconceptions.meters import NEW_METER
from instructor.units.unit_08.misconceptions.records import THREE_MEANS
from instructor.units.unit_08.misconceptions.rounds import NEW_ROUND_ROBIN
from instructor.units.unit_08.misconceptions.urgent import NEW_URGENT_FIRST

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "8.1": WAITS_IN_LINE,
    "8.2": THREE_MEANS,
    "8.3": NEW_METER,
    "8.4": NEW_ROUND_ROBIN,
    "8.5": NEW_URGENT_FIRST,
    "8.6": COMPARE_WITH_THEORY,
}
