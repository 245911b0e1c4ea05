"""Sweeps: results in order, word of each run, errors that end them."""

import io

import pytest

from course_lib.experiments.sweeps import sweep, sweep_buffers
from course_lib.tcp.traffic import flows
from course_lib.widgets.progress_bar import ProgressBar


def test_results_come_in_the_order_of_the_calls():
    assert sweep([lambda n=n: n * n for n in range(20)], workers=3) == [n * n for n in range(20)]


def test_progress_goes_from_nothing_to_all():
    told = []
    sweep([int] * 5, lambda done, total: told.append((done, total)), workers=1)
    assert told[0] == (0, 5)
    assert told[-1] == (5, 5)
    assert told == sorted(told)


def test_an_error_ends_the_sweep_and_is_raised():
    done = []

    def fail():
        raise ValueError("a bad run")

    calls = [fail, *[lambda: done.append(1)] * 500]
    with pytest.raises(ValueError, match="a bad run"):
        sweep(calls, workers=1)
    assert len(done) <= 500


def test_a_run_for_each_buffer():
    runs = sweep_buffers(flows(2, 0.05), 5e6, [1, 5, 20], to_s=5)
    assert [run.buffer_packets for run in runs] == [1, 5, 20]


def test_the_bar_in_text_says_how_far_it_is():
    out = io.StringIO()
    sweep([int] * 3, ProgressBar("buffers", out), workers=1)
    assert out.getvalue().startswith("buffers: 0 of 3, 0.0 s\r")
    assert out.getvalue().endswith("s\n")
    assert "3 of 3" in out.getvalue()


def test_the_bar_in_a_notebook_moves():
    bar = ProgressBar("buffers", io.StringIO())
    bar(2, 8)
    assert (bar.bar.value, bar.bar.max, bar.bar.description) == (2, 8, "buffers")
    assert "2 of 8" in bar.line.value
