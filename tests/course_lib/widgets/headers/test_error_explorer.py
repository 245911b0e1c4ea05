"""The error explorer damages headers by hand and at random, and tells what its check has missed."""

import random

import pytest

from course_lib.checksum import is_intact
from course_lib.figures.checksum.errors_diagram import error_scenes
from course_lib.headers.error_injection import KINDS, inject
from course_lib.headers.ipv4 import IPv4Header
from course_lib.widgets.headers.error_explorer import explore_errors

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
PAIRS, SWAPPED = KINDS.index("two flipped bits"), KINDS.index("two words swapped")


@pytest.fixture
def explorer():
    return explore_errors(HEADER)


def said(explorer):
    return " ".join(explorer.picture.words)


def counts(explorer, kind):
    return explorer.state.records[kind].counts


def test_it_begins_with_a_header_that_passes_and_nothing_damaged(explorer):
    assert explorer.picture.scenes == error_scenes(explorer.state)
    assert explorer.state.after == HEADER
    assert all(counts(explorer, kind).trials == 0 for kind in range(len(KINDS)))
    assert "the header passes" in said(explorer)


@pytest.mark.parametrize("kind", range(len(KINDS)), ids=KINDS)
def test_a_press_damages_headers_as_inject_does(explorer, kind):
    explorer.act("damage", kind)
    given = inject(HEADER, KINDS[kind], 1_000, seed=1)
    assert counts(explorer, kind) == given
    assert f"missed {given.missed:,} of {given.errors:,} errors" in said(explorer)
    assert explorer.state.chosen == kind


def test_results_of_other_kinds_stay_and_a_second_press_adds_to_the_first(explorer):
    explorer.act("damage", PAIRS)
    once = counts(explorer, PAIRS)
    explorer.act("damage", SWAPPED)
    assert counts(explorer, PAIRS) == once
    explorer.act("damage", PAIRS)
    again = inject(HEADER, KINDS[PAIRS], 1_000, seed=2)
    assert counts(explorer, PAIRS).trials == 2_000
    assert counts(explorer, PAIRS).missed == once.missed + again.missed


@pytest.mark.parametrize(
    ("headers", "sizes"),
    [("100", [100]), ("1,000", [1_000]), ("10,000", [10_000]),
     ("100,000", [10_000, 30_000, 30_000, 30_000])],
)  # fmt: skip
def test_many_headers_are_damaged_in_pieces_a_small_one_first(explorer, headers, sizes):
    explorer.act("headers", headers)
    seen = []
    explorer.observe(lambda _: seen.append(counts(explorer, PAIRS).trials), names="view")
    explorer.act("damage", PAIRS)
    assert [now - before for before, now in zip([0, *seen], seen, strict=False)] == sizes
    drops = explorer.state.records[PAIRS]
    assert (drops.rain, drops.rained) == (1, sum(sizes))


def test_a_flipped_bit_moves_the_sum_and_a_second_one_may_bring_it_back(explorer):
    """Octets 0 to 3 are 4500 0054: in column 15 both words hold a 0, in column 1 only the first."""
    explorer.act("flip", 1)
    assert "Word 0, column 1: 1 → 0, minus 16384." in said(explorer)
    assert "1 bit changed" in said(explorer)
    assert not is_intact(explorer.state.after)
    explorer.act("flip", 17)
    assert "Word 1, column 1: 0 → 1, plus 16384." in said(explorer)
    assert "2 bits changed, the words add up to 0xffff: missed, the header passes" in said(explorer)
    assert is_intact(explorer.state.after)


def test_bits_everywhere_can_be_flipped_and_flipped_back(explorer):
    for bit in range(0, 160, 7):
        explorer.act("flip", bit)
        assert "noticed" in said(explorer)
        explorer.act("flip", bit)
    assert explorer.state.after == HEADER


def test_a_missed_header_opens_on_the_left_and_a_flip_closes_it(explorer):
    explorer.act("damage", PAIRS)
    explorer.act("open", "tray 1")
    assert explorer.state.after == explorer.state.records[PAIRS].tray[1]
    assert "On the left lies header 2 of the tray, damaged by two flipped bits." in said(explorer)
    assert "2 bits changed, the words add up to 0xffff: missed" in said(explorer)
    explorer.act("flip", 0)
    assert explorer.state.opened is None


