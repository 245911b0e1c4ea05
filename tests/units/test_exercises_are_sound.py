"""Every exercise: right answers pass, empty ones earn nothing, misconceptions are named."""

import functools
import itertools

import pytest

from course_lib.exercises.answer_source import library_uses
from course_lib.exercises.registry import all_exercises, public_cases
from instructor.quality.gate import cases_of_seeds, loops, naming, trivial_sources, verdict_on
from instructor.units.build_cases import FOLDER, unit_text
from instructor.units.items import all_items, item, source_of

ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]
WRONG = [
    pytest.param(one, name, id=f"{one.exercise.id}-{name}")
    for one in all_items()
    for name in one.misconceptions
]
SEEDS = [str(seed) for seed in range(200)]
FEW_SEEDS = SEEDS[:2]  # for misconceptions that loop for ever: each costs its time limit


@functools.cache
def many(exercise_id):
    one = item(exercise_id)
    return cases_of_seeds(one, SEEDS, [name for name in one.misconceptions if not loops(one, name)])


@functools.cache
def few(exercise_id):
    return cases_of_seeds(item(exercise_id), FEW_SEEDS)


@pytest.mark.parametrize("unit", sorted({item.unit[:2] for item in all_exercises()}))
def test_case_files_are_what_the_model_answers_give(unit):
    assert (FOLDER / f"unit_{unit}.json").read_text(encoding="utf-8") == unit_text(unit)


@pytest.mark.parametrize("one", ITEMS)
def test_model_and_other_right_answers_earn_every_point(one):
    assert len(one.others) >= 3
    cases = list(itertools.chain(*many(one.exercise.id)[:20]))
    for function in (one.answer, *one.others):
        verdict = verdict_on(one, source_of(function, one.exercise.function), cases)
        assert verdict.points == one.exercise.points, (function.__name__, verdict)


@pytest.mark.parametrize("one", ITEMS)
def test_an_answer_without_thought_earns_nothing(one):
    cases = public_cases(one.exercise.id)
    for what, source in trivial_sources(one):
        verdict = verdict_on(one, source, cases)
        assert verdict.points == 0, (what, verdict.earned)


@pytest.mark.parametrize("one", ITEMS)
def test_right_answers_lean_on_no_library(one):
    for function in (one.answer, *one.others):
        assert library_uses(source_of(function), one.exercise.may_use) == ()


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


@pytest.mark.parametrize(("one", "name"), WRONG)
def test_a_misconception_loses_points_and_is_named_on_the_public_cases(one, name):
    source = source_of(one.misconceptions[name], one.exercise.function)
    verdict = verdict_on(one, source, public_cases(one.exercise.id))
    assert verdict.points < one.exercise.points
    assert verdict.misconception == name


@pytest.mark.parametrize(("one", "name"), WRONG)
def test_a_misconception_fails_and_is_named_whatever_the_seed(one, name):
    batches = few(one.exercise.id) if loops(one, name) else many(one.exercise.id)
    result = naming(one, name, batches)
    assert result.failed == result.seeds
    assert result.named >= 0.95 * result.seeds, result
    assert result.named_as_other == ()


@pytest.mark.parametrize("one", ITEMS)
def test_secret_cases_differ_from_public_ones_and_by_seed(one):
    public = [repr(case.arguments) for case in public_cases(one.exercise.id)]
    first, second = [
        {repr(case.arguments) for case in cases[len(public) :]}
        for cases in many(one.exercise.id)[:2]
    ]
    assert not first & set(public)
    assert first != second
