"""Every exercise: right answers pass, empty ones earn nothing, misconceptions are named."""

import functools
import itertools

import pytest

from classes.cases_once import IN_FULL, SEEDS, few, here_if_it_ends, many, some
from classes.in_this_process import EvaluateHere
from course_lib.exercises.answer_source import library_uses
from course_lib.exercises.asked_again import in_another_order
from course_lib.exercises.registry import UNITS, public_cases
from course_lib.runner.runner import encoded
from instructor.quality.gate import loops, naming, trivial_verdicts, verdict_on
from instructor.units.build_cases import FOLDER, unit_text
from instructor.units.items import all_items, item, source_of

ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]


@pytest.mark.parametrize("unit", UNITS)
def test_case_files_are_what_the_model_answers_give(unit):
    """Processes of their own wrote the files, so what is worked out here gives the same as those.

    Where there is the time, processes do it once more; else for one unit.
    """
    on_file = (FOLDER / f"unit_{unit}.json").read_text(encoding="utf-8")
    assert on_file == unit_text(unit, here_if_it_ends)
    if IN_FULL or unit == UNITS[0]:
        assert on_file == unit_text(unit)


@pytest.mark.parametrize("one", [pytest.param(item("6.3"), id="6.3")])
def test_a_misconception_that_remembers_is_begun_anew_each_time(one):
    """Else what it gives would hang on which tests this process has run before."""
    evaluate_here, function = EvaluateHere(), one.misconceptions["counts-go-on"]
    asked = encoded(case.arguments for case in public_cases("6.3"))
    first, again = (evaluate_here(one.exercise, function, asked) for _ in range(2))
    assert first == again


@pytest.mark.parametrize("one", ITEMS)
def test_model_and_other_right_answers_earn_every_point(one):
    assert len(one.others) >= 3
    first, *others = many(one.exercise.id)[:10]
    cases = [*first, *(case for batch in others for case in batch[len(one.public) :])]
    asked = encoded(case.arguments for case in cases)
    for function in (one.answer, *one.others):
        source = source_of(function, one.exercise.function)
        verdict = verdict_on(one, source, cases, asked=asked)
        assert verdict.points == one.exercise.points, (function.__name__, verdict)


@pytest.mark.parametrize("one", ITEMS)
def test_an_answer_without_thought_earns_nothing(one):
    cases = public_cases(one.exercise.id)
    for what, verdict in trivial_verdicts(one, cases):
        assert verdict.points == 0, (what, verdict.earned)


@pytest.mark.parametrize("one", ITEMS)
def test_right_answers_lean_on_no_library(one):
    for function in (one.answer, *one.others):
        shape = one.exercise
        assert library_uses(source_of(function), shape.may_use, shape.may_not_use) == ()


@pytest.mark.parametrize("one", ITEMS)
def test_there_are_at_least_four_misconceptions(one):
    assert len(one.misconceptions) >= 4


@pytest.mark.parametrize("one", ITEMS)
def test_every_aspect_has_two_results_and_every_case_a_source(one):
    cases = public_cases(one.exercise.id)
    for aspect in one.exercise.aspects:
        results = {repr(case.expected) for case in cases if case.aspect == aspect.name}
        assert len(results) >= 2, aspect.name
    assert {case.aspect for case in cases} == {aspect.name for aspect in one.exercise.aspects}
    assert all(case.source for case in cases)


@pytest.mark.parametrize("one", ITEMS)
def test_every_misconception_loses_points_and_is_named_on_the_public_cases(one):
    """What it gives is in the file of cases, and another test compares that with what it does."""
    for name in one.misconceptions:
        result = naming(one, name, [public_cases(one.exercise.id)])
        assert (result.failed, result.named) == (1, 1), result


