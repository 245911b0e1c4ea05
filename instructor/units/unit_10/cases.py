"""Questions of unit 10, buffers and TCP: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_10.public_events import SENDERS, WATCHES
from instructor.units.unit_10.public_sums import BUFFERS, PATHS, TEETH, WAITS
from instructor.units.unit_10.secret_cases import (
    buffer_questions,
    path_questions,
    tooth_questions,
    wait_questions,
)
from instructor.units.unit_10.secret_events import sender_questions, watch_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "10.1": PATHS,
    "10.2": TEETH,
    "10.3": SENDERS,
    "10.4": BUFFERS,
    "10.5": WAITS,
    "10.6": WATCHES,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "10.1": path_questions,
    "10.2": tooth_questions,
    "10.3": sender_questions,
    "10.4": buffer_questions,
    "10.5": wait_questions,
    "10.6": watch_questions,
}
