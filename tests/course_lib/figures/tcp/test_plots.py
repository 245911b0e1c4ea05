"""Plots of buffers and flows put every value where it belongs, and name what they show."""

import re

import pytest
from matplotlib.figure import Figure

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import PIPE_PACKETS, Measured, Sharing, run_sharing
from course_lib.figures.drawing.plots import shown
from course_lib.figures.tcp.buffer_curves import buffer_curves
from course_lib.figures.tcp.window_traces import window_traces

MEASURED = Measured(
    Band(50, 0.9, 0.88, 0.92, 4), Band(50, 6, 5, 7, 4), Band(50, 12, 11, 13, 4),
    Band(50, 0.01, 0, 0.02, 4),
)  # fmt: skip


def legend(ax):
    return [one.get_text() for one in ax.get_legend().get_texts()]


def rings(ax):
    return [tuple(line.get_xydata()[0]) for line in ax.lines if line.get_markersize() == 17]


def test_buffer_curves_ring_what_is_shown_and_mark_the_rule():
    use, waits = plots = buffer_curves(Sharing(25, 30), [MEASURED], 50)
    assert rings(use) == [(50, 90)]
    assert rings(waits) == [(50, 6), (50, 12)]
    assert "square-root rule: 50" in [one.get_text() for one in use.texts]
    figure = shown(plots)
    assert "used to 90.0 %" in figure.alternative_text
    assert re.search(r"50\s+90\.00\s+87\.\d+\s+6\.00\s+12\.00\s+4", figure.text)


def test_nothing_is_ringed_that_is_not_shown():
    assert not any(rings(ax) for ax in buffer_curves(Sharing(25, 30), [MEASURED], 60))


def test_buffer_curves_have_units_on_all_axes_and_a_legend():
    use, waits = buffer_curves(Sharing(1, 0), [MEASURED], 50)
    assert use.get_xlabel() == waits.get_xlabel() == "buffer (packets that may wait)"
    assert (use.get_ylabel(), waits.get_ylabel()) == ("use of the line (%)",
                                                      "wait in the buffer (ms)")  # fmt: skip
    assert legend(use) == ["measured", "theory: one flow, or all in step"]
    assert legend(waits) == ["mean", "99 of 100 wait at most"]


@pytest.mark.parametrize("flows", [1, 25, 64])
def test_buffer_curves_without_a_measure_say_so(flows):
    figure = shown(buffer_curves(Sharing(flows, 30), []))
    assert "Nothing is measured yet" in figure.alternative_text


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


def test_a_trace_lies_inside_its_plot_and_shows_the_last_seconds():
    run = run_sharing(Sharing(1, 0), 60, to_s=30)
    plots = window_traces(run, PIPE_PACKETS, last_s=10)
    for ax in plots:
        times, values = ax.lines[-1].get_data()
        assert times[0] == ax.get_xlim()[0] == pytest.approx(20, abs=0.1)
        assert max(values) <= ax.get_ylim()[1]
        assert min(values) >= ax.get_ylim()[0]
    assert re.search(r"^\s+20\.\d\d ", shown(plots).text, re.MULTILINE)


def test_plots_can_be_drawn_on_axes_of_ones_own():
    mine = list(Figure().subplots(3))
    run = run_sharing(Sharing(1, 0), 60, to_s=12)
    assert window_traces(run, PIPE_PACKETS, axes=mine) == tuple(mine)
    assert buffer_curves(Sharing(1, 0), [MEASURED], axes=mine[:2]) == (mine[0], mine[1])
