"""What learners believe about the forwarding path, as code: unit 06.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_06.toml`. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.droppers import NEW_DROPPER
from instructor.units.unit_06.misconceptions.faults import FIRST_FAULT
from instructor.units.unit_06.misconceptions.faulty_stages import FAULTY
from instructor.units.unit_06.misconceptions.frames import REWRITE_FRAME
from instructor.units.unit_06.misconceptions.frames_by_value import BY_VALUE
from instructor.units.unit_06.misconceptions.paths import WHY_SLOW
from instructor.units.unit_06.misconceptions.rules import MAY_PASS
from instructor.units.unit_06.misconceptions.stages import CARRY

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "6.1": FIRST_FAULT,
    "6.2": REWRITE_FRAME | BY_VALUE,
    "6.3": CARRY | FAULTY,
    "6.4": MAY_PASS,
    "6.5": NEW_DROPPER,
    "6.6": WHY_SLOW,
}
