"""Wrong answers that no listed belief explains lose points, and get no name that is not theirs."""

import functools
import importlib

import pytest

from course_lib.exercises.registry import UNITS, public_cases
from instructor.quality.gate import cases_of_seeds, verdict_on
from instructor.units.items import item

SEEDS = ["unlisted"]
UNLISTED = [
    pytest.param(number, source, id=f"{number}-{what}")
    for unit in UNITS
    for number, answers in importlib.import_module(
        f"unlisted_mistakes.unit_{unit}"
    ).UNLISTED.items()
    for what, source in answers.items()
]


@functools.lru_cache(maxsize=1)  # the tests of one exercise follow each other
def asked(number):
    """Return the public cases, and those of some seeds, with what every belief gives."""
    return (public_cases(number), *cases_of_seeds(item(number), SEEDS))


@pytest.mark.parametrize(("number", "source"), UNLISTED)
def test_a_mistake_that_nobody_listed_loses_points_and_gets_no_name(number, source):
    one = item(number)
    for cases in asked(number):
        verdict = verdict_on(one, source, cases)
        assert verdict.points < one.exercise.points
        assert (verdict.misconception, verdict.either) == ("", ())
