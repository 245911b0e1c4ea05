"""Other right answers for unit 07: other methods, other styles.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_07.other_answers.floods import NEW_FLOODER
from instructor.units.unit_07.other_answers.horizons import TELL_NEIGHBOURS
from instructor.units.unit_07.other_answers.mirrors import PLAN_CHANGES
from instructor.units.unit_07.other_answers.paths import FIRST_HOPS
from instructor.units.unit_07.other_answers.processes import NEW_PROCESS
from instructor.units.unit_07.other_answers.updates import HEAR_UPDATE

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "7.1": HEAR_UPDATE,
    "7.2": TELL_NEIGHBOURS,
    "7.3": FIRST_HOPS,
    "7.4": NEW_FLOODER,
    "7.5": PLAN_CHANGES,
    "7.6": NEW_PROCESS,
}
