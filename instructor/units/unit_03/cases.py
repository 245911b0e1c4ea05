"""Questions of unit 03, addresses and prefixes: all together.

Values that a source prints stand beside its name; the rest is worked out by the model answers,
which `tests/oracles` holds against `ipaddress`. Addresses are for documentation (RFC 5737) or,
where a prefix must be shorter than theirs, private (RFC 1918); others only where the exercise is
about all addresses, or about special blocks.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_03.questions.aggregates import AGGREGATES, aggregate_questions
from instructor.units.unit_03.questions.holes import HOLES, hole_questions
from instructor.units.unit_03.questions.links import LINKS, link_questions
from instructor.units.unit_03.questions.neighbours import NEIGHBOURS, neighbour_questions
from instructor.units.unit_03.questions.plans import PLANS, plan_questions
from instructor.units.unit_03.questions.steps import STEPS, step_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "3.1": STEPS,
    "3.2": LINKS,
    "3.3": NEIGHBOURS,
    "3.4": HOLES,
    "3.5": AGGREGATES,
    "3.6": PLANS,
}


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "3.1": step_questions,
    "3.2": link_questions,
    "3.3": neighbour_questions,
    "3.4": hole_questions,
    "3.5": aggregate_questions,
    "3.6": plan_questions,
}
