"""The error explorer draws anew with every control, and tells the counts in words."""

import xml.etree.ElementTree as ET

import pytest

from course_lib.figures.drawing.plots import shown
from course_lib.figures.headers.changed_words import changed_words
from course_lib.figures.headers.error_counts import error_counts
from course_lib.headers.error_injection import KINDS, inject
from course_lib.headers.ipv4 import IPv4Header
from course_lib.widgets.error_explorer import explore_errors

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()


@pytest.fixture
def explorer():
    return explore_errors(HEADER)


def test_it_begins_with_pairs_of_flipped_bits(explorer):
    counts = inject(HEADER, "two flipped bits", 1_000, seed=1)
    assert explorer.counts == counts
    assert explorer.picture.value == (
        shown(error_counts(HEADER, "two flipped bits", 1_000, 1)).svg
        + changed_words(HEADER, counts.missed_example).svg
    )


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_that_is_chosen_is_injected(explorer, kind):
    explorer.kind.value = kind
    assert explorer.counts == inject(HEADER, kind, 1_000, seed=1)
    assert f"1,000 headers, {kind}: {explorer.counts.noticed:,} noticed" in explorer.words.value
    assert explorer.counts.kind.lower() in explorer.picture.value.lower()


def test_the_slider_goes_from_a_hundred_to_a_hundred_thousand(explorer):
    numbers = [number for _, number in explorer.trials.options]
    assert (numbers[0], numbers[-1]) == (100, 100_000)
    explorer.trials.value = 100
    assert explorer.counts.trials == explorer.trials_list.value == 100
    explorer.trials_list.value = 30_000
    assert explorer.counts.trials == explorer.trials.value == 30_000


def test_draw_again_takes_another_seed(explorer):
    before = explorer.counts
    explorer.again.click()
    assert explorer.seed.value == 2
    assert explorer.counts == inject(HEADER, "two flipped bits", 1_000, seed=2)
    assert explorer.counts != before
    assert explorer.notice.value == ""


def test_after_the_last_seed_comes_the_first(explorer):
    explorer.seed.value = explorer.seed.max
    explorer.again.click()
    assert explorer.seed.value == 0


def test_a_missed_error_is_shown_old_to_new(explorer):
    explorer.kind.value = "two words swapped"
    assert "first error that was missed" in explorer.words.value
    assert "and the sum is the same" in explorer.picture.value
    assert "Sum of the words: ffff before, ffff after" in explorer.twin.value


def test_without_a_missed_error_the_header_is_shown_as_it_was(explorer):
    explorer.kind.value = "one flipped bit"
    assert "No error was missed" in explorer.words.value
    assert "Nothing has changed" in explorer.picture.value


def test_picture_and_text_are_well_formed(explorer):
    pictures = ET.fromstring(f"<a>{explorer.picture.value}</a>")
    assert [one.get("role") for one in pictures] == ["img", "img"]
    assert "expected share" in ET.fromstring(f"<a>{explorer.twin.value}</a>")[0].text


def test_every_control_has_a_name(explorer):
    named = (explorer.kind, explorer.trials_list, explorer.seed, explorer.again)
    assert all(control.description for control in named)
    assert explorer.trials.tooltip  # has no name in ipywidgets; the list beside it has


def test_a_damaged_header_is_refused():
    with pytest.raises(ValueError, match="must pass the check before it is damaged"):
        explore_errors(b"\0" + HEADER[1:])
