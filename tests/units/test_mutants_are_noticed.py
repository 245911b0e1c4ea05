"""Machine-made faults in model answers: cases notice nearly all, the rest is explained."""

import functools
import itertools
from concurrent.futures import ThreadPoolExecutor

import pytest

from instructor.quality.gate import cases_of_seeds, verdict_on
from instructor.quality.mutants import mutants
from instructor.units.items import all_items, source_of

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
}

ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]


def survivors(one, made):
    cases = list(itertools.chain(*cases_of_seeds(one, ["1", "2"], [])))
    notice = functools.partial(_is_noticed, one, cases)
    with ThreadPoolExecutor(2) as pool:
        return [mutant.what for mutant, seen in zip(made, pool.map(notice, made), strict=True)
                if not seen]  # fmt: skip


def _is_noticed(one, cases, mutant):
    source = f"{mutant.source}\n{one.exercise.function} = {one.answer.__name__}\n"
    return verdict_on(one, source, cases).points != one.exercise.points


@pytest.mark.parametrize("one", ITEMS)
def test_mutants_of_the_model_answer_are_noticed(one):
    made = mutants(source_of(one.answer))
    left = survivors(one, made)
    unexplained = set(left) - set(SURVIVORS.get(one.exercise.id, {}))
    assert not unexplained
    assert len(left) <= 0.05 * len(made), (len(left), len(made))


@pytest.mark.parametrize("one", ITEMS)
def test_every_explained_survivor_still_survives(one):
    made = [
        m for m in mutants(source_of(one.answer)) if m.what in SURVIVORS.get(one.exercise.id, {})
    ]
    assert set(survivors(one, made)) == set(SURVIVORS.get(one.exercise.id, {}))
