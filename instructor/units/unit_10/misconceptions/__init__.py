"""What learners believe about buffers and TCP, as code: unit 10.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_10.toml`. RFC 5681, section 3.1, warns of one of them
itself (the window in the place of what is under way). That learners hold the others is common
practice, no published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_10.misconceptions.buffers import SMALLEST_BUFFER
from instructor.units.unit_10.misconceptions.falls import FALLS
from instructor.units.unit_10.misconceptions.growth import GROWTH
from instructor.units.unit_10.misconceptions.paths import FILL_PATH
from instructor.units.unit_10.misconceptions.teeth import ONE_TOOTH
from instructor.units.unit_10.misconceptions.waits import WAIT_MS
from instructor.units.unit_10.misconceptions.watches import NEW_WATCH

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "10.1": FILL_PATH,
    "10.2": ONE_TOOTH,
    "10.3": GROWTH | FALLS,
    "10.4": SMALLEST_BUFFER,
    "10.5": WAIT_MS,
    "10.6": NEW_WATCH,
}