def test_a_drop_of_the_rain_opens_as_well(explorer):
    explorer.act("damage", KINDS.index("one flipped bit"))
    explorer.act("open", "drop 4")
    assert explorer.state.after == explorer.state.records[0].drops[4]
    assert "1 bit changed" in said(explorer)
    assert "noticed" in said(explorer)


def test_a_header_that_is_not_there_is_refused_with_a_word(explorer):
    explorer.act("open", "tray 0")
    assert explorer.view["problem"] == "Nothing has changed. This header is no longer there."


def test_a_flag_that_is_dragged_is_the_guess_and_stays_when_the_answer_comes(explorer):
    explorer.act(f"guess {PAIRS}", 41)
    assert explorer.state.guesses == {"two flipped bits": 0.025}
    assert "Your guess for two flipped bits: 2.5 %." in said(explorer)
    assert not explorer.picture.moves  # the hand is there already
    explorer.act("damage", PAIRS)
    explorer.act(f"guess {PAIRS}", 30)
    assert "The answer is out already" in explorer.view["problem"]
    assert explorer.state.guesses == {"two flipped bits": 0.025}


def test_a_flag_that_is_brought_back_is_no_guess(explorer):
    explorer.act(f"guess {SWAPPED}", 57)
    explorer.act(f"guess {SWAPPED}", 0)
    assert explorer.state.guesses == {}
    assert "No guess for two words swapped." in said(explorer)


def test_guesses_of_the_workbook_fly_from_the_start():
    explorer = explore_errors(HEADER, guesses={"two flipped bits": 3, "random words": None})
    assert explorer.state.guesses == {"two flipped bits": 0.03}
    assert "your guess: 3 %" in explorer.picture.scenes[-1].figure().svg


def test_undoing_flips_keeps_counts_and_starting_again_keeps_only_the_guesses_of_the_workbook():
    explorer = explore_errors(HEADER, guesses={"two flipped bits": 3})
    begin = explorer.state
    explorer.act("damage", PAIRS)
    explorer.act("flip", 3)
    explorer.act("mend")
    assert explorer.state.after == HEADER
    assert counts(explorer, PAIRS).trials == 1_000
    explorer.act("guess 0", 20)
    explorer.act("again")
    assert explorer.state == begin


def test_everything_that_can_be_touched_has_a_name_of_its_own(explorer):
    explorer.act("damage", PAIRS)
    names = [touch.name for touch in explorer.picture.scenes[-1].touches]
    assert all(names)
    assert len(set(names)) == len(names)
    assert len(explorer.picture.controls) <= 4


@pytest.mark.parametrize("seed", range(4))
def test_after_any_moves_picture_and_words_agree_with_the_state(explorer, seed):
    rng = random.Random(seed)
    explorer.act("headers", "100")
    for _ in range(25):
        touch = rng.choice(explorer.picture.scenes[-1].touches)
        value = rng.randint(touch.low, touch.high) if hasattr(touch, "high") else touch.value
        explorer.act(touch.action, value)
        assert explorer.view["problem"] == ""
    assert explorer.picture.scenes == error_scenes(explorer.state)
    changed = sum(a != b for a, b in zip(bits(explorer.state.after), bits(HEADER), strict=True))
    title = explorer.picture.scenes[-1].words.title
    assert (f"{changed} bit" in title) == bool(changed)
    assert ("passes" in title) == is_intact(explorer.state.after)


def bits(octets):
    return f"{int.from_bytes(octets):0{len(octets) * 8}b}"


@pytest.mark.parametrize("header", [b"\0" + HEADER[1:], HEADER[:19], b""])
def test_a_header_that_does_not_pass_is_refused(header):
    with pytest.raises(ValueError, match="must"):
        explore_errors(header)


@pytest.mark.parametrize("guesses", [{"rust": 1}, {"random words": 101}, {"random words": -1}])
def test_what_is_no_guess_is_refused(guesses):
    with pytest.raises(ValueError, match="is no guess"):
        explore_errors(HEADER, guesses=guesses)
