"""The figure of injected errors shows the counts to scale, and the theory beside them."""

import math

import pytest

from course_lib.figures.drawing.plots import shown
from course_lib.figures.headers.error_counts import error_counts, figure_of_counts, percent
from course_lib.headers.error_injection import KINDS, ErrorCounts
from course_lib.headers.ipv4 import IPv4Header

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
COUNTS = ErrorCounts("two flipped bits", 1_000, 700, 200, 100, expected_share=0.2)


def test_bars_are_to_scale_and_carry_their_counts():
    bars, _ = figure_of_counts(COUNTS)
    assert [bar.get_width() for bar in bars.patches] == [700, 200, 100]
    assert [one.get_text() for one in bars.texts] == ["700", "200", "100"]
    assert [one.get_text() for one in bars.get_yticklabels()] == ["noticed", "missed", "unchanged"]
    assert bars.get_xlim() == (0, 1_000)


def test_bars_differ_in_more_than_colour():
    looks = [
        (bar.get_facecolor()[3] > 0, bar.get_hatch()) for bar in figure_of_counts(COUNTS)[0].patches
    ]
    assert len(set(looks)) == 3


def test_measured_and_expected_share_stand_on_one_axis():
    """200 of 900 errors were missed, 22.2 %, with a 95 % interval around it; expected are 20 %."""
    measured, ends, expected = figure_of_counts(COUNTS)[1].lines
    low, share, high = measured.get_xdata()
    assert share == pytest.approx(100 * 200 / 900)
    assert low < share < high
    assert list(ends.get_xdata()) == [low, share, high]
    assert list(expected.get_xdata()) == [20, 20]


def test_both_axes_have_names_with_units():
    names = [ax.get_xlabel() for ax in figure_of_counts(COUNTS)]
    assert names == ["damaged headers", "share of the errors that was missed (%)"]


def test_title_text_and_alternative_text_tell_the_finding():
    figure = shown(figure_of_counts(COUNTS))
    assert figure.title == "Two flipped bits: 200 of 900 errors were missed"
    assert "expected share          20.00 %" in figure.text
    assert "700 noticed, 200 missed, 100 unchanged" in figure.alternative_text
    assert "22.22 %" in figure.alternative_text


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("trials", [1, 10_000])
def test_every_kind_can_be_drawn_inside_the_picture(kind, trials):
    plots = error_counts(HEADER, kind, trials)
    low, high = plots[1].get_xlim()
    places = [x for line in plots[1].lines for x in line.get_xdata() if not math.isnan(x)]
    assert all(low <= x <= high + 1e-9 for x in places)
    assert shown(plots).title.lower().startswith(kind)


def test_without_any_error_no_share_is_drawn():
    plots = figure_of_counts(ErrorCounts("two words swapped", 10, 0, 0, 10, 1.0))
    assert all(math.isnan(x) for line in plots[1].lines[:2] for x in line.get_xdata())
    assert "0 of 0 errors" in shown(plots).title


def test_defaults_are_ten_thousand_pairs_of_bits():
    given = error_counts(HEADER, "two flipped bits", 10_000, 1)
    assert shown(error_counts(HEADER)) == shown(given)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "0 %"),
        (1.0, "100 %"),
        (0.5, "50.00 %"),
        (0.0283, "2.83 %"),
        (0.99961, "99.96 %"),
        (1 / 65_535, "0.0015 %"),
        (3.79e-6, "0.00038 %"),
    ],
)
def test_shares_are_written_with_the_digits_that_matter(share, words):
    assert percent(share) == words
