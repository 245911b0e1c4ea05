"""Questions of unit 05, neighbours and errors.

What a source prints stands beside its name; the rest is worked out by the model answers, which
`tests/oracles` holds against Scapy and this machine's kernel.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_05.questions.caches import NEW_CACHE, cache_questions
from instructor.units.unit_05.questions.echoes import ANSWER_ECHO, echo_questions
from instructor.units.unit_05.questions.errors import BUILD_ERROR, error_questions
from instructor.units.unit_05.questions.reports import NEW_REPORTER, report_questions
from instructor.units.unit_05.questions.requests import ANSWER_REQUEST, request_questions
from instructor.units.unit_05.questions.waiting import NEW_WAITING, waiting_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "5.1": ANSWER_REQUEST,
    "5.2": NEW_CACHE,
    "5.3": NEW_WAITING,
    "5.4": ANSWER_ECHO,
    "5.5": BUILD_ERROR,
    "5.6": NEW_REPORTER,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "5.1": request_questions,
    "5.2": cache_questions,
    "5.3": waiting_questions,
    "5.4": echo_questions,
    "5.5": error_questions,
    "5.6": report_questions,
}
