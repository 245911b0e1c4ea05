"""Questions of unit 06, the forwarding path: the public ones.

What RFC 1812 prints stands beside its clause; the rest is worked out by the model answers, which
`tests/oracles` holds against Scapy, this machine's kernel, and the library's router.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_06.public_cases.droppers import NEW_DROPPER, dropper_questions
from instructor.units.unit_06.public_cases.faults import FIRST_FAULT
from instructor.units.unit_06.public_cases.frames import REWRITE_FRAME
from instructor.units.unit_06.public_cases.paths import WHY_SLOW
from instructor.units.unit_06.public_cases.rules import MAY_PASS
from instructor.units.unit_06.public_cases.stages import CARRY, carry_questions
from instructor.units.unit_06.secret_cases import fault_questions, frame_questions
from instructor.units.unit_06.secret_rules import filter_questions, path_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "6.1": FIRST_FAULT,
    "6.2": REWRITE_FRAME,
    "6.3": CARRY,
    "6.4": MAY_PASS,
    "6.5": NEW_DROPPER,
    "6.6": WHY_SLOW,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "6.1": fault_questions,
    "6.2": frame_questions,
    "6.3": carry_questions,
    "6.4": filter_questions,
    "6.5": dropper_questions,
    "6.6": path_questions,
}
