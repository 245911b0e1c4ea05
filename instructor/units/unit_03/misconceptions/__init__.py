"""What learners believe about addresses and prefixes, as code: unit 03.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_03.toml`. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_03.misconceptions.aggregates import AGGREGATE_ROUTES
from instructor.units.unit_03.misconceptions.holes import FREE_PREFIXES
from instructor.units.unit_03.misconceptions.links import DESCRIBE_LINK
from instructor.units.unit_03.misconceptions.neighbours import NEIGHBOURHOOD
from instructor.units.unit_03.misconceptions.plans import MAKE_PLAN
from instructor.units.unit_03.misconceptions.steps import ADDRESS_AFTER

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "3.1": ADDRESS_AFTER,
    "3.2": DESCRIBE_LINK,
    "3.3": NEIGHBOURHOOD,
    "3.4": FREE_PREFIXES,
    "3.5": AGGREGATE_ROUTES,
    "3.6": MAKE_PLAN,
}
