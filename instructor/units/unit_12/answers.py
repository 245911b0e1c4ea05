"""Model answers for unit 12, your own router: a module for each, to be read out in a class."""

__all__ = [
    "new_filter",
    "new_greeter",
    "new_limiter",
    "new_monitor",
    "new_router",
    "new_translator",
]

from instructor.units.unit_12.filters.model import new_filter
from instructor.units.unit_12.greeter.model import new_greeter
from instructor.units.unit_12.limiter.model import new_limiter
from instructor.units.unit_12.monitors.model import new_monitor
from instructor.units.unit_12.router.model import new_router
from instructor.units.unit_12.translator.model import new_translator
