"""What learners believe about routes, as code: unit 07.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_07.toml`. RFC 2453, sections 3.4 and 3.9.2, and RFC
2328, sections 13 and 16.1, answer many of them. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_07.misconceptions.floods import NEW_FLOODER
from instructor.units.unit_07.misconceptions.horizons import TELL_NEIGHBOURS
from instructor.units.unit_07.misconceptions.mirrors import PLAN_CHANGES
from instructor.units.unit_07.misconceptions.paths import FIRST_HOPS
from instructor.units.unit_07.misconceptions.processes import NEW_PROCESS
from instructor.units.unit_07.misconceptions.updates import HEAR_UPDATE

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "7.1": HEAR_UPDATE,
    "7.2": TELL_NEIGHBOURS,
    "7.3": FIRST_HOPS,
    "7.4": NEW_FLOODER,
    "7.5": PLAN_CHANGES,
    "7.6": NEW_PROCESS,
}
