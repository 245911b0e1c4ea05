"""Calls with another student's numbers: found however written, and nobody is named wrongly."""

import pytest

from course_lib.exercises.personal.own_cases import DRAWN, own_cases
from instructor.grading.similarity.others_numbers import FoundCall, OthersNumbers
from instructor.release.personal_codes import code_of

WHOSE = {code_of("a seed", f"student-{number}"): f"student-{number}" for number in range(120)}
MINE, THEIRS, *_ = WHOSE
OTHERS = OthersNumbers(DRAWN, WHOSE)
FOUND = {name: (FoundCall(name, "student-1"),) for name in DRAWN}


def in_other_clothes(arguments):
    """Return the same arguments as tuples, with blanks, and numbers with underscores."""
    text = repr(arguments).replace("[", "(").replace("]", ",  )").replace(",", " ,\n   ")
    return text.replace("000000", "_000_000")


@pytest.mark.parametrize("name", DRAWN)
@pytest.mark.parametrize("written", [repr, in_other_clothes, lambda given: repr(repr(given))])
def test_each_call_of_another_is_found(name, written):
    for case in own_cases(name, THEIRS):
        cells = ["x = 1", f"solve{written(case.arguments)}  # so?"]
        assert OTHERS.found_in(cells, MINE) == FOUND[name]


@pytest.mark.parametrize("name", DRAWN)
def test_one_s_own_calls_and_those_of_everybody_say_nothing(name):
    for code in (MINE, ""):
        cells = [repr(case.arguments) for case in own_cases(name, code)]
        assert OTHERS.found_in(cells, MINE) == ()


def test_a_call_with_one_other_number_is_not_theirs():
    rate, *rest = own_cases("10.4", THEIRS)[0].arguments
    assert OTHERS.found_in([repr((rate + 1, *rest))], MINE) == ()


def test_where_two_have_the_same_call_neither_is_named_to_the_other_and_both_to_a_third():
    """Of 120 students some have one line of four in common by chance."""
    those = {}
    for code in WHOSE:
        those.setdefault(repr(own_cases("8.1", code)[2].arguments), []).append(code)
    call, (one, other) = next((call, two) for call, two in those.items() if len(two) == 2)
    third = next(code for code in WHOSE if code not in (one, other))
    assert OTHERS.found_in([call], one) == OTHERS.found_in([call], other) == ()
    both = " or ".join(sorted((WHOSE[one], WHOSE[other])))
    assert OTHERS.found_in([call], third) == (FoundCall("8.1", both),)
