"""The rows of shares stand on one axis that never changes, and keep guess and answer apart."""

import itertools
import xml.etree.ElementTree as ET

import pytest

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.checksum.share_axes import GUESSES, ShareAxes, percent, share_of_guess
from course_lib.headers.error_injection import KINDS, ErrorCounts
from pages.drawn_shapes import SVG, shapes, tips, words

SWAPPED = "two words swapped"


def record(kind, missed=0, errors=0, expected=0.0):
    counts = ErrorCounts(kind, errors, errors - missed, missed, 0, expected)
    return DamageRecord(b"", counts)


def drawn(key, records, guesses=None):
    """Return one part as an element; None if it is not there."""
    axes = ShareAxes(records, guesses or {}, records[0].counts.kind)
    found = [part.markup for part in axes.parts() if part.key == key]
    return ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{found[0]}</svg>') if found else None


def dot(missed, errors):
    """Return where the dot of a share is."""
    return float(
        shapes(drawn("measured 0", [record(SWAPPED, missed, errors)]), "circle")[0].get("cx")
    )


@pytest.mark.parametrize(
    ("share", "words_"),
    [(0.0, "0 %"), (1.0, "100 %"), (0.5, "50.00 %"), (0.0283, "2.83 %"), (0.99961, "99.96 %"),
     (1 / 65_535, "0.0015 %"), (3.79e-6, "0.00038 %"), (1 - 4e-6, "99.9996 %")],
)  # fmt: skip
def test_shares_are_written_with_the_digits_that_matter(share, words_):
    assert percent(share) == words_


def test_equal_factors_are_equally_far_apart_and_zero_has_a_place_of_its_own():
    places = [dot(10**power, 100_000) for power in range(6)]
    steps = [right - left for left, right in itertools.pairwise(places)]
    assert steps == pytest.approx([steps[0]] * 5, abs=0.01)
    assert dot(0, 100_000) < dot(1, 1_000_000) < places[0]


def test_a_dot_at_a_hundred_percent_is_whole():
    """The figure is 29 pixels wider than the axis; the last number needs most of them."""
    axes = ShareAxes([record(SWAPPED, 9, 9)], {}, SWAPPED)
    axis = next(part.markup for part in axes.parts() if part.key == "axis")
    last = max(float(one.get("x")) for one in ET.fromstring(f"<a>{axis}</a>").iter("text"))
    assert dot(9, 9) == last


@pytest.mark.parametrize("other", [0, 1, 500, 100_000])
def test_what_one_run_found_moves_no_axis_and_no_other_row(other):
    rows = [record("one flipped bit", 3, 100), record(SWAPPED, other, 100_000)]
    alone = [rows[0], record(SWAPPED)]
    for key in ("axis", "row 0", "measured 0"):
        assert ET.tostring(drawn(key, rows)) == ET.tostring(drawn(key, alone))


def test_a_row_holds_share_interval_theory_and_counts():
    given = record("two flipped bits", 231, 10_000, 0.0211)
    assert "231 of 10,000: 2.31 %" in words(drawn("row 0", [given]))
    assert tips(drawn("measured 0", [given])) == ["measured 2.31 %, 95 % interval 2.03 % to 2.62 %"]
    assert tips(drawn("expected 0", [given])) == ["theory expects 2.11 %"]
    assert len(shapes(drawn("expected 0", [given]), "path", "expected")) == 1


def test_before_the_first_error_nothing_of_the_answer_is_drawn():
    fresh = [record(kind, expected=0.0211) for kind in KINDS]
    axes = ShareAxes(fresh, {}, KINDS[0])
    assert not [part.key for part in axes.parts() if part.key.startswith(("measured", "expected"))]
    assert "2.11" not in "".join(part.markup for part in axes.parts())


@pytest.mark.parametrize(
    ("place", "share"),
    [(0, None), (1, 0.0), (6, 0.0), (7, 1e-5), (17, 1e-4), (40, 0.02), (41, 0.025), (57, 1.0)],
)
def test_a_place_of_the_flag_is_a_share_as_people_would_say_it(place, share):
    assert (
        share_of_guess(place) == pytest.approx(share) if share else share_of_guess(place) == share
    )


@pytest.mark.parametrize("place", GUESSES)
def test_a_flag_stays_where_it_was_put(place):
    share = share_of_guess(place)
    guesses = {} if share is None else {SWAPPED: share}
    (slide,) = (one for one in ShareAxes([record(SWAPPED)], guesses, SWAPPED).touches(1) if
                one.action == "guess 0")  # fmt: skip
    assert slide.now == place or (share == 0 and slide.now == 1)
    if share:
        pole = float(shapes(drawn("guess 0", [record(SWAPPED)], guesses), "circle")[0].get("cx"))
        step = (slide.right - slide.left) / (slide.high - slide.low)
        assert pole == pytest.approx(slide.left + slide.now * step, abs=step / 2)


def test_a_guess_is_a_flag_with_its_words_and_stays_when_the_answer_is_there():
    answered = [record(SWAPPED, 5, 5, 1.0)]
    assert words(drawn("guess 0", [record(SWAPPED)])) == ["your guess?"]
    assert words(drawn("guess 0", [record(SWAPPED)], {SWAPPED: 0.025})) == ["your guess: 2.5 %"]
    assert words(drawn("guess 0", answered, {SWAPPED: 0.025})) == ["your guess: 2.5 %"]
    assert drawn("guess 0", answered) is None


def test_once_the_answer_is_there_the_guess_can_not_be_moved():
    rows = [record("one flipped bit"), record(SWAPPED, 5, 5)]
    actions = [one.action for one in ShareAxes(rows, {SWAPPED: 0.1}, SWAPPED).touches(100)]
    assert actions == ["guess 0", "damage", "damage"]


def test_tab_comes_to_the_guess_before_it_comes_to_the_answer():
    keys = [part.key for part in ShareAxes([record(SWAPPED)], {}, SWAPPED).parts()]
    assert keys.index("guess 0") < keys.index("kind 0")
