"""Own numbers never decide: whatever is known of an exercise earns the same, and has the same name.

Right answers, misconceptions and broken clauses are put to the public cases, without own numbers
and with those of several codes. All are functions of the course, so they run in this very process.
"""

import copy

import pytest

from classes.in_this_process import result_of_case
from course_lib.exercises.personal.own_cases import DRAWN, own_cases
from course_lib.exercises.registry import exercise, public_cases
from course_lib.exercises.verdict import judge
from course_lib.runner.runner import Result, Run
from instructor.release.personal_codes import code_of
from instructor.units.clauses import contract_of
from instructor.units.items import item

CODES = ["", *(code_of("a seed", f"student-{number}") for number in range(3))]
RIGHT = [(name, one) for name in DRAWN for one in (item(name).answer, *item(name).others)]
each_exercise = pytest.mark.parametrize("name", DRAWN)


def wrong(name):
    """Return the functions of all misconceptions, and those that break a clause."""
    clauses = contract_of(name).clauses
    broken = [function for one in clauses for function in (one.broken, *one.also)]
    return [*item(name).misconceptions.values(), *broken]


def result(name, function, case):
    given = copy.deepcopy(case.arguments)
    came = result_of_case(item(name).exercise, function, given)
    return came if given == case.arguments else Result("changed")


def results(name, function, cases):
    return tuple(result(name, function, case) for case in cases)


def verdict(name, cases, given):
    return judge(item(name).exercise, cases, Run(given, None, "", 0))


@pytest.mark.parametrize(("name", "function"), RIGHT, ids=[one.__name__ for _, one in RIGHT])
def test_a_right_answer_is_right_with_the_numbers_of_any_code(name, function):
    for code in CODES:
        own = own_cases(name, code)
        assert verdict(name, own, results(name, function, own)).points == exercise(name).points


@each_exercise
def test_what_is_wrong_earns_the_same_and_has_the_same_name(name):
    public = public_cases(name)
    for function in wrong(name):
        given = results(name, function, public)
        without = verdict(name, public, given)
        for code in CODES:
            own = own_cases(name, code)
            found = verdict(name, public + own, given + results(name, function, own))
            assert found.earned == without.earned, (function.__name__, code)
            assert found.misconception == without.misconception, (function.__name__, code)
            assert found.outcome is without.outcome


@each_exercise
def test_a_table_of_the_public_cases_earns_nothing_more(name):
    public = public_cases(name)
    known = {repr(case.arguments): case.expected.value for case in public}

    def looked_up(*given):
        return known.get(repr(given))

    assert verdict(name, public, results(name, looked_up, public)).points == exercise(name).points
    for code in CODES:
        cases = public + own_cases(name, code)
        assert verdict(name, cases, results(name, looked_up, cases)).points == 0
