"""The contracts of unit 09, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Contract
from instructor.units.unit_09.fifo.contract import CROSS_ONCE
from instructor.units.unit_09.judged.contract import JUDGE_MATCHING
from instructor.units.unit_09.matcher.contract import NEW_MATCHER
from instructor.units.unit_09.own_rule.contract import LONGEST_FIRST
from instructor.units.unit_09.pipeline.contract import PIPELINE_LIMITS
from instructor.units.unit_09.virtual.contract import NEW_INPUTS

CLAUSES: Mapping[str, Contract] = {
    "9.1": CROSS_ONCE,
    "9.2": NEW_INPUTS,
    "9.3": JUDGE_MATCHING,
    "9.4": NEW_MATCHER,
    "9.5": PIPELINE_LIMITS,
    "9.6": LONGEST_FIRST,
}
