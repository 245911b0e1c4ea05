"""Everything is asked twice: what is right by chance, or by what went before, is not right."""

import pytest

from course_lib.exercises.asked_again import asked_again
from course_lib.exercises.feedback import feedback
from course_lib.exercises.registry import Aspect, Case, Exercise, Expected, exercise
from course_lib.exercises.tried_answer import mark_cells
from course_lib.exercises.verdict import Outcome, judge
from course_lib.runner.runner import Problem, Result, Run
from instructor.units.items import item, source_of

RIGHT = source_of(item("2.1").answer, "right")
FULL = exercise("2.1").points

HONEST = {
    "plain": "def fold(total):\n    return right(total)\n",
    "remembers-results": "import functools\nfold = functools.cache(right)\n",
    "counts-its-calls": "calls = []\ndef fold(total):\n    calls.append(total)\n"
    "    return right(total)\n",
    "adds-in-the-order-of-a-set": "def fold(total):\n"
    "    return right(sum(n for _, n in {('a', total - 7), ('b', 3), ('c', 4)}))\n",
}
BY_CHANCE = {
    "every-other-call": "import itertools\nturn = itertools.cycle([0, 0, 0, 0, 1])\n"
    "def fold(total):\n    return right(total) + next(turn)\n",
    "at-random": "import random\ndef fold(total):\n"
    "    return right(total) * random.choice((1, 2))\n",
    "refuses-at-random": "import os\ndef fold(total):\n"
    "    if os.urandom(1)[0] % 2: raise KeyError\n    return right(total)\n",
}


@pytest.mark.parametrize("name", sorted(HONEST))
def test_an_honest_answer_gives_the_same_twice(name):
    verdict = mark_cells(exercise("2.1"), [RIGHT, HONEST[name]]).verdict
    assert (verdict.outcome, verdict.points) == (Outcome.RIGHT, FULL)


@pytest.mark.parametrize("name", sorted(BY_CHANCE))
def test_an_answer_that_is_right_by_chance_is_told_that_two_runs_differ(name):
    verdict = mark_cells(exercise("2.1"), [RIGHT, BY_CHANCE[name]]).verdict
    assert verdict.outcome is Outcome.TWO_RUNS_DIFFER
    assert verdict.points < FULL
    words = feedback(verdict)
    assert "two runs differ" in words.heading
    assert words.seen.startswith("fold(")
    assert "another when it was called again" in words.seen
    assert "keep something from one call to the next" in words.next


ITEM = Exercise("9.1", "09-test", "double", "Double", (Aspect("a", 1), Aspect("b", 2)), "open", "")
CASES = tuple(
    Case("a" if number < 4 else "b", (number,), Expected(value=2 * number), "arithmetic", {})
    for number in range(8)
)
DOUBLED = Run(tuple(Result("value", 2 * number) for number in range(8)), None, "", 0)


def doubles(asked):
    """Return an answer that doubles, and notes what it was asked."""

    def ask(cases):
        asked.append([case.arguments[0] for case in cases])
        return Run(tuple(Result("value", 2 * case.arguments[0]) for case in cases), None, "", 0)

    return ask


def test_cases_are_asked_in_another_order_and_results_come_back_in_theirs():
    asked = []
    for seed in ("one", "other"):
        assert asked_again(ITEM, CASES, DOUBLED, doubles(asked), seed) == DOUBLED.results
    assert sorted(asked[0]) == list(range(8))
    assert asked[0] != asked[1] != list(range(8)) != asked[0]


def test_where_time_ran_out_only_what_can_still_earn_points_is_asked_again():
    asked = []
    late = (Result("out of time"), *DOUBLED.results[1:])
    assert asked_again(ITEM, CASES, Run(late, None, "", 0), doubles(asked)) == late
    assert sorted(asked[0]) == [4, 5, 6, 7]


def test_an_answer_that_cannot_be_loaded_is_not_asked_again():
    problem = Problem(("SyntaxError",), "no", 1)
    asked = []
    assert asked_again(ITEM, CASES, Run((), problem, "", 0), doubles(asked)) == ()
    assert asked == []


def test_a_cell_that_runs_only_once_is_right_only_once():
    def ask(cases):
        return Run((), Problem(("KeyError",), "no", 1), "", 0)

    again = asked_again(ITEM, CASES, DOUBLED, ask)
    assert judge(ITEM, CASES, DOUBLED, again).points == 0


@pytest.mark.parametrize(
    ("place", "second", "outcome", "points"),
    [
        pytest.param(5, Result("value", 10), Outcome.RIGHT, 3, id="the-same"),
        pytest.param(5, Result("value", 10.0), Outcome.RIGHT, 3, id="the-same-as-a-float"),
        pytest.param(5, Result("value", 11), Outcome.TWO_RUNS_DIFFER, 1, id="another-value"),
        pytest.param(0, Result("died"), Outcome.TWO_RUNS_DIFFER, 2, id="an-end"),
        pytest.param(0, Result("out of time"), Outcome.TWO_RUNS_DIFFER, 2, id="no-end"),
        pytest.param(
            0, Result("changed", note="`x`"), Outcome.TWO_RUNS_DIFFER, 2, id="a-changed-argument"
        ),
    ],
)
def test_an_aspect_counts_where_it_is_right_both_times(place, second, outcome, points):
    again = [*DOUBLED.results[:place], second, *DOUBLED.results[place + 1 :]]
    verdict = judge(ITEM, CASES, DOUBLED, again)
    assert (verdict.outcome, verdict.points) == (outcome, points)


def test_two_wrong_results_that_are_the_same_are_wrong_and_no_more():
    wrong = tuple(Result("value", 0.1 + place) for place in range(8))
    near = tuple(Result("value", 0.1 + place + 1e-13) for place in range(8))
    assert judge(ITEM, CASES, Run(wrong, None, "", 0), near).outcome is not Outcome.TWO_RUNS_DIFFER


@pytest.mark.parametrize(
    ("first", "second", "outcome"),
    [
        ("out of time", "died", Outcome.OUT_OF_TIME),
        ("died", "out of time", Outcome.ERROR),
        ("out of time", "out of time", Outcome.OUT_OF_TIME),
        ("value", "died", Outcome.TWO_RUNS_DIFFER),
    ],
)
def test_how_an_answer_ends_that_never_comes_back_is_no_difference(first, second, outcome):
    one, other = ((Result(kind, -1 if kind == "value" else None),) * 8 for kind in (first, second))
    assert judge(ITEM, CASES, Run(one, None, "", 0), other).outcome is outcome
