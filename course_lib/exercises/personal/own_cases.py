"""Cases of one's own: which exercises have some, and what they are for a code.

They are asked as public ones are, since whoever has the code can see them, and know nothing of
misconceptions: what each of those would make of them, only the staff could work out.
"""

__all__ = ["has_own_numbers", "own_cases"]

from collections.abc import Callable, Mapping

from course_lib.exercises.personal.buffers import buffer_cases
from course_lib.exercises.personal.code import NO_CODE
from course_lib.exercises.personal.draws import Draws
from course_lib.exercises.personal.lines import line_cases
from course_lib.exercises.personal.plans import plan_cases
from course_lib.exercises.registry import Case

DRAWN: Mapping[str, Callable[[Draws], tuple[Case, ...]]] = {
    "3.6": plan_cases,
    "8.1": line_cases,
    "10.4": buffer_cases,
}


def has_own_numbers(exercise_id: str) -> bool:
    """Tell whether an exercise has numbers of one's own."""
    return exercise_id in DRAWN


def own_cases(exercise_id: str, code: str = NO_CODE) -> tuple[Case, ...]:
    """Return the cases of an exercise for a code; without one, those for everybody.

    An exercise without own numbers has none.
    """
    draw = DRAWN.get(exercise_id)
    return () if draw is None else draw(Draws("own numbers", exercise_id, code))
