"""Copies of the library are found whatever is done to names and order, and never by mistake."""

import importlib
import json

import pytest

from classes.in_this_process import result_of_case
from course_lib.exercises.registry import public_cases
from course_lib.exercises.verdict import Outcome, agrees, without_run
from hand_ins.copied_code import CHANGES, original
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, solved, with_cell_after
from hand_ins.honest_answers import STYLES, known_answers, written_apart
from hand_ins.hostile_answers import COPIES
from hand_ins.odd_hand_ins import odd_hand_ins
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import find_answer, read_notebook
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity.code_prints import code_prints
from instructor.grading.similarity.fingerprints import all_hashes
from instructor.grading.similarity.library_copies import (
    LibraryCopy,
    copies_in,
    library_copies,
    read_library,
    write_library_copies,
)
from instructor.grading.similarity.pairs import common_ground
from instructor.units.items import all_items, unit_items

TAKEN = [
    "course_lib.checksum.update_checksum",
    "course_lib.ip.fragmentation.Reassembler.take",
    "course_lib.ip.fragmentation.fragments",
    "course_lib.ip.options.split_options",
    "course_lib.lookup.binary_trie.BinaryTrie.insert",
    "course_lib.lookup.binary_trie.BinaryTrie.lookup",
    "course_lib.lookup.binary_trie.BinaryTrie.withdraw",
    "course_lib.prefixes.prefix.aggregate",
    "course_lib.prefixes.prefix.parse_prefix",
    "course_lib.queueing.drop_policies.codel_at_head",
]
SUM = "course_lib.checksum.ones_complement_sum"
# How many are found of all functions, tests/benchmarks/bench_library_copies.py says.


def named(*cells, unit=UNIT, ground=None):
    ground = common_ground(unit) if ground is None else ground
    return [name for name, _, _ in copies_in(all_hashes(cells), ground, read_library())]


def as_marked(hand_in):
    """Return a hand-in with its answers found, as if all were right."""
    answers = [
        MarkedAnswer(
            without_run(one.exercise, Outcome.RIGHT),
            find_answer(hand_in.notebook, one.exercise, "").source,
        )
        for one in unit_items(hand_in.unit[:2])
    ]
    return MarkedHandIn(hand_in.student, hand_in.unit, tuple(answers))


def listed(workbook, unit):
    octets = workbook if isinstance(workbook, bytes) else json.dumps(workbook).encode()
    hand_in = HandIn("alder", unit, None, read_notebook(octets))
    prints = code_prints(hand_in, as_marked(hand_in))
    return library_copies(hand_in, prints, read_library(), common_ground(unit))


@pytest.mark.parametrize("change", CHANGES)
def test_a_copy_is_named_whatever_was_done_to_names_order_and_texts(change):
    copies = {name: CHANGES[change](original(name)) for name in TAKEN}
    assert [name for name, text in copies.items() if name not in named(text)] == []


def test_two_functions_in_one_answer_are_both_named_and_each_once():
    cells = CHANGES["all of it"](original(TAKEN[0])), original(TAKEN[3])
    assert sorted(named(*cells)) == [TAKEN[0], TAKEN[3]]


def test_a_share_is_that_of_the_function_of_the_library():
    own = "def own(a, b):\n    return [a] * b + [b] * a\n"
    hashes = all_hashes([own, original(TAKEN[3])])
    ((name, shared, of),) = copies_in(hashes, common_ground(UNIT), read_library())
    assert (name, LibraryCopy(UNIT, "alder", "1.1", name, shared, of).share) == (TAKEN[3], 1)


@pytest.mark.parametrize("one", [pytest.param(one, id=one.exercise.id) for one in all_items()])
def test_what_was_written_apart_is_right(one):
    unit = one.exercise.unit[:2]
    for style in STYLES:
        module = importlib.import_module(f"written_apart.unit_{unit}_{style}")
        function = getattr(module, one.exercise.function)
        wrong = [case for case in public_cases(one.exercise.id)
                 if not agrees(case.expected, result_of_case(one.exercise, function,
                                                             case.arguments))]  # fmt: skip
        assert (style, wrong) == (style, [])


def test_no_answer_that_was_written_apart_is_named():
    assert len(list(written_apart())) == len(STYLES) * len(all_items())
    assert [one for one in written_apart() if named(one.source, unit=one.unit)] == []


def test_no_honest_answer_of_any_kind_is_named_even_if_nothing_is_subtracted():
    honest = [*known_answers(), *written_apart()]
    assert [one for one in honest if named(one.source, ground=frozenset())] == []


def test_no_honest_but_odd_hand_in_has_anything_to_look_at():
    assert [one.name for one in odd_hand_ins() if listed(one.octets, UNIT)] == []


@pytest.mark.parametrize("one", [pytest.param(one, id=one.name) for one in COPIES])
def test_a_hostile_copy_is_listed(one):
    found = listed(solved(OTHER_UNIT, answer_2_1=one.source), OTHER_UNIT)
    assert [(copy.exercise, copy.name) for copy in found] == [("2.1", SUM)]


def test_a_helper_in_another_cell_counts_with_the_answer_that_needs_it():
    answer = "def fold(total):\n    return ones_complement_sum(total.to_bytes(8))\n"
    workbook = with_cell_after(solved(OTHER_UNIT, answer_2_1=answer), "answer-2-1", original(SUM))
    assert [copy.exercise for copy in listed(workbook, OTHER_UNIT)] == ["2.1"]


def test_what_stands_in_a_cell_that_no_answer_needs_is_not_looked_at():
    """Whoever tries the library's code in a cell of their own reads the textbook."""
    assert listed(with_cell_after(solved(UNIT), "answer-1-5", original(TAKEN[3])), UNIT) == ()


def test_the_list_is_a_table(tmp_path):
    found = listed(solved(OTHER_UNIT, answer_2_1=COPIES[0].source), OTHER_UNIT)
    write_library_copies(tmp_path / "library.csv", found)
    head, copy = (tmp_path / "library.csv").read_text().splitlines()
    assert head == "unit,student,exercise,name,shared,of,share"
    assert copy.startswith(f"{OTHER_UNIT},alder,2.1,{SUM},")
