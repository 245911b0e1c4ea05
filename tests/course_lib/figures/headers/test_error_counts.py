"""The figure of injected errors shows the counts to scale, and the theory beside them."""

import xml.etree.ElementTree as ET

import pytest

from course_lib.figures.headers.error_counts import error_counts, figure_of_counts, percent
from course_lib.headers.error_injection import KINDS, ErrorCounts
from course_lib.headers.ipv4 import IPv4Header

SVG = "{http://www.w3.org/2000/svg}"
HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
COUNTS = ErrorCounts("two flipped bits", 1_000, 700, 200, 100, expected_share=0.2)


def shapes(figure, name, look):
    tree = ET.fromstring(figure.svg)
    return [one for one in tree.iter(f"{SVG}{name}") if one.get("class") == look]


def words_in(figure):
    return [one.text for one in ET.fromstring(figure.svg).iter(f"{SVG}text")]


def test_bars_are_to_scale_and_carry_their_counts():
    figure = figure_of_counts(COUNTS)
    bars = [shapes(figure, "rect", look)[0] for look in ("calm", "changed", "neither")]
    lengths = [float(bar.get("width")) for bar in bars]
    assert lengths == pytest.approx([lengths[0], lengths[0] * 2 / 7, lengths[0] / 7])
    assert {"noticed", "700", "missed", "200", "unchanged", "100"} <= set(words_in(figure))


def test_measured_and_expected_share_stand_on_one_axis():
    """200 of 900 errors were missed, 22.2 %; the line of the expected 20 % is a little left."""
    figure = figure_of_counts(COUNTS)
    dot = [float(one.get("cx")) for one in shapes(figure, "circle", "alert")][-1]
    line = float(shapes(figure, "path", "expected")[-1].get("d").split()[0].removeprefix("M"))
    zero = 116.0
    assert (line - zero) / (dot - zero) == pytest.approx(0.2 / (200 / 900), rel=1e-3)


def test_both_axes_have_names_with_units():
    words = words_in(figure_of_counts(COUNTS))
    assert "damaged headers" in words
    assert "share of the errors that was missed (%)" in words


def test_title_text_and_alternative_text_tell_the_finding():
    figure = figure_of_counts(COUNTS)
    assert figure.title == "Two flipped bits: 200 of 900 errors were missed"
    assert "expected share          20.00 %" in figure.text
    assert "700 noticed, 200 missed, 100 unchanged" in figure.alternative_text
    assert "22.22 %" in figure.alternative_text


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("trials", [1, 10_000])
def test_every_kind_can_be_drawn_inside_the_picture(kind, trials):
    figure = error_counts(HEADER, kind, trials)
    tree = ET.fromstring(figure.svg)
    places = [float(one.get("cx")) for one in tree.iter(f"{SVG}circle")]
    assert tree.get("role") == "img"
    assert all(0 <= place <= float(tree.get("width")) for place in places)
    assert figure.title.lower().startswith(kind)


def test_without_any_error_no_share_is_drawn():
    figure = figure_of_counts(ErrorCounts("two words swapped", 10, 0, 0, 10, 1.0))
    assert len(shapes(figure, "circle", "alert")) == 1  # the one of the legend
    assert "0 of 0 errors" in figure.title


def test_defaults_are_ten_thousand_pairs_of_bits():
    assert error_counts(HEADER) == error_counts(HEADER, "two flipped bits", 10_000, 1)


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
