"""A small call that shows a belief, from the public cases of the exercise that asks for it.

Each case knows what is right and what each belief gives. So what the handbook says of a belief is
what the checks go by.
"""

__all__ = ["Example", "example_of"]

from typing import NamedTuple

from course_lib.exercises.calls import call_text, shown
from course_lib.exercises.registry import Exercise, Expected, exercise, public_cases

LONGEST = 150  # characters of call and both results; a longer one is not for a blackboard


class Example(NamedTuple):
    """A call, what is right, and what comes of the belief."""

    call: str
    right: str
    wrong: str


def example_of(exercise_id: str, belief: str) -> Example | None:
    """Return the shortest example, or None if all are long."""
    item = exercise(exercise_id)
    found = [
        Example(call_text(item, case.arguments), _text(item, case.expected),
                _text(item, case.variants[belief]))
        for case in public_cases(exercise_id)
        if belief in case.wrong_in and not case.expected.any_value
    ]  # fmt: skip
    shortest = min(found, key=lambda one: sum(map(len, one)), default=None)
    return shortest if shortest and sum(map(len, shortest)) <= LONGEST else None


def _text(item: Exercise, what: Expected) -> str:
    if what.raises:
        return what.raises
    if what.out_of_time:
        return "no end"
    return shown(what.value, in_hex=item.hex in ("results", "both"))
