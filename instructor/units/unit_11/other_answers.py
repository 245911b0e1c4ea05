"""Other right answers for unit 11: at least three for each exercise, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_11.fits.others import OTHERS as FIT_EXPONENT
from instructor.units.unit_11.rates.others import OTHERS as RATE_WITH_LOSSES
from instructor.units.unit_11.receivers.others import OTHERS as NEW_RECEIVER
from instructor.units.unit_11.rounds.others import OTHERS as SENT_EACH_ROUND
from instructor.units.unit_11.stages.others import OTHERS as NEW_LOSS
from instructor.units.unit_11.timers.others import OTHERS as NEW_TIMER

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "11.1": NEW_LOSS,
    "11.2": NEW_RECEIVER,
    "11.3": NEW_TIMER,
    "11.4": SENT_EACH_ROUND,
    "11.5": RATE_WITH_LOSSES,
    "11.6": FIT_EXPONENT,
}
