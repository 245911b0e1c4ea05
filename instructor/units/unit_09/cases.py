"""Questions of unit 09, inside the switch: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_09.fifo.questions import FIFO, fifo_questions
from instructor.units.unit_09.judged.questions import JUDGED, judged_questions
from instructor.units.unit_09.matcher.questions import MATCHER, matcher_questions
from instructor.units.unit_09.own_rule.questions import OWN_RULE, own_rule_questions
from instructor.units.unit_09.pipeline.questions import PIPELINES, pipeline_questions
from instructor.units.unit_09.virtual.questions import VIRTUAL, virtual_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "9.1": FIFO,
    "9.2": VIRTUAL,
    "9.3": JUDGED,
    "9.4": MATCHER,
    "9.5": PIPELINES,
    "9.6": OWN_RULE,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "9.1": fifo_questions,
    "9.2": virtual_questions,
    "9.3": judged_questions,
    "9.4": matcher_questions,
    "9.5": pipeline_questions,
    "9.6": own_rule_questions,
}
