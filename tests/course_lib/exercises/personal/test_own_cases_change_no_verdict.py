"""Own numbers never decide: whatever is known of an exercise earns the same, and has the same name.

Right answers, misconceptions and broken clauses are put to the public cases, without own numbers
and with those of several codes. All are functions of the course, so they run in this very process.
"""

import copy

import pytest

from classes.in_this_process import result_of_case
from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import public_cases
from course_lib.exercises.verdict import judge
from course_lib.runner.runner import Result, Run
from instructor.release.personal_codes import code_of
from instructor.units.clauses import contract_of
from instructor.units.items import item

ONE = item("3.6")
CODES = ["", *(code_of("a seed", f"student-{number}") for number in range(8))]
RIGHT = (ONE.answer, *ONE.others)
BROKEN = [
    function
    for clause in contract_of("3.6").clauses
    for function in (clause.broken, *clause.also)
]  # fmt: skip
WRONG = [*ONE.misconceptions.values(), *BROKEN]


def result(function, case):
    given = copy.deepcopy(case.arguments)
    came = result_of_case(ONE.exercise, function, given)
    return came if given == case.arguments else Result("changed")


def results(function, cases):
    return tuple(result(function, case) for case in cases)


def verdict(cases, given):
    return judge(ONE.exercise, cases, Run(given, None, "", 0))


@pytest.mark.parametrize("function", RIGHT, ids=[one.__name__ for one in RIGHT])
def test_a_right_answer_is_right_with_the_numbers_of_any_code(function):
    for code in CODES:
        own = own_cases("3.6", code)
        assert verdict(own, results(function, own)).points == ONE.exercise.points


def test_what_is_wrong_earns_the_same_and_has_the_same_name():
    public = public_cases("3.6")
    for function in WRONG:
        given = results(function, public)
        without = verdict(public, given)
        for code in CODES:
            own = own_cases("3.6", code)
            found = verdict(public + own, given + results(function, own))
            assert found.earned == without.earned, (function.__name__, code)
            assert found.misconception == without.misconception, (function.__name__, code)
            assert found.outcome is without.outcome


def test_a_table_of_the_public_cases_earns_nothing_more():
    public = public_cases("3.6")
    known = {repr(case.arguments): case.expected.value for case in public}

    def looked_up(*given):
        return known.get(repr(given), ([], "too few addresses"))

    assert verdict(public, results(looked_up, public)).points == ONE.exercise.points
    for code in CODES:
        cases = public + own_cases("3.6", code)
        assert verdict(cases, results(looked_up, cases)).points == 0
