"""Questions of unit 12, your own router: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_12.filters.questions import FILTER, filter_questions
from instructor.units.unit_12.greeter.questions import GREETERS, greeter_questions
from instructor.units.unit_12.limiter.questions import LIMITERS, limiter_questions
from instructor.units.unit_12.monitors.questions import MONITOR, monitor_questions
from instructor.units.unit_12.router.questions import ROUTER, router_questions
from instructor.units.unit_12.translator.questions import TRANSLATORS, translator_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "12.1": ROUTER,
    "12.2": FILTER,
    "12.3": MONITOR,
    "12.4": TRANSLATORS,
    "12.5": LIMITERS,
    "12.6": GREETERS,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "12.1": router_questions,
    "12.2": filter_questions,
    "12.3": monitor_questions,
    "12.4": translator_questions,
    "12.5": limiter_questions,
    "12.6": greeter_questions,
}
