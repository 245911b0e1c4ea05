"""The contracts of unit 08, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Contract
from instructor.units.unit_08.agreement.contract import COMPARE_WITH_THEORY
from instructor.units.unit_08.lines.contracts import THREE_MEANS, WAITS_IN_LINE
from instructor.units.unit_08.meters.contract import NEW_METER
from instructor.units.unit_08.rounds.contract import NEW_ROUND_ROBIN
from instructor.units.unit_08.urgent.contract import NEW_URGENT_FIRST

CLAUSES: Mapping[str, Contract] = {
    "8.1": WAITS_IN_LINE,
    "8.2": THREE_MEANS,
    "8.3": NEW_METER,
    "8.4": NEW_ROUND_ROBIN,
    "8.5": NEW_URGENT_FIRST,
    "8.6": COMPARE_WITH_THEORY,
}
