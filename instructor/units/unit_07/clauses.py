"""The contracts of unit 07, each clause with an answer that breaks it and nothing else."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Contract
from instructor.units.unit_07.contracts.floods import NEW_FLOODER
from instructor.units.unit_07.contracts.horizons import TELL_NEIGHBOURS
from instructor.units.unit_07.contracts.mirrors import PLAN_CHANGES
from instructor.units.unit_07.contracts.paths import FIRST_HOPS
from instructor.units.unit_07.contracts.processes import NEW_PROCESS
from instructor.units.unit_07.contracts.updates import HEAR_UPDATE

CLAUSES: Mapping[str, Contract] = {
    "7.1": HEAR_UPDATE,
    "7.2": TELL_NEIGHBOURS,
    "7.3": FIRST_HOPS,
    "7.4": NEW_FLOODER,
    "7.5": PLAN_CHANGES,
    "7.6": NEW_PROCESS,
}
