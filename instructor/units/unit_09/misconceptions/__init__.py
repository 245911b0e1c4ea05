"""What learners believe about the inside of a switch, as code: unit 09.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_09.toml`. That pointers move with every grant is what
N. McKeown (IEEE/ACM Trans. Networking 7, 1999) sets his rule against. That learners hold the others
is common practice, no published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_09.misconceptions.fifo import CROSS_ONCE
from instructor.units.unit_09.misconceptions.judged import JUDGE_MATCHING
from instructor.units.unit_09.misconceptions.matcher import NEW_MATCHER
from instructor.units.unit_09.misconceptions.own_rule import LONGEST_FIRST
from instructor.units.unit_09.misconceptions.pipeline import PIPELINE_LIMITS
from instructor.units.unit_09.misconceptions.virtual import NEW_INPUTS

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "9.1": CROSS_ONCE,
    "9.2": NEW_INPUTS,
    "9.3": JUDGE_MATCHING,
    "9.4": NEW_MATCHER,
    "9.5": PIPELINE_LIMITS,
    "9.6": LONGEST_FIRST,
}
