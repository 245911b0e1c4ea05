"""Borrowed parts keep the contracts of the exercises, on every public and many secret cases."""

import importlib
import itertools

import pytest

import course_lib.my_parts.choosing as choosing
from classes.in_this_process import result_of_case
from course_lib.exercises.registry import all_exercises
from course_lib.exercises.verdict import agrees
from course_lib.my_parts.borrowed.unit_01 import read_word
from course_lib.my_parts.borrowed.unit_04 import new_table
from instructor.quality.gate import cases_of_seeds
from instructor.units.items import item

LENT = [
    pytest.param(one, id=f"{one.id}-{one.function}")
    for one in all_exercises()
    if choosing._borrowed(one) is not None
]
SEEDS = [str(seed) for seed in range(20)]
NOT_LENT = {
    "missed_pairs", "aggregate_routes", "make_plan", "walk_trie", "build_tables", "spare_routes",
}  # fmt: skip


@pytest.mark.parametrize("one", LENT)
def test_a_borrowed_part_is_right_on_public_and_secret_cases(one):
    function = choosing._borrowed(one)
    cases = list(itertools.chain(*cases_of_seeds(item(one.id), SEEDS, names=[])))
    wrong = [
        (case.arguments, case.expected, given)
        for case in cases
        if not agrees(case.expected, given := result_of_case(one, function, case.arguments))
    ]
    assert len(cases) > 20 * 8
    assert wrong == []


def test_what_a_router_can_use_of_units_01_to_04_can_be_borrowed():
    names = {one.function for one in all_exercises() if one.unit[:2] <= "04"}
    assert {one.values[0].function for one in LENT} >= names - NOT_LENT


@pytest.mark.parametrize("unit", sorted({one.values[0].unit[:2] for one in LENT}))
def test_modules_lend_what_they_say_and_only_for_exercises_of_their_unit(unit):
    module = importlib.import_module(f"course_lib.my_parts.borrowed.unit_{unit}")
    known = {one.function for one in all_exercises() if one.unit.startswith(unit)}
    assert set(module.__all__) <= known
    assert all(callable(getattr(module, name)) for name in module.__all__)


def test_a_word_anywhere_in_front_of_the_data_is_refused():
    """A contract says more than its cases: Python would take -3 for a place near the end."""
    for offset in range(-9, 0):
        with pytest.raises(ValueError, match="counted from 0"):
            read_word(bytes(8), offset)


def test_a_table_of_names_can_be_asked_for_what_is_no_address():
    with pytest.raises(ValueError, match="IPv4 address 'Reed' has 1 parts"):
        new_table().look_up("Reed")
