"""Points, outcomes and named beliefs, on hand-made cases."""

import pytest

from course_lib.exercises.registry import Aspect, Case, Exercise, Expected
from course_lib.exercises.verdict import Outcome, diagnose, judge
from course_lib.runner.runner import Problem, Result, Run

DOUBLE = Exercise(
    id="9.1",
    unit="09-test",
    function="double",
    title="Double a number",
    aspects=(Aspect("small", 1), Aspect("large", 2)),
    apart="variation",
    differs="only a test",
)


def case(aspect, number, **variants):
    wrong = {name: Expected(value=value) for name, value in variants.items()}
    return Case(aspect, (number,), Expected(value=2 * number), "arithmetic", wrong)


CASES = (
    case("small", 2, squares=4, adds_two=4, negates=-2),
    case("small", 3, squares=9, adds_two=5, negates=-3),
    case("large", 10, squares=100, adds_two=12, negates=-10),
    case("large", 20, squares=400, adds_two=22, negates=-20),
)


def run_of(*values):
    results = [value if isinstance(value, Result) else Result("value", value) for value in values]
    return Run(tuple(results), None, "", 0)


def raised(kind):
    return Result("raised", problem=Problem((kind, "Exception"), "why", 3))


@pytest.mark.parametrize(
    ("values", "outcome", "points", "misconception"),
    [
        pytest.param((4, 6, 20, 40), Outcome.RIGHT, 3, "", id="all-right"),
        pytest.param((4, 6, 20, 41), Outcome.PARTLY_RIGHT, 1, "", id="one-aspect"),
        pytest.param((4, 9, 100, 400), Outcome.WRONG, 0, "squares", id="named-exactly"),
        pytest.param((4, 6, 100, 400), Outcome.PARTLY_RIGHT, 1, "squares", id="named-where-wrong"),
        pytest.param((4, 7, 21, 41), Outcome.WRONG, 0, "", id="wrong-in-no-known-way"),
        pytest.param((4, 9, 12, 22), Outcome.WRONG, 0, "adds_two", id="named-in-one-aspect"),
        pytest.param((4, 9, 100, 22), Outcome.WRONG, 0, "", id="two-beliefs-mixed"),
        pytest.param((4, 6, 20, 22), Outcome.PARTLY_RIGHT, 1, "", id="one-value-is-no-proof"),
        pytest.param((4.0, 6.0, 20.0, 40.0), Outcome.BAD_VALUE, 0, "", id="floats"),
        pytest.param(("4", "6", "20", "40"), Outcome.BAD_VALUE, 0, "", id="texts"),
        pytest.param((None,) * 4, Outcome.BAD_VALUE, 0, "", id="nothing"),
        pytest.param((raised("KeyError"),) * 4, Outcome.ERROR, 0, "", id="error"),
        pytest.param((Result("died"),) * 4, Outcome.ERROR, 0, "", id="died"),
        pytest.param((Result("out of time"),) * 4, Outcome.OUT_OF_TIME, 0, "", id="loop"),
        pytest.param((Result("not plain"),) * 4, Outcome.BAD_VALUE, 0, "", id="object"),
        pytest.param((raised("NotImplementedError"),) * 4, Outcome.NO_ANSWER, 0, "", id="stub"),
        pytest.param(
            (4, 6, 20, raised("NotImplementedError")), Outcome.PARTLY_RIGHT, 1, "", id="half-done"
        ),
    ],
)
def test_a_run_is_judged(values, outcome, points, misconception):
    verdict = judge(DOUBLE, CASES, run_of(*values))
    assert (verdict.outcome, verdict.points) == (outcome, points)
    assert verdict.misconception == misconception


def test_beliefs_that_cannot_be_told_apart_are_not_named():
    cases = (case("small", 2, one=9, other=9), case("large", 3, one=8, other=8))
    assert diagnose(cases, run_of(9, 8).results) == ""


def test_the_first_wrong_case_is_kept_with_what_it_gave():
    verdict = judge(DOUBLE, CASES, run_of(4, 6, 21, 41))
    assert verdict.first_wrong is CASES[2]
    assert verdict.seen.value == 21


def test_a_cell_that_cannot_be_run_is_an_error_with_its_reason():
    problem = Problem(("SyntaxError",), "expected ':'", 1)
    verdict = judge(DOUBLE, CASES, Run((), problem, "", 0))
    assert (verdict.outcome, verdict.points) == (Outcome.ERROR, 0)
    assert verdict.note == "expected ':'"


def test_a_refusal_may_be_of_a_more_special_kind():
    refuses = (
        Case("small", (1,), Expected(raises="ValueError"), "contract", {}),
        Case("large", (1,), Expected(raises="ValueError"), "contract", {}),
    )
    special = Result("raised", problem=Problem(("UnicodeError", "ValueError"), "", None))
    assert judge(DOUBLE, refuses, run_of(special, special)).outcome is Outcome.RIGHT
    other = judge(DOUBLE, refuses, run_of(raised("IndexError"), raised("IndexError")))
    assert other.outcome is Outcome.ERROR
