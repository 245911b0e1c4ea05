"""Half of the rows for each seed, where rows are many and each takes long: 12.4 and 12.6.

Everybody is asked all rows of the public cases. The secret ones find out who knows their numbers
by heart, and for that some rows of every aspect are enough.
"""

__all__ = ["half_of"]

import random
from collections.abc import Sequence
from itertools import groupby

from instructor.units.items import Question


def half_of(rng: random.Random, questions: Sequence[Question]) -> list[Question]:
    """Return half of the questions of each aspect, in their order."""
    kept = []
    for _, group in groupby(questions, key=lambda question: question.aspect):
        rows = list(group)
        places = rng.sample(range(len(rows)), (len(rows) + 1) // 2)
        kept += [rows[place] for place in sorted(places)]
    return kept
