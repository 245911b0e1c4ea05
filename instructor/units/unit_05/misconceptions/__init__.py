"""What learners believe about neighbours and errors, as code: unit 05.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_05.toml`. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_05.misconceptions.caches import NEW_CACHE
from instructor.units.unit_05.misconceptions.echoes import ANSWER_ECHO
from instructor.units.unit_05.misconceptions.errors import BUILD_ERROR
from instructor.units.unit_05.misconceptions.reports import NEW_REPORTER
from instructor.units.unit_05.misconceptions.requests import ANSWER_REQUEST
from instructor.units.unit_05.misconceptions.waiting_given_up import GIVEN_UP
from instructor.units.unit_05.misconceptions.waiting_questions import QUESTIONS
from instructor.units.unit_05.misconceptions.waiting_room import WHO_WAITS

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "5.1": ANSWER_REQUEST,
    "5.2": NEW_CACHE,
    "5.3": {**WHO_WAITS, **QUESTIONS, **GIVEN_UP},
    "5.4": ANSWER_ECHO,
    "5.5": BUILD_ERROR,
    "5.6": NEW_REPORTER,
}