@pytest.mark.parametrize("one", ITEMS)
def test_a_misconception_is_named_where_it_runs_as_an_answer(one):
    name = next(name for name in one.misconceptions if not loops(one, name))
    source = source_of(one.misconceptions[name], one.exercise.function)
    verdict = verdict_on(one, source, public_cases(one.exercise.id))
    assert verdict.points < one.exercise.points
    assert verdict.misconception == name


@pytest.mark.parametrize("one", ITEMS)
def test_every_misconception_fails_and_is_named_whatever_the_seed(one):
    for name in one.misconceptions:
        batches = few if loops(one, name) else some
        result = naming(one, name, batches(one.exercise.id))
        assert result.failed == result.seeds, result
        assert result.named >= 0.95 * result.seeds, result
        assert result.named_as_other == (), result


@pytest.mark.parametrize("one", ITEMS)
def test_secret_cases_differ_from_public_ones_and_by_seed(one):
    public = [repr(case.arguments) for case in public_cases(one.exercise.id)]
    first, second = [
        {repr(case.arguments) for case in cases[len(public) :]}
        for cases in many(one.exercise.id)[:2]
    ]
    assert not first & set(public)
    assert first != second


# Answers that look at no input: from the place of a call to what they give there. They may know
# which results are right this year, those of last year in their order, and the public ones.


def _one_constant(asked, last_year, public):
    return [lambda place, given=given: given for given in sorted({right for _, right in asked})]


def _last_year_s_by_place(asked, last_year, public):
    return [dict(enumerate(right for _, right in last_year)).get]


def _last_year_s_by_place_in_the_aspect(asked, last_year, public):
    left = {name: iter([right for one, right in last_year if one == name]) for name, _ in asked}
    return [dict(enumerate(next(left[aspect], None) for aspect, _ in asked)).get]


def _a_cycle_of_public_results(asked, last_year, public):
    return [
        lambda place, cycle=cycle: cycle[place % len(cycle)]
        for length in (2, 3)
        for cycle in itertools.product(public, repeat=length)
    ]


BLIND = (
    _one_constant,
    _last_year_s_by_place,
    _last_year_s_by_place_in_the_aspect,
    _a_cycle_of_public_results,
)


def _right(case):
    """Return what is right, the same for all cases where any value will do."""
    return "any value" if case.expected.any_value else repr(case.expected)


def _as_asked(cases, public, seed):
    """Return aspects and right results of secret cases, in the two orders of their asking."""
    results = [(case.aspect, _right(case)) for case in cases]
    again = in_another_order(range(len(cases)), seed)
    return results[public:], [results[place] for place in again if place >= public]


def _earned(blind, aspect, orders, last_year, public):
    guesses = [blind(*both, public) for both in zip(orders, last_year, strict=True)]
    return any(
        all(
            given(place) == right
            for asked, given in zip(orders, guess, strict=True)
            for place, (one, right) in enumerate(asked)
            if one == aspect
        )
        for guess in zip(*guesses, strict=True)
    )


@functools.lru_cache(maxsize=1)
def _years(exercise_id):
    public = len(public_cases(exercise_id))
    return [
        _as_asked(cases, public, seed) for cases, seed in zip(many(exercise_id), SEEDS, strict=True)
    ]


@pytest.mark.parametrize("blind", BLIND, ids=[one.__name__[1:] for one in BLIND])
@pytest.mark.parametrize("one", ITEMS)
def test_no_aspect_is_earned_without_a_look_at_the_input(one, blind):
    """A table of public inputs does not help: no secret one is among them."""
    known, years = public_cases(one.exercise.id), _years(one.exercise.id)
    for aspect in one.exercise.aspects:
        results = [_right(case) for case in known if case.aspect == aspect.name]
        public = sorted(set(results), key=lambda text: (-results.count(text), text))[:3]
        earned = [
            seed
            for seed, orders, last_year in zip(SEEDS[1:], years[1:], years, strict=False)
            if _earned(blind, aspect.name, orders, last_year, public)
        ]
        assert earned == [], aspect.name
