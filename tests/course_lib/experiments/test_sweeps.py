"""Sweeps: results in order, word of each run, errors that end them."""

import pytest

from course_lib.experiments.sweeps import progress_bar, sweep, sweep_buffers
from course_lib.tcp.traffic import flows


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


def test_the_bar_says_how_far_it_is(capsys):
    sweep([int] * 3, progress_bar("buffers"), workers=1)
    shown = capsys.readouterr().err.split("\r")
    assert shown[-1].startswith("buffers: 100%")
    assert "3/3" in shown[-1]
    assert shown[-1].endswith("\n")


def test_a_bar_can_be_told_by_hand(capsys):
    tell = progress_bar("runs")
    tell(0, 8)
    tell(2, 8)
    tell(8, 8)
    assert "8/8" in capsys.readouterr().err


def test_nothing_to_do_is_no_error(capsys):
    assert sweep([], progress_bar("runs")) == []
    assert capsys.readouterr().err.startswith("\rruns: ")
