"""Machine-made faults in model answers: cases notice nearly all, the rest is explained."""

import functools
import itertools
import operator
from concurrent.futures import ThreadPoolExecutor

import pytest

from classes.cases_once import many
from course_lib.runner.runner import encoded
from instructor.quality.gate import verdict_on
from instructor.quality.mutants import mutants
from instructor.units.items import all_items, source_of

# Of its time this much is enough to see that a mutant runs for ever: twenty times as long as any
# model answer takes for a case. Hundreds of mutants do.
SHARE = 0.05

# Each survivor, with the reason why no case can notice it.
SURVIVORS = {
    "2.3": {
        "fold: 65535 becomes 65536": "a total of 0x10000 stands for 1; neither is 0xFFFF",
    },
    "3.4": {
        "prefixes_between: 0 becomes -1": "twice all addresses reach too far, and are passed over",
    },
    "3.6": {
        "prefixes_between: 0 becomes -1": "twice all addresses reach too far, and are passed over",
        "prefixes_between: 0 becomes 1": "all addresses as two halves give the same places",
    },
    "6.1": {
        "folded_sum: 65535 becomes 65536": "a total of 0x10000 stands for 1; neither is 0xFFFF",
    },
    "6.2": {"number_at: 2 becomes 1": "fills up half words, and only 6.1 gets headers with one"},
    "6.4": {"number_at: 2 becomes 1": "fills up half words, and only 6.1 gets headers with one"},
    "6.6": {"number_at: 2 becomes 1": "fills up half words, and only 6.1 gets headers with one"},
    "11.5": {"rate_with_losses: 1 becomes 0": "a tooth of 1 fits between any two losses"},
    "11.1": {
        "flow_of_data: 6 becomes 5": "one octet more of identification, which the mask takes away",
        "flow_of_data: 12 becomes 13": "nets for documentation never differ in one octet alone",
        "passes: self.counts[flow] += 1: operator becomes Sub": "a multiple stays one below zero",
    },
    "11.2": {
        "receive: first - self.wanted + HALF: operator becomes Sub": "half a circle either way",
    },
    "11.3": {"acknowledged: 0 becomes -1": "of one time of sending, the first is the last"},
    "11.4": {
        "sent_each_round: len(sent) < rounds: comparison becomes LtE": "what is too much is cut",
    },
    "12.2": {
        "judge: 6 becomes 5": "one octet more of identification, which the masks take away",
        "judge: 8192 becomes 8193": "only where the offset is 0 is it asked what follows",
        "judge: 12 becomes 13": "nets for documentation never differ in one octet alone",
        "is_hiding: 16 becomes 15": "all fragments but the last have a multiple of 8 octets",
    },
    "12.5": {
        "__init__: 0 becomes 1": "nothing lacks at first, so nothing is filled",
        "__init__: 0 becomes -1": "nothing lacks at first, so nothing is filled",
    },
    "7.6": {
        "tell_neighbours: if horizon == 'poisoned reverse': condition True": "7.6 uses no other",
    },
}

ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]


def survivors(one, made):
    """Return what was changed in mutants that no case notices; most fall at the public ones."""
    batches = many(one.exercise.id)[1:3]
    left = _not_noticed(one, batches[0][: len(one.public)], made)
    return [mutant.what for mutant in _not_noticed(one, [*itertools.chain(*batches)], left)]


def _not_noticed(one, cases, made):
    notice = functools.partial(_is_noticed, one, cases, encoded(case.arguments for case in cases))
    with ThreadPoolExecutor(2) as pool:
        return list(itertools.compress(made, map(operator.not_, pool.map(notice, made))))


def _is_noticed(one, cases, asked, mutant):
    source = f"{mutant.source}\n{one.exercise.function} = {one.answer.__name__}\n"
    return verdict_on(one, source, cases, asked=asked, share=SHARE).points != one.exercise.points


@pytest.mark.parametrize("one", ITEMS)
def test_mutants_of_the_model_answer_are_noticed(one):
    made = mutants(source_of(one.answer))
    left = survivors(one, made)
    unexplained = set(left) - set(SURVIVORS.get(one.exercise.id, {}))
    assert not unexplained
    assert len(left) <= 0.05 * len(made), (len(left), len(made))


@pytest.mark.parametrize("one", [one for one in ITEMS if one.id in SURVIVORS])
def test_every_explained_survivor_still_survives(one):
    known = SURVIVORS[one.exercise.id]
    made = [one for one in mutants(source_of(one.answer)) if one.what in known]
    assert set(survivors(one, made)) == set(known)
