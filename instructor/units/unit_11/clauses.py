"""The contracts of unit 11, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Contract
from instructor.units.unit_11.fits.contract import FIT_EXPONENT
from instructor.units.unit_11.rates.contract import RATE_WITH_LOSSES
from instructor.units.unit_11.receivers.contract import NEW_RECEIVER
from instructor.units.unit_11.rounds.contract import SENT_EACH_ROUND
from instructor.units.unit_11.stages.contract import NEW_LOSS
from instructor.units.unit_11.timers.contract import NEW_TIMER

CLAUSES: Mapping[str, Contract] = {
    "11.1": NEW_LOSS,
    "11.2": NEW_RECEIVER,
    "11.3": NEW_TIMER,
    "11.4": SENT_EACH_ROUND,
    "11.5": RATE_WITH_LOSSES,
    "11.6": FIT_EXPONENT,
}
