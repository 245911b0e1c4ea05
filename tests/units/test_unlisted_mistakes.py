"""Wrong answers that no listed belief explains lose points, and get no name that is not theirs."""

import importlib

import pytest

from classes.cases_once import few
from course_lib.exercises.registry import UNITS, public_cases
from instructor.quality.gate import verdict_on
from instructor.units.items import item

UNLISTED = [
    pytest.param(number, source, id=f"{number}-{what}")
    for unit in UNITS
    for number, answers in importlib.import_module(
        f"unlisted_mistakes.unit_{unit}"
    ).UNLISTED.items()
    for what, source in answers.items()
]


@pytest.mark.parametrize(("number", "source"), UNLISTED)
def test_a_mistake_that_nobody_listed_loses_points_and_gets_no_name(number, source):
    one = item(number)
    for cases in (public_cases(number), few(number)[0]):
        verdict = verdict_on(one, source, cases)
        assert verdict.points < one.exercise.points
        assert (verdict.misconception, verdict.either) == ("", ())
