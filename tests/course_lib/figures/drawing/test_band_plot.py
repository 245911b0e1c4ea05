"""A plot of bands puts every value where its axis says, and tells the same as text."""

import re
import xml.etree.ElementTree as ET

import pytest
from matplotlib.figure import Figure

from course_lib.experiments.intervals import Band
from course_lib.figures.drawing.band_plot import band_plot
from course_lib.figures.drawing.plots import shown

ROW = [Band(0, 75, 74, 76, 5), Band(50, 90, 88, 92, 5), Band(100, 100, 100, 100, 5)]
THEORY = {"one": [(0, 75), (100, 100)]}


def test_it_names_axes_series_and_theory():
    ax = band_plot({"apart": ROW}, "buffer (packets)", "use (%)", theory=THEORY, title="It grows")
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("buffer (packets)", "use (%)")
    assert ax.get_title(loc="left") == shown(ax).title == "It grows"
    assert ax.get_legend_handles_labels()[1] == ["apart (mean and 95 % band)"]
    assert [one.get_text() for one in ax.texts] == ["one"]
    assert "75 at 0 to 100 at 100" in shown(ax).alternative_text


def test_it_draws_means_whiskers_and_theory():
    ax = band_plot({"apart": ROW}, "x (s)", "y (%)", theory=THEORY)
    means, theory = ax.lines
    assert means.get_xydata().tolist() == [[0, 75], [50, 90], [100, 100]]
    assert theory.get_xydata().tolist() == [[0, 75], [100, 100]]
    whiskers = [one.tolist() for one in ax.collections[0].get_segments()]
    assert whiskers == [[[b.x, b.low], [b.x, b.high]] for b in ROW]


def test_theory_is_drawn_as_far_as_something_was_measured():
    ax = band_plot({"apart": ROW}, "x (s)", "y (%)", theory={"one": [(0, 1), (9, 2), (500, 99)]})
    assert ax.lines[-1].get_xydata().tolist() == [[0, 1], [9, 2]]


def test_its_text_twin_has_every_number():
    ax = band_plot({"apart": ROW}, "x (s)", "y (%)", theory={"one": [(0, 1), (9, 2)]})
    text = shown(ax).text
    assert re.search(r"50\s+90\s+88\s+92", text)
    assert "theory, one: (0, 1) to (9, 2)" in text


def test_three_series_differ_in_mark_and_line_and_colour():
    ax = band_plot(dict.fromkeys("abc", ROW), "x (s)", "y (s)")
    for look in ("get_marker", "get_color", "_unscaled_dash_pattern"):
        values = {str(getattr(line, look)() if look[0] != "_" else getattr(line, look))
                  for line in ax.lines}  # fmt: skip
        assert len(values) == 3


@pytest.mark.parametrize("series", [{}, {"a": []}, dict.fromkeys("abcd", ROW)])
def test_what_cannot_be_told_apart_is_refused(series):
    with pytest.raises(ValueError, match="one to 3 series"):
        band_plot(series, "x (s)", "y (s)")


def test_a_single_flat_point_can_be_plotted():
    figure = shown(band_plot({"flat": [Band(0, 0, 0, 0, 2)]}, "x (s)", "y (s)"))
    assert ET.fromstring(figure.svg).get("role") == "img"


@pytest.mark.parametrize("ends", [None, (40, 105)])
def test_all_bands_fit_in_or_the_axis_is_as_asked_for(ends):
    ax = band_plot({"apart": ROW}, "x (s)", "y (%)", y_ends=ends)
    low, high = ax.get_ylim()
    assert low < 74
    assert high > 100
    assert ends in (None, (low, high))


def test_it_draws_on_axes_of_ones_own_and_both_pictures_keep_their_words():
    one, other = Figure().subplots(2)
    assert band_plot({"a": ROW}, "x (s)", "y (%)", title="First", ax=one) is one
    assert band_plot({"b": ROW}, "x (s)", "y (%)", title="Second", ax=other) is other
    figure = shown(one)
    assert figure.title == "First; Second"
    assert figure.text.count("95 % band of 5 runs") == 2
