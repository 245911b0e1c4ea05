"""Plots of windows put every value where it belongs, and name what they show."""

import re

import pytest
from matplotlib.figure import Figure

from course_lib.ferry.shared_line import PIPE_PACKETS, Sharing, run_sharing
from course_lib.figures.drawing.plots import shown
from course_lib.figures.tcp.window_traces import window_traces


def legend(ax):
    return [one.get_text() for one in ax.get_legend().get_texts()]


@pytest.mark.parametrize(("flows", "room"), [(1, 0), (1, 60), (2, 300), (25, 50)])
def test_traces_can_be_drawn_and_name_what_they_show(flows, room):
    run = run_sharing(Sharing(flows, 30), room, to_s=12)
    plots = sums, windows, waiting = window_traces(run, PIPE_PACKETS, last_s=5)
    assert waiting.get_xlabel() == "time (s)"
    assert [ax.get_ylabel() for ax in plots] == [
        "all windows together (packets)", "windows of single flows (packets)", "packets that wait",
    ]  # fmt: skip
    assert legend(sums) == [f"pipe full: 250; pipe and buffer full: {250 + room}"]
    assert legend(windows) == [f"flow {place}" for place in range(min(flows, 3))]
    assert [one.get_text() for one in waiting.texts] == ["buffer full"] * (room > 0)
    assert f"a buffer of {room} packets" in shown(plots).title


def test_large_numbers_have_separators():
    run = run_sharing(Sharing(1, 0), 1000, to_s=12)
    plots = window_traces(run, PIPE_PACKETS, last_s=5)
    assert legend(plots[0]) == ["pipe full: 250; pipe and buffer full: 1,250"]
    figure = shown(plots)
    assert "buffer full: 1,000 packets" in figure.text
    assert "the buffer 1,000." in figure.alternative_text


def test_a_trace_lies_inside_its_plot_and_shows_the_last_seconds():
    run = run_sharing(Sharing(1, 0), 60, to_s=30)
    plots = window_traces(run, PIPE_PACKETS, last_s=10)
    for ax in plots:
        times, values = ax.lines[-1].get_data()
        assert times[0] == ax.get_xlim()[0] == pytest.approx(20, abs=0.1)
        assert max(values) <= ax.get_ylim()[1]
        assert min(values) >= ax.get_ylim()[0]
    assert re.search(r"^\s+20\.\d\d ", shown(plots).text, re.MULTILINE)


def test_traces_can_be_drawn_on_axes_of_ones_own():
    mine = list(Figure().subplots(3))
    run = run_sharing(Sharing(1, 0), 60, to_s=12)
    assert window_traces(run, PIPE_PACKETS, axes=mine) == tuple(mine)
