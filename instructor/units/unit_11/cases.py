"""Questions of unit 11, loss and TCP: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_11.fits.questions import FITS, fit_questions
from instructor.units.unit_11.rates.questions import RATES, rate_questions
from instructor.units.unit_11.receivers.questions import RECEIVER, receiver_questions
from instructor.units.unit_11.rounds.questions import ROUNDS, round_questions
from instructor.units.unit_11.stages.questions import LOSS, loss_questions
from instructor.units.unit_11.timers.questions import TIMER, timer_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "11.1": LOSS,
    "11.2": RECEIVER,
    "11.3": TIMER,
    "11.4": ROUNDS,
    "11.5": RATES,
    "11.6": FITS,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "11.1": loss_questions,
    "11.2": receiver_questions,
    "11.3": timer_questions,
    "11.4": round_questions,
    "11.5": rate_questions,
    "11.6": fit_questions,
}
