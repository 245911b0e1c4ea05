"""`my_parts` takes what is the student's own and right, borrows the rest, says which is which."""

import itertools

import pytest

from course_lib.exercises.registry import all_exercises, exercise
from course_lib.my_parts import MissingPartError, Part, Parts, my_parts
from hand_ins.hand_in_files import blank, solved
from instructor.units.items import item, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

UNIT = "02-checksums"
FOLD = source_of(item("2.1").answer)
WRONG_FOLD = "def fold(total):\n    return total & 0xFFFF  # not yet\n"
STUB = "def fold(total: int) -> int:\n    raise NotImplementedError  # your code here\n"
# RFC 1071, section 3: the sum of the example before and after its carries came back in.
TOTAL, FOLDED = 0x2DDF0, 0xDDF2


def one(*functions, **options):
    """Return the first part that is asked for."""
    return next(iter(my_parts(*functions, **options)))


def test_a_right_answer_is_taken_and_is_yours(save):
    save(UNIT, FOLD + "\nfold.mine = True\n")
    part = one("fold")
    assert (part.whose, part.why) == ("yours", "unit 02, all 2 points")
    assert part.function.__wrapped__.mine
    assert part.function(TOTAL) == FOLDED


def test_own_and_borrowed_parts_work_side_by_side(save):
    save(UNIT, FOLD)
    parts = my_parts("fold", "lower_time_to_live")
    assert [part.whose for part in parts] == ["yours", "borrowed"]
    assert parts.fold(TOTAL) == FOLDED
    header = bytes.fromhex("4500 0073 0000 4000 4011 b861 c0a8 0001 c0a8 00c7")
    assert parts.lower_time_to_live(header)[8:12] == bytes.fromhex("3f11 b961")


@pytest.mark.parametrize(
    ("cells", "why"),
    [
        pytest.param([], "no answer yet", id="no-cell"),
        pytest.param([STUB], "no answer yet", id="as-handed-out"),
        pytest.param([""], "no answer yet", id="emptied"),
        pytest.param([WRONG_FOLD], "unit 02, 0 of 2 points: not taken until it passes", id="wrong"),
        pytest.param(
            ["def fold(total):\n    while total > 9**9:\n        pass\n    return total % 65535\n"],
            "unit 02, 0 of 2 points: not taken until it passes", id="endless-loop",
        ),
        pytest.param(
            ["x = 1", "def fold(total:\n    return 1\n"],
            "its cell does not run: SyntaxError: '(' was never closed (line 1 of cell number 2)",
            id="not-python",
        ),
        pytest.param(
            ["\nfold = lost\nfold = [fold]\n"],
            "its cell does not run: NameError: name 'lost' is not defined "
            "(line 2 of cell number 1)", id="cell-raises",
        ),
        pytest.param(
            ["def fold(total):\n    return lost(total)\n"],
            "unit 02, 0 of 2 points: not taken until it passes", id="function-raises",
        ),
        pytest.param(
            ["fold = 3"], "its cell defines something that cannot be called called fold "
            "(cell number 1)", id="not-a-function",
        ),
        pytest.param(
            ["from course_lib.checksum import ones_complement_sum\n\n"
             "def fold(total):\n    return ones_complement_sum(total.to_bytes(8, 'big'))\n"],
            "it leans on the library itself", id="leans-on-the-library",
        ),
        pytest.param(
            ["import sys\nfold = sys.exit()\n"], "its cell does not run: SystemExit "
            "(line 2 of cell number 1)", id="leaves",
        ),
    ],
)  # fmt: skip
def test_what_is_not_right_is_borrowed_with_a_reason(save, cells, why):
    save(UNIT, *cells)
    part = one("fold")
    assert (part.whose, part.why) == ("borrowed", why)
    assert part.function(TOTAL) == FOLDED


def test_some_points_are_not_enough(save):
    save(UNIT, "def fold(total):\n    return (total & 0xFFFF) + (total >> 16)\n")
    assert one("fold").why == "unit 02, 1 of 2 points: not taken until it passes"


def test_the_last_of_two_definitions_counts(save):
    save(UNIT, WRONG_FOLD, FOLD)
    assert one("fold").whose == "yours"
    save(UNIT, FOLD, WRONG_FOLD)
    assert one("fold").whose == "borrowed"


def test_a_helper_of_another_cell_comes_along(save):
    save(UNIT, "MASK = 0xFFFF\ndef low(n):\n    return n & MASK\n",
         "def fold(total):\n    while total > MASK:\n        total = low(total) + (total >> 16)\n"
         "    return total\n")  # fmt: skip
    assert one("fold").whose == "yours"
    assert my_parts("fold").fold(TOTAL) == FOLDED


