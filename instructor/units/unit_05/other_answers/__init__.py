"""Other right answers for unit 05: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_05.other_answers.caches import NEW_CACHE
from instructor.units.unit_05.other_answers.echoes import ANSWER_ECHO
from instructor.units.unit_05.other_answers.errors import BUILD_ERROR
from instructor.units.unit_05.other_answers.reports import NEW_REPORTER
from instructor.units.unit_05.other_answers.requests import ANSWER_REQUEST
from instructor.units.unit_05.other_answers.waiting import NEW_WAITING

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "5.1": ANSWER_REQUEST,
    "5.2": NEW_CACHE,
    "5.3": NEW_WAITING,
    "5.4": ANSWER_ECHO,
    "5.5": BUILD_ERROR,
    "5.6": NEW_REPORTER,
}
