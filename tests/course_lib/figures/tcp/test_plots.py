"""Plots put every value where its axis says, name their axes, and tell the same as text."""

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import PIPE_PACKETS, Measured, Sharing, run_sharing
from course_lib.figures.drawing.band_plot import band_plot
from course_lib.figures.drawing.plot_axes import MARKS, Area, mark_at, nice_step, path_through
from course_lib.figures.tcp.buffer_curves import buffer_curves
from course_lib.figures.tcp.window_traces import window_traces

SVG = "{http://www.w3.org/2000/svg}"
AREA = Area(100, 50, 200, 80, (0, 10), (0, 4))
ROW = [Band(0, 75, 74, 76, 5), Band(50, 90, 88, 92, 5), Band(100, 100, 100, 100, 5)]
MEASURED = Measured(
    Band(50, 0.9, 0.88, 0.92, 4), Band(50, 6, 5, 7, 4), Band(50, 12, 11, 13, 4),
    Band(50, 0.01, 0, 0.02, 4),
)  # fmt: skip


def words_in(figure):
    return [one.text for one in ET.fromstring(figure.svg).iter(f"{SVG}text")]


def shapes(figure, name, look):
    tree = ET.fromstring(figure.svg)
    return [one for one in tree.iter(f"{SVG}{name}") if one.get("class") == look]


def test_corners_of_an_area():
    assert (AREA.x(0), AREA.x(10)) == (100, 300)
    assert (AREA.y(0), AREA.y(4)) == (130, 50)


def test_what_lies_above_the_axis_is_drawn_at_its_edge():
    assert AREA.y(9) == AREA.y(4)


def test_a_path_goes_through_its_points_in_order():
    assert 'd="M100.0 130.0L300.0 50.0"' in path_through(AREA, [(0, 0), (10, 4)], "trace")
    assert path_through(AREA, [], "trace") == ""


@given(st.floats(1e-6, 1e9))
def test_no_axis_gets_more_than_a_few_ticks(length):
    assert 2 <= length / nice_step(length) <= 5 + 1e-6


def test_marks_differ_in_shape():
    shapes_of = {re.sub(r"[\d.\- ]", "", mark_at(5, 5, mark).split("class")[0]) for mark in MARKS}
    assert len(shapes_of) == len(MARKS) == 3


def test_a_band_plot_names_axes_series_and_theory():
    figure = band_plot({"apart": ROW}, "buffer (packets)", "use (%)", theory={"one": [(0, 75),
                       (100, 100)]}, title="It grows")  # fmt: skip
    words = words_in(figure)
    assert {"buffer (packets)", "use (%)", "apart (mean and 95 % band)", "one"} <= set(words)
    assert len(shapes(figure, "path", "band")) == 1
    assert len(shapes(figure, "path", "expected")) == 1
    assert figure.title == "It grows"
    assert "75 at 0 to 100 at 100" in figure.alternative_text


def test_its_text_twin_has_every_number():
    text = band_plot({"apart": ROW}, "x (s)", "y (%)", theory={"one": [(0, 1), (9, 2)]}).text
    assert re.search(r"50\s+90\s+88\s+92", text)
    assert "theory, one: (0, 1) to (9, 2)" in text


def test_three_series_differ_in_mark_and_line():
    figure = band_plot(dict.fromkeys("abc", ROW), "x (s)", "y (s)")
    assert all(shapes(figure, "path", f"trace{end}") for end in ("", "-second", "-third"))


@pytest.mark.parametrize("series", [{}, {"a": []}, dict.fromkeys("abcd", ROW)])
def test_what_cannot_be_told_apart_is_refused(series):
    with pytest.raises(ValueError, match="one to 3 series"):
        band_plot(series, "x (s)", "y (s)")


def test_a_single_flat_point_can_be_plotted():
    figure = band_plot({"flat": [Band(0, 0, 0, 0, 2)]}, "x (s)", "y (s)")
    assert ET.fromstring(figure.svg).get("role") == "img"


def test_buffer_curves_ring_what_is_shown_and_mark_the_rule():
    figure = buffer_curves(Sharing(25, 30), [MEASURED], 50)
    assert len(shapes(figure, "circle", "chosen")) == 3  # use, mean wait, 99 of 100
    assert "square-root rule: 50" in words_in(figure)
    assert "used to 90.0 %" in figure.alternative_text
    assert re.search(r"50\s+90\.00\s+87\.\d+\s+6\.00\s+12\.00\s+4", figure.text)


def test_buffer_curves_have_units_on_all_axes():
    words = words_in(buffer_curves(Sharing(1, 0), [MEASURED], 50))
    assert words.count("buffer (packets that may wait)") == 2
    assert {"use of the line (%)", "wait in the buffer (ms)"} <= set(words)


def test_buffer_curves_without_a_measure_say_so():
    assert "Nothing is measured yet" in buffer_curves(Sharing(), []).alternative_text


@pytest.mark.parametrize(("flows", "room"), [(1, 0), (1, 60), (2, 300), (25, 50)])
def test_traces_can_be_drawn_and_name_what_they_show(flows, room):
    run = run_sharing(Sharing(flows, 30), room, to_s=12)
    figure = window_traces(run, PIPE_PACKETS, last_s=5)
    assert {"time (s)", "packets that wait", "all windows together (packets)"} <= set(
        words_in(figure)
    )
    assert f"pipe full: 250; pipe and buffer full: {250 + room}" in words_in(figure)
    assert f"flow {min(flows, 3) - 1}" in words_in(figure)
    assert f"a buffer of {room} packets" in figure.title


def test_a_trace_lies_inside_its_plot_and_shows_the_last_seconds():
    figure = window_traces(run_sharing(Sharing(1, 0), 60, to_s=30), PIPE_PACKETS, last_s=10)
    path = shapes(figure, "path", "trace")[0].get("d")
    places = [tuple(map(float, pair.split())) for pair in path.lstrip("M").split("L")]
    assert places[0][0] == 62.0
    assert all(62 <= x <= 722 and 62 <= y <= 180 for x, y in places)
    assert re.search(r"^\s+20\.\d\d ", figure.text, re.MULTILINE)
