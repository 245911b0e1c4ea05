"""Functions of the library are found in answers, in most disguises, and in no honest answer."""

import importlib
import json

import pytest

from classes.in_this_process import result_of_case
from course_lib.exercises.registry import public_cases
from course_lib.exercises.verdict import Outcome, agrees, without_run
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, solved, with_cell_after
from hand_ins.honest_answers import STYLES, known_answers, written_apart
from hand_ins.hostile_answers import COPIES, ROUND
from hand_ins.library_disguises import DISGUISES, original
from hand_ins.odd_hand_ins import odd_hand_ins
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import find_answer, read_notebook
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity import library_copies
from instructor.grading.similarity.fingerprints import fingerprints
from instructor.grading.similarity.library_copies import copies_in, modules_met
from instructor.grading.similarity.library_looks import looks_at, write_looks
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
# A statement that does nothing before every other one hides what is very short. How many are
# found of all functions of the library, tests/benchmarks/bench_library_copies.py says.
HIDDEN = {"all, padded one in three": 1, "all, padded before each": 1}
SHORT = {"copy-nothing-said-before-each", "copy-all-padded-before-each"}


def seen(source, unit=UNIT):
    return copies_in(source, unit, modules_met(unit, fingerprints([source])))


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


def looks(workbook, unit):
    octets = workbook if isinstance(workbook, bytes) else json.dumps(workbook).encode()
    hand_in = HandIn("alder", unit, None, read_notebook(octets))
    return looks_at(hand_in, as_marked(hand_in))


@pytest.mark.parametrize("disguise", DISGUISES)
def test_copies_are_found_in_every_disguise(disguise):
    copies = {name: "\n\n".join(DISGUISES[disguise](original(name).copy)) for name in TAKEN}
    found = [name for name, text in copies.items() if name in [one.function for one in seen(text)]]
    assert len(found) >= len(TAKEN) - HIDDEN.get(disguise, 0)


def test_two_functions_in_one_answer_are_both_named_and_each_once():
    both = [*DISGUISES["all but padding"](original(TAKEN[0]).copy),
            *DISGUISES["as it is"](original(TAKEN[3]).copy)]  # fmt: skip
    assert {one.function for one in seen("\n\n".join(both))} == {TAKEN[0], TAKEN[3]}


def test_a_share_is_that_of_the_function_of_the_library():
    (copy,) = seen("def own(a, b):\n    return [a] * b + [b] * a\n\n\n"
                   + DISGUISES["as it is"](original(TAKEN[3]).copy)[0])  # fmt: skip
    assert (copy.function, copy.share) == (TAKEN[3], 1)


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
    assert len(list(written_apart())) == 90
    assert [one for one in written_apart() if seen(one.source, one.unit)] == []


def test_no_answer_or_mistake_of_the_course_is_named_even_if_nothing_is_subtracted(monkeypatch):
    monkeypatch.setattr(library_copies, "common_ground", lambda unit: frozenset())
    monkeypatch.setattr(library_copies, "_known", lambda unit: frozenset())
    assert [one for one in known_answers() if seen(one.source, one.unit)] == []


def test_no_honest_but_odd_hand_in_has_anything_to_look_at():
    assert [one.name for one in odd_hand_ins() if looks(one.octets, UNIT)] == []


@pytest.mark.parametrize("one", [pytest.param(one, id=one.name) for one in COPIES])
def test_a_hostile_copy_is_listed_unless_it_is_very_short_and_padded_throughout(one):
    listed = [(look.exercise, look.name) for look in
              looks(solved(OTHER_UNIT, answer_2_1=one.source), OTHER_UNIT)]  # fmt: skip
    copy = [("2.1", "course_lib.checksum.ones_complement_sum")]
    assert listed == ([] if one.name in SHORT else copy)


@pytest.mark.parametrize("one", [pytest.param(one, id=one.name) for one in ROUND])
def test_a_hostile_way_round_is_listed(one):
    listed = looks(solved(OTHER_UNIT, answer_2_1=one.source), OTHER_UNIT)
    assert {(look.exercise, look.seen) for look in listed} == {("2.1", "uses")}


def test_a_helper_in_another_cell_counts_with_the_answer_that_needs_it():
    answer = "def fold(total):\n    return ones_complement_sum(total.to_bytes(8))\n"
    helper = "\n".join(DISGUISES["as it is"](
        original("course_lib.checksum.ones_complement_sum").copy))  # fmt: skip
    workbook = with_cell_after(solved(OTHER_UNIT, answer_2_1=answer), "answer-2-1", helper)
    assert [look.exercise for look in looks(workbook, OTHER_UNIT)] == ["2.1"]


def test_what_stands_in_a_cell_that_no_answer_needs_is_not_looked_at():
    """Whoever tries the library's code in a cell of their own reads the textbook."""
    text = "\n\n".join(DISGUISES["as it is"](original(TAKEN[3]).copy)) + "\nexec('1')\n"
    assert looks(with_cell_after(solved(UNIT), "answer-1-5", text), UNIT) == ()


def test_the_list_is_a_table(tmp_path):
    source = next(one for one in COPIES if one.name == "copy-names-changed").source
    found = looks(solved(OTHER_UNIT, answer_2_1=source, answer_2_2=ROUND[4].source), OTHER_UNIT)
    write_looks(tmp_path / "library.csv", found)
    head, copy, *means = (tmp_path / "library.csv").read_text().splitlines()
    assert head == "unit,student,exercise,seen,name,shared,of,share"
    assert copy.startswith(f"{OTHER_UNIT},alder,2.1,like,course_lib.checksum.ones_complement_sum,")
    assert means == [f"{OTHER_UNIT},alder,2.2,uses,{name},,," for name in ("exec", "eval")]
