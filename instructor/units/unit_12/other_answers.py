"""Other right answers for unit 12: at least three for each exercise, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_12.filters.others import OTHERS as NEW_FILTER
from instructor.units.unit_12.greeter.others import OTHERS as NEW_GREETER
from instructor.units.unit_12.limiter.others import OTHERS as NEW_LIMITER
from instructor.units.unit_12.monitors.others import OTHERS as NEW_MONITOR
from instructor.units.unit_12.router.others import OTHERS as NEW_ROUTER
from instructor.units.unit_12.translator.others import OTHERS as NEW_TRANSLATOR

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "12.1": NEW_ROUTER,
    "12.2": NEW_FILTER,
    "12.3": NEW_MONITOR,
    "12.4": NEW_TRANSLATOR,
    "12.5": NEW_LIMITER,
    "12.6": NEW_GREETER,
}
