"""Each clause of each contract has a case of its own, and each case a clause.

Every clause is broken in turn, by an answer that keeps all others: it must lose the points of
one aspect and no others, whatever the seed.
"""

import functools
import itertools
import re

import pytest

from classes.cases_once import many
from classes.in_this_process import CasesHere
from course_lib.exercises.beliefs import agrees
from course_lib.runner.runner import Limits, StandAlone, encoded, run_answer
from instructor.units.clauses import contract_of
from instructor.units.items import all_items, item, source_of
from structure.contract_text import contract_text, in_one_line

SEEDS = 3
ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]


def batches(exercise_id):
    """Return the cases of some seeds, the public ones first in each."""
    return many(exercise_id)[:SEEDS]


@functools.lru_cache(maxsize=1)
def all_cases(exercise_id):
    """Return the cases of all seeds, the public ones once and first, and where they are tried."""
    first, *others = batches(exercise_id)
    public = len(item(exercise_id).public)
    cases = [*first, *(case for each in others for case in each[public:])]
    shape = item(exercise_id).exercise
    return cases, CasesHere(shape, encoded(case.arguments for case in cases))


@functools.lru_cache(maxsize=100)  # a contract has fewer clauses
def failed_by(exercise_id, function):
    """Return, for each seed, which cases a function fails.

    They are put to it in this process; one time-out is enough, as for an answer.
    """
    one = item(exercise_id)
    cases, here = all_cases(exercise_id)
    results = here.results(function, one.exercise.time_limit_s, timeouts=1)
    wrong = [
        not agrees(case.expected, got, whole=one.exercise.whole)
        for case, got in zip(cases, results, strict=True)
    ]
    public = wrong[: len(one.public)]
    secret = iter(wrong[len(public) :])
    lost = [
        [*public, *itertools.islice(secret, len(each) - len(public))]
        for each in batches(exercise_id)
    ]
    return tuple(frozenset(place for place, is_wrong in enumerate(one) if is_wrong) for one in lost)


@pytest.mark.parametrize("one", ITEMS)
def test_what_a_broken_answer_fails_here_it_fails_in_a_process_of_its_own(one):
    shape, broken = one.exercise, contract_of(one.exercise.id).clauses[0].broken
    cases, _ = all_cases(shape.id)
    public = cases[: len(one.public)]
    run = run_answer(
        StandAlone(source_of(broken, shape.function)), shape.function,
        [case.arguments for case in public], driver=shape.driver,
        limits=Limits(case_s=shape.time_limit_s, processor_s=600, timeouts=1),
        may_use=shape.may_use,
    )  # fmt: skip
    assert run.load_problem is None, run.load_problem
    wrong = {
        place
        for place, (case, got) in enumerate(zip(public, run.results, strict=True))
        if not agrees(case.expected, got, whole=shape.whole)
    }
    assert wrong == failed_by(shape.id, broken)[0] & set(range(len(public)))


@pytest.mark.parametrize("one", ITEMS)
def test_every_clause_stands_in_the_workbook_in_these_words(one):
    texts = contract_text(one.exercise)
    words = [in_one_line(clause.words) for clause in contract_of(one.exercise.id).clauses]
    assert [each for each in words if not any(each in text for text in texts)] == []


@pytest.mark.parametrize("one", ITEMS)
def test_every_sentence_of_a_contract_is_a_clause_or_asks_for_nothing(one):
    contract = contract_of(one.exercise.id)
    _, text = contract_text(one.exercise)
    known = [in_one_line(clause.words) for clause in contract.clauses]
    known += [in_one_line(words) for words in contract.says_only]
    covered = set()
    for words in known:
        for found in re.finditer(re.escape(words), text):
            covered.update(range(*found.span()))
    sentences = re.finditer(r"\S.*?(?:[.;:](?=\s|$)|$)", text)
    assert [one.group() for one in sentences if covered.isdisjoint(range(*one.span()))] == []


@pytest.mark.parametrize("one", ITEMS)
def test_words_that_ask_for_nothing_stand_in_the_contract(one):
    texts = contract_text(one.exercise)
    for words in contract_of(one.exercise.id).says_only:
        assert any(in_one_line(words) in text for text in texts), words


def costs(one, function):
    """Return the aspects that a function loses, for each seed."""
    return [
        {cases[place].aspect for place in places}
        for cases, places in zip(
            batches(one.exercise.id), failed_by(one.exercise.id, function), strict=True
        )
    ]


@pytest.mark.parametrize("one", ITEMS)
def test_a_broken_clause_costs_the_points_of_its_aspect_and_no_more(one):
    values = {aspect.name for aspect in one.exercise.aspects if not aspect.refusals}
    for clause in contract_of(one.exercise.id).clauses:
        for aspects in costs(one, clause.broken):
            if clause.aspect:
                assert aspects == {clause.aspect}, clause.words
            else:
                assert aspects & values == values, clause.words


@pytest.mark.parametrize("one", ITEMS)
def test_every_other_way_to_break_a_clause_costs_the_same_points(one):
    for clause in contract_of(one.exercise.id).clauses:
        for way in clause.also:
            for aspects in costs(one, way):
                assert aspects == {clause.aspect}, way.__name__


@pytest.mark.parametrize("one", ITEMS)
def test_every_clause_has_a_case_that_fails_only_where_it_is_broken(one):
    clauses = contract_of(one.exercise.id).clauses
    for clause in clauses:
        others = [other.broken for other in clauses if other is not clause and other.aspect]
        for seed in range(SEEDS):
            alone = failed_by(one.exercise.id, clause.broken)[seed].difference(
                *(failed_by(one.exercise.id, other)[seed] for other in others)
            )
            assert alone, clause.words


@pytest.mark.parametrize("one", ITEMS)
def test_no_case_asks_for_what_no_clause_says(one):
    ways = [
        way
        for clause in contract_of(one.exercise.id).clauses
        for way in (clause.broken, *clause.also)
    ]
    for seed, cases in enumerate(batches(one.exercise.id)):
        asked = frozenset().union(*(failed_by(one.exercise.id, way)[seed] for way in ways))
        left = [case for place, case in enumerate(cases) if place not in asked]
        # Where any value will do, the contract asks for no more than not to refuse.
        assert [case.arguments for case in left if not case.expected.any_value] == []


@pytest.mark.parametrize("one", ITEMS)
def test_most_clauses_cost_one_aspect(one):
    clauses = contract_of(one.exercise.id).clauses
    assert sum(not clause.aspect for clause in clauses) <= max(2, len(clauses) // 3)
