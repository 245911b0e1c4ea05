"""What learners believe about loss and TCP, as code: unit 11.

Each is a right answer but for one belief. The beliefs in words, and what repairs them, stand in
`course_lib/exercises/wording/unit_11.toml`. RFC 5681, section 3.1, warns of halving the wrong
window, and RFC 2525 lists real hosts whose timers are wrong (both cited from memory). That learners
hold the others is common practice, no published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_11.misconceptions.fits import FIT_EXPONENT
from instructor.units.unit_11.misconceptions.rates import RATE_WITH_LOSSES
from instructor.units.unit_11.misconceptions.receivers import NEW_RECEIVER
from instructor.units.unit_11.misconceptions.rounds import SENT_EACH_ROUND
from instructor.units.unit_11.misconceptions.stages import NEW_LOSS
from instructor.units.unit_11.misconceptions.timers import NEW_TIMER

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "11.1": NEW_LOSS,
    "11.2": NEW_RECEIVER,
    "11.3": NEW_TIMER,
    "11.4": SENT_EACH_ROUND,
    "11.5": RATE_WITH_LOSSES,
    "11.6": FIT_EXPONENT,
}
