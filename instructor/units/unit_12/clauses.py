"""The contracts of unit 12, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Contract
from instructor.units.unit_12.filters.contract import NEW_FILTER
from instructor.units.unit_12.greeter.contract import NEW_GREETER
from instructor.units.unit_12.limiter.contract import NEW_LIMITER
from instructor.units.unit_12.monitors.contract import NEW_MONITOR
from instructor.units.unit_12.router.contract import NEW_ROUTER
from instructor.units.unit_12.translator.contract import NEW_TRANSLATOR

CLAUSES: Mapping[str, Contract] = {
    "12.1": NEW_ROUTER,
    "12.2": NEW_FILTER,
    "12.3": NEW_MONITOR,
    "12.4": NEW_TRANSLATOR,
    "12.5": NEW_LIMITER,
    "12.6": NEW_GREETER,
}
