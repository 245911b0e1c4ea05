"""Questions of unit 08, queues and schedulers: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_08.agreement.questions import AGREEMENT, agreement_questions
from instructor.units.unit_08.lines.public_cases import LINES, RECORDS
from instructor.units.unit_08.lines.secret_cases import line_questions, record_questions
from instructor.units.unit_08.meters.public_cases import METERS
from instructor.units.unit_08.meters.secret_cases import meter_questions
from instructor.units.unit_08.rounds.public_cases import ROUNDS
from instructor.units.unit_08.rounds.secret_cases import round_questions
from instructor.units.unit_08.urgent.questions import URGENT, urgent_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "8.1": LINES,
    "8.2": RECORDS,
    "8.3": METERS,
    "8.4": ROUNDS,
    "8.5": URGENT,
    "8.6": AGREEMENT,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "8.1": line_questions,
    "8.2": record_questions,
    "8.3": meter_questions,
    "8.4": round_questions,
    "8.5": urgent_questions,
    "8.6": agreement_questions,
}
