"""Questions of unit 07, routes: the public ones, and where secret ones come from."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_07.questions.floods import FLOODS, flood_questions
from instructor.units.unit_07.questions.horizons import HORIZONS, horizon_questions
from instructor.units.unit_07.questions.mirrors import MIRRORS, mirror_questions
from instructor.units.unit_07.questions.paths import PATHS, path_questions
from instructor.units.unit_07.questions.processes import PROCESSES, process_questions
from instructor.units.unit_07.questions.updates import UPDATES, update_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "7.1": UPDATES,
    "7.2": HORIZONS,
    "7.3": PATHS,
    "7.4": FLOODS,
    "7.5": MIRRORS,
    "7.6": PROCESSES,
}

SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "7.1": update_questions,
    "7.2": horizon_questions,
    "7.3": path_questions,
    "7.4": flood_questions,
    "7.5": mirror_questions,
    "7.6": process_questions,
}
