"""Points, outcomes and named beliefs, on hand-made cases."""

from dataclasses import replace

import pytest

from course_lib.exercises.beliefs import beliefs_shown
from course_lib.exercises.registry import Aspect, Case, Exercise, Expected
from course_lib.exercises.verdict import Outcome, judge
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


def refused(kind):
    return Result("raised", problem=Problem((kind, "Exception"), "why", 3, on_purpose=True))


@pytest.mark.parametrize(
    ("values", "outcome", "points", "misconception"),
    [
        pytest.param((4, 6, 20, 40), Outcome.RIGHT, 3, "", id="all-right"),
        pytest.param((4, 6, 20, 41), Outcome.PARTLY_RIGHT, 1, "", id="one-aspect"),
        pytest.param((4, 9, 100, 400), Outcome.WRONG, 0, "squares", id="named-exactly"),
        pytest.param((4, 6, 100, 400), Outcome.PARTLY_RIGHT, 1, "", id="right-in-another-aspect"),
        pytest.param((4, 7, 21, 41), Outcome.WRONG, 0, "", id="wrong-in-no-known-way"),
        pytest.param((5, 9, 12, 22), Outcome.WRONG, 0, "", id="wrong-elsewhere-in-no-known-way"),
        pytest.param((4, 9, 12, 40), Outcome.WRONG, 0, "", id="right-where-the-belief-is-wrong"),
        pytest.param((4, 9, 100, 22), Outcome.WRONG, 0, "", id="two-beliefs-mixed"),
        pytest.param((4, 6, 20, 22), Outcome.PARTLY_RIGHT, 1, "", id="one-value-is-no-proof"),
        pytest.param((4.0, 6.0, 20.0, 40.0), Outcome.RIGHT, 3, "", id="floats"),
        pytest.param((refused("E"), 6, 20, 40), Outcome.PARTLY_RIGHT, 2, "", id="one-refused"),
        pytest.param((refused("E"),) * 4, Outcome.WRONG, 0, "", id="all-refused-on-purpose"),
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


def named(cases, *values):
    return beliefs_shown(DOUBLE, cases, run_of(*values).results)


def test_two_beliefs_that_no_case_tells_apart_are_both_named_and_three_are_not():
    two = (case("small", 2, one=9, other=9), case("large", 3, one=8, other=8))
    verdict = judge(DOUBLE, two, run_of(9, 8))
    assert (verdict.misconception, verdict.either) == ("", ("one", "other"))
    three = (case("small", 2, a=9, b=9, c=9), case("large", 3, a=8, b=8, c=8))
    assert named(three, 9, 8) == ()


def test_a_belief_that_explains_everything_goes_before_one_that_explains_an_aspect():
    cases = (
        case("small", 2, all_of_it=9, a_part=9), case("small", 3, all_of_it=5, a_part=5),
        case("large", 4, all_of_it=7, a_part=8), case("large", 5, all_of_it=10, a_part=11),
    )  # fmt: skip
    assert named(cases, 9, 5, 7, 10) == ("all_of_it",)
    assert named(cases, 9, 5, 8, 11) == ("a_part",)


def test_what_is_wrong_elsewhere_must_be_explained_too():
    cases = (
        case("small", 2, one=9, other=4), case("small", 3, one=5, other=6),
        case("large", 4, one=7, other=1), case("large", 5, one=11, other=2),
    )  # fmt: skip
    assert named(cases, 9, 5, 0, 3) == ()  # nobody has listed what is wrong with the large ones


@pytest.mark.parametrize(
    "values",
    [
        pytest.param((0, 0, 0), id="one-value-for-everything"),
        pytest.param((2, 3, 4), id="an-argument-handed-back"),
        pytest.param((raised("ValueError"),) * 3, id="everything-refused"),
        pytest.param((Result("out of time"),) * 3, id="never-an-answer"),
    ],
)
def test_what_needs_no_thought_shows_no_belief(values):
    wrong = [
        Expected(raises=one.problem.kind) if isinstance(one, Result) and one.problem
        else Expected(out_of_time=True) if isinstance(one, Result) else Expected(one)
        for one in values
    ]  # fmt: skip
    cases = [
        Case("small", (number,), Expected(2 * number), "", {"belief": one})
        for number, one in zip((2, 3, 4), wrong, strict=True)
    ]
    assert named(cases, *values) == ()


def test_a_whole_number_may_be_asked_for():
    shape = replace(DOUBLE, whole=True)
    assert judge(shape, CASES, run_of(4.0, 6.0, 20.0, 40.0)).outcome is Outcome.BAD_VALUE
    assert judge(shape, CASES, run_of(4, 6, 20.0, 40)).points == 1


def test_what_any_case_expects_is_no_bad_value():
    cases = (Case("small", (1,), Expected(None), "", {}), case("large", 2))
    assert judge(DOUBLE, cases, run_of(3, None)).outcome is Outcome.WRONG


def test_a_short_case_is_shown_before_a_long_one():
    long = Case("small", ("x" * 999,), Expected(1), "", {})
    verdict = judge(DOUBLE, (long, case("small", 2), case("large", 1)), run_of(0, 0, 0))
    assert verdict.first_wrong.arguments == (2,)


def test_a_case_that_was_never_tried_is_not_shown_while_there_is_one_that_was():
    long = Case("small", ("x" * 999,), Expected(1), "", {})
    left_out = Result("died", note="not tried after earlier ends")
    verdict = judge(DOUBLE, (long, case("small", 2), case("large", 1)), run_of(0, left_out, 2))
    assert verdict.first_wrong is long
    assert judge(DOUBLE, (case("small", 2),), run_of(left_out)).seen is left_out


def test_the_first_wrong_case_is_kept_with_what_it_gave():
    verdict = judge(DOUBLE, CASES, run_of(4, 6, 21, 41))
    assert verdict.first_wrong is CASES[2]
    assert verdict.seen.value == 21


def test_a_cell_that_cannot_be_run_is_an_error_with_its_reason():
    problem = Problem(("SyntaxError",), "expected ':'", 1)
    verdict = judge(DOUBLE, CASES, Run((), problem, "", 0))
    assert (verdict.outcome, verdict.points) == (Outcome.ERROR, 0)
    assert verdict.note == "expected ':'"


REFUSES = Exercise(
    id="9.2",
    unit="09-test",
    function="double",
    title="Double a number, but no odd one",
    aspects=(Aspect("values", 1), Aspect("refusals", 1, refusals=True)),
    apart="variation",
    differs="only a test",
)
ANY = Expected(8, any_value=True)


@pytest.mark.parametrize(
    ("of_four", "of_three", "earned"),
    [
        pytest.param(8, refused("ValueError"), 1, id="right"),
        pytest.param(9, refused("ValueError"), 1, id="a-wrong-value-is-no-refusal"),
        pytest.param(Result("not plain", note="a generator"), refused("ValueError"), 1, id="odd"),
        pytest.param(refused("ValueError"), refused("ValueError"), 0, id="refuses-all"),
        pytest.param(raised("TypeError"), refused("ValueError"), 0, id="falls-over"),
        pytest.param(Result("out of time"), refused("ValueError"), 0, id="runs-for-ever"),
        pytest.param(8, 6, 0, id="refuses-none"),
    ],
)
def test_where_refusals_are_asked_for_any_value_will_do(of_four, of_three, earned):
    cases = (
        Case("values", (2,), Expected(4), "arithmetic", {}),
        Case("refusals", (4,), ANY, "arithmetic", {}),
        Case("refusals", (3,), Expected(raises="ValueError"), "contract", {}),
    )
    verdict = judge(REFUSES, cases, run_of(5, of_four, of_three))
    assert verdict.earned == (("values", 0, 1), ("refusals", earned, 1))


@pytest.mark.parametrize(
    ("given", "as_good"),
    [(Expected(8), True), (Expected(9), True), (Expected(raises="ValueError"), False)],
)
def test_a_belief_is_wrong_there_only_if_it_refuses(given, as_good):
    assert ANY.is_same(given, whole=False) is as_good


def test_a_refusal_may_be_of_a_more_special_kind():
    refuses = (
        Case("small", (1,), Expected(raises="ValueError"), "contract", {}),
        Case("large", (1,), Expected(raises="ValueError"), "contract", {}),
    )
    special = Result("raised", problem=Problem(("UnicodeError", "ValueError"), "", None))
    assert judge(DOUBLE, refuses, run_of(special, special)).outcome is Outcome.RIGHT
    other = judge(DOUBLE, refuses, run_of(raised("IndexError"), raised("IndexError")))
    assert other.outcome is Outcome.ERROR