def test_notebook_commands_and_prints_in_the_cell_do_no_harm(save, capsys):
    save(UNIT, "%matplotlib inline\n" + FOLD + "\nprint('tried it')\n")
    assert one("fold").whose == "yours"
    assert capsys.readouterr() == ("", "")


def test_names_of_two_answers_do_not_meet(save):
    save(UNIT, source_of(item("2.3").answer) + "\nLIMIT = 'another'\n",
         "LIMIT = 0xFFFF\n" + FOLD.replace("0xFFFF:", "LIMIT:"))  # fmt: skip
    parts = my_parts("fold", "is_header_intact")
    assert {part.whose for part in parts} == {"yours"}
    assert parts.fold(TOTAL) == FOLDED


def test_one_s_own_can_be_had_even_if_wrong_and_that_is_said(save):
    save(UNIT, WRONG_FOLD)
    part = one("fold", even_if_wrong=True)
    assert part.whose == "yours"
    assert part.why == "unit 02, 0 of 2 points: it does not pass, and you asked for it"
    assert part.function(TOTAL) == 0xDDF0


@pytest.mark.parametrize("cell", [STUB, "fold = lost\n", "def fold(", ""])
def test_what_cannot_be_run_is_borrowed_even_then(save, cell):
    save(UNIT, cell)
    assert one("fold", even_if_wrong=True).whose == "borrowed"


@pytest.mark.parametrize("unit", ["01-frames-and-headers", UNIT, "04-longest-prefix-match"])
def test_a_whole_workbook_with_right_answers_is_all_yours(save, unit):
    save(unit, workbook=solved(unit))
    names = [one.function for one in all_exercises() if one.unit == unit]
    assert {part.whose for part in my_parts(*names)} == {"yours"}


def test_a_workbook_as_handed_out_gives_nothing(save):
    save(UNIT, workbook=blank(UNIT))
    names = [one.function for one in all_exercises() if one.unit == UNIT]
    assert {part.why for part in my_parts(*names)} == {
        "no answer yet",
        "no answer yet; nothing to borrow: answer exercise 2.6 first",
    }


def test_a_cell_with_a_name_in_the_gradebook_is_called_by_it(save):
    save(UNIT, workbook=solved(UNIT, answer_2_5="def lower_time_to_live(header:\n"))
    assert one("lower_time_to_live").why.endswith("(line 1 of cell answer-2-5)")


def test_a_part_that_nobody_has_says_what_to_do_when_it_is_called(save):
    save(UNIT, workbook=blank(UNIT))
    part = one("missed_pairs")
    assert part.whose == "missing"
    with pytest.raises(MissingPartError, match=r"answer exercise 2\.6 first"):
        part.function(b"\xff\xff\0\0")


def test_without_names_all_parts_are_meant(save):
    assert [part.exercise for part in my_parts()] == list(all_exercises())


def test_a_name_given_twice_is_one_part(save):
    assert len(my_parts("fold", "fold")) == 1


def test_a_name_that_no_exercise_has_is_refused_with_those_there_are():
    with pytest.raises(LookupError, match="no part called 'folds'; there are read_word, "):
        my_parts("folds")


def test_an_id_in_place_of_a_name_is_refused_with_the_name():
    with pytest.raises(LookupError, match=r"'fold' is the one of exercise 2\.1"):
        my_parts("2.1")


def test_no_two_exercises_share_a_name_and_none_is_a_word_of_parts():
    names = [one.function for one in all_exercises()]
    assert len(set(names)) == len(names)
    assert not set(names) & set(dir(Parts)) | set(Parts.__dataclass_fields__) & set(names)


def test_a_part_that_was_not_asked_for_is_refused_in_words(save):
    parts = my_parts("fold")
    with pytest.raises(AttributeError, match="no part called 'covers' was asked for, only fold"):
        _ = parts.covers
    with pytest.raises(KeyError, match="only fold"):
        parts["covers"]


def test_parts_cannot_be_changed(save):
    parts = my_parts("fold")
    with pytest.raises(AttributeError):
        parts.fold = len
    with pytest.raises(AttributeError):
        parts["fold"].whose = "yours"
    assert isinstance(parts["fold"], Part)


def test_names_can_be_completed_with_the_tab_key(save):
    assert "fold" in dir(my_parts("fold"))


def test_the_check_is_the_one_of_mark(save):
    """Every misconception of a part that was tried: none is ever taken for right."""
    for name, function in itertools.islice(item("2.1").misconceptions.items(), 4):
        save(UNIT, source_of(function, "fold"))
        part = one("fold")
        assert part.whose == "borrowed", name
        assert exercise("2.1") == part.exercise
