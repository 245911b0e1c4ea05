"""Questions of unit 04, longest prefix match.

Values that a source prints stand beside its name; the rest is worked out by the model answers,
which `tests/oracles` holds against PyTricia. Addresses are for documentation (RFC 5737) or, where
a prefix must be shorter than theirs, private (RFC 1918), as in the examples of RFC 4632 and 1812.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from instructor.units.items import Question
from instructor.units.unit_04.public_cases.levels import LEVELS, SPARE
from instructor.units.unit_04.public_cases.lists import COVERS, LOOK_UP
from instructor.units.unit_04.public_cases.tries import TABLE, WALK
from instructor.units.unit_04.secret_cases import cover_questions, list_questions, walk_questions
from instructor.units.unit_04.secret_levels import level_questions, spare_questions
from instructor.units.unit_04.secret_tables import table_questions

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "4.1": COVERS,
    "4.2": LOOK_UP,
    "4.3": WALK,
    "4.4": TABLE,
    "4.5": LEVELS,
    "4.6": SPARE,
}


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "4.1": cover_questions,
    "4.2": list_questions,
    "4.3": walk_questions,
    "4.4": table_questions,
    "4.5": level_questions,
    "4.6": spare_questions,
}
