"""What learners believe about routers of their own, as code: unit 12.

Each is a right answer but for one belief. The beliefs in words, and what repairs them, stand in
`course_lib/exercises/wording/unit_12.toml`. RFC 1858 describes filters that pass what 12.2 calls
short first fragments and offset 1, and RFC 3704, section 2, sources that have several ways. That
learners hold the beliefs is common practice, no published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_12.misconceptions.filters import NEW_FILTER
from instructor.units.unit_12.misconceptions.greeter import NEW_GREETER
from instructor.units.unit_12.misconceptions.limiter import NEW_LIMITER
from instructor.units.unit_12.misconceptions.monitors import NEW_MONITOR
from instructor.units.unit_12.misconceptions.routers import NEW_ROUTER
from instructor.units.unit_12.misconceptions.translator import NEW_TRANSLATOR

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "12.1": NEW_ROUTER,
    "12.2": NEW_FILTER,
    "12.3": NEW_MONITOR,
    "12.4": NEW_TRANSLATOR,
    "12.5": NEW_LIMITER,
    "12.6": NEW_GREETER,
}
