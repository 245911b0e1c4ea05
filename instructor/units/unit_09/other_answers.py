"""Other right answers for unit 09: at least three for each exercise, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_09.fifo.others import OTHERS as CROSS_ONCE
from instructor.units.unit_09.judged.others import OTHERS as JUDGE_MATCHING
from instructor.units.unit_09.matcher.others import OTHERS as NEW_MATCHER
from instructor.units.unit_09.own_rule.others import OTHERS as LONGEST_FIRST
from instructor.units.unit_09.pipeline.others import OTHERS as PIPELINE_LIMITS
from instructor.units.unit_09.virtual.others import OTHERS as NEW_INPUTS

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "9.1": CROSS_ONCE,
    "9.2": NEW_INPUTS,
    "9.3": JUDGE_MATCHING,
    "9.4": NEW_MATCHER,
    "9.5": PIPELINE_LIMITS,
    "9.6": LONGEST_FIRST,
}
