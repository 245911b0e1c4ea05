"""Workbooks that are alike are listed for a look; those that were written alone are not."""

import json
import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classes.graded_class import only_first
from hand_ins.copied_code import CHANGES, renamed
from hand_ins.hand_in_files import UNIT, blank, solved
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.similarity import pairs as listed
from instructor.grading.similarity.code_prints import prints_of
from instructor.grading.similarity.fingerprints import GRAM, WINDOW, all_hashes, fingerprints
from instructor.grading.similarity.pairs import write_alike
from instructor.units.items import source_of, unit_items

# An answer with ways of its own: nobody arrives at just this by chance.
OWN_WAY = textwrap.dedent('''
    def ipv4_fields(packet):
        """Take the header apart."""
        ledger = {}
        cursor = 0
        # walk along the header with a list of widths
        for label, width in [("first", 1), ("service", 1), ("total", 2), ("ident", 2), ("frag", 2)]:
            piece = 0
            for offset in range(width):
                piece = piece * 256 + packet[cursor + offset]
            ledger[label] = piece
            cursor += width
        ledger["version"], ledger["words"] = divmod(ledger.pop("first"), 16)
        while ledger["words"] > 5 and cursor < ledger["words"] * 4:
            kind = packet[cursor]
            if kind in (0, 1):
                cursor += 1
                continue
            ledger.setdefault("options", []).append(kind)
            cursor += max(2, packet[cursor + 1])
        return [ledger[key] for key in sorted(ledger)]

    def tidy_up(values, limit=20):
        seen, kept = set(), []
        for value in reversed(values):
            if value not in seen and len(kept) < limit:
                seen.add(value)
                kept.insert(0, value)
        return {index: value for index, value in enumerate(kept) if value is not None}
''')


def hand_in(student, workbook):
    return HandIn(student, UNIT, None, read_notebook(json.dumps(workbook).encode()))


def alike(hand_ins):
    return listed.alike(
        ((one.unit, one.student, prints_of(one)) for one in hand_ins), listed.common_ground
    )


def pairs(*sources):
    names = ("alder", "bracken", "clover", "dill", "elder", "fennel", "gorse", "hazel")
    class_ = zip(names, sources, strict=False)
    return alike(hand_in(name, only_first(source)) for name, source in class_)


@pytest.mark.parametrize(
    "change",
    [
        *(pytest.param(change, id=name) for name, change in CHANGES.items()),
        pytest.param(lambda source: source + "\nprint('mine')\n", id="something added"),
    ],
)
def test_a_copy_is_listed_whatever_was_done_to_names_order_and_comments(change):
    (pair,) = pairs(OWN_WAY, change(OWN_WAY))
    assert (pair.student, pair.other_student) == ("alder", "bracken")
    assert pair.share > 0.9
    assert "ipv4_fields" in pair.where


def test_half_a_copy_is_listed_with_the_function_that_is_in_both():
    first, second = OWN_WAY.split("def tidy_up")
    own = "def tidy_up(values):\n    return sorted(values, key=lambda one: -one)[:20]\n"
    (pair,) = pairs(OWN_WAY, first + own)
    assert pair.where == ("ipv4_fields",)
    assert pairs(first, "def tidy_up" + second) == ()


def test_right_answers_to_a_short_exercise_are_not_listed():
    short = unit_items("01")[0]
    answers = [short.answer, *short.others]
    assert pairs(*(source_of(one, "read_word") for one in answers)) == ()


@pytest.mark.parametrize("unit", ["01", "02", "04"])
def test_whole_workbooks_that_were_written_apart_share_next_to_nothing(unit):
    """The course's several right answers were written to differ; here nothing known is left out."""
    items = unit_items(unit)
    ways = zip(*([one.answer, *one.others][:4] for one in items), strict=False)
    prints = [set(fingerprints(map(source_of, way))) for way in ways]
    shares = [len(one & other) / min(len(one), len(other))
              for place, one in enumerate(prints) for other in prints[:place]]  # fmt: skip
    assert len(shares) == 6
    assert max(shares) < 0.15  # a pair is listed from 0.3 on


def test_two_who_give_the_known_answers_are_not_listed():
    assert alike([hand_in("alder", solved()), hand_in("bracken", solved())]) == ()


def test_what_was_handed_out_makes_nobody_alike():
    assert alike([hand_in("alder", blank()), hand_in("bracken", blank())]) == ()


def test_what_much_of_the_class_has_makes_nobody_alike():
    assert len(pairs(*[OWN_WAY] * 5)) == 10
    assert pairs(*[OWN_WAY] * 6) == ()


def test_the_list_does_not_depend_on_the_order_of_the_hand_ins():
    two = [hand_in("alder", only_first(OWN_WAY)), hand_in("bracken", only_first(renamed(OWN_WAY)))]
    assert alike(two) == alike(reversed(two))


@pytest.mark.parametrize(
    "source",
    [
        "def read_word(:",
        "x = " + "(" * 5000 + ")" * 5000,
        "x = " + "-" * 100_000 + "1",
        "x = 0x" + "f" * 100_000,
        "x" * 300_000,
        "f'{" + "[" * 150 + "]" * 150 + "}'",
        "\ud800 = 1",
        "",
    ],
)
def test_code_made_to_hurt_stops_nobody(source):
    assert isinstance(fingerprints([source]), dict)


@given(st.integers(0, 40), st.integers(0, 40))
def test_a_long_enough_common_stretch_always_leaves_a_common_fingerprint(before, after):
    """Winnowing guarantees this from GRAM + WINDOW - 1 pieces on (SIGMOD 2003, section 3)."""
    common = "\n".join(f"    total = total * {place} + data[{place}]" for place in range(4))
    one = f"def first(data, total):\n{common}\n"
    padding = "\n".join(f"    other = {place} - data" for place in range(before))
    more = "\n".join(f"    other = {place} + data" for place in range(after))
    two = f"def second(data, total, other):\n{padding}\n{common}\n{more}\n"
    assert GRAM + WINDOW - 1 < 4 * 10
    assert fingerprints([one]).keys() & fingerprints([two]).keys()


def test_all_hashes_hold_all_fingerprints():
    assert fingerprints([OWN_WAY]).keys() <= all_hashes([OWN_WAY])


def test_the_list_is_a_table_without_names_of_files_or_code(tmp_path):
    write_alike(tmp_path / "similar.csv", pairs(OWN_WAY, renamed(OWN_WAY)))
    head, row = (tmp_path / "similar.csv").read_text().splitlines()
    assert head == "unit,student,other_student,shared,of,share,where"
    assert row.startswith(f"{UNIT},alder,bracken,")
