"""The scene of workbook 08: runs agree with theory, and their intervals are honest."""

import itertools

import numpy as np
import pytest

from course_lib.ferry.one_line import (
    ARRIVALS,
    RANDOM_MIX,
    SIZES,
    LineTraffic,
    expected_wait,
    progress,
    run_line,
)
from networks.queue_statistics import assert_mean

EVERY = [LineTraffic(*both) for both in itertools.product(ARRIVALS, SIZES)]
SEEDS = range(20)


def waits_of(traffic, load):
    return [progress(run_line(traffic, load, 2_000, seed))[-1].wait.mean for seed in SEEDS]


@pytest.mark.parametrize("load", [0.3, 0.8])
@pytest.mark.parametrize("traffic", EVERY, ids=[one.kendall for one in EVERY])
def test_a_run_waits_as_long_as_theory_expects(traffic, load):
    expected, waits = expected_wait(traffic, load), waits_of(traffic, load)
    if expected.is_bound:
        assert 0 < np.mean(waits) < expected.wait
    elif expected.wait == 0:
        assert max(waits) == pytest.approx(0, abs=1e-9)
    else:
        assert_mean(waits, expected.wait, within=0.1)


@pytest.mark.parametrize(("load", "wait"), [(0.5, 1), (0.8, 4), (0.9, 9), (0.95, 19)])
def test_theory_is_that_of_the_textbooks(load, wait):
    """Kleinrock, Queueing Systems vol. 1 (1975), section 5.6: waits in service times."""
    assert expected_wait(LineTraffic(), load).wait == pytest.approx(wait)
    assert expected_wait(LineTraffic(ARRIVALS[0], SIZES[2]), load).wait == pytest.approx(wait / 2)


def test_the_mix_waits_as_long_as_its_variance_says():
    """40, 576 and 1500 octets in 7:4:1 on 10 Mbit/s, load 0.8: 1.4058 ms.

    Pollaczek-Khinchine; the mix is common practice, no published source.
    """
    packet_ms = 4084 / 12 * 8 / 10e6 * 1000
    assert expected_wait(RANDOM_MIX, 0.8).wait * packet_ms == pytest.approx(1.4058, rel=1e-4)


@pytest.mark.parametrize("load", [0.5, 0.9])
def test_intervals_hold_theory_about_as_often_as_they_say(load):
    """At 95 %, fewer than 45 of 60 has a chance below one in a million."""
    hits = 0
    for seed in range(60):
        band = progress(run_line(LineTraffic(), load, 4_000, seed))[-1].wait
        hits += band.low <= expected_wait(LineTraffic(), load).wait <= band.high
    assert hits >= 45


def test_progress_grows_from_two_batches_to_all_and_ends_with_the_run():
    run = run_line(LineTraffic(), 0.7, 100, 3)
    steps = progress(run)
    assert [one.packets for one in steps] == [
        200,
        400,
        600,
        800,
        1000,
        1200,
        1400,
        1600,
        1800,
        2000,
    ]
    assert [one.wait.runs for one in steps] == list(range(2, 21, 2))
    assert steps[-1].came == run.came[-1]
    assert steps[-1].wait.mean == pytest.approx(run.wait[200:].mean())
    assert {one.wait.x for one in steps} == {0.7}


def test_the_same_seed_gives_the_same_run_and_another_one_another():
    first, again, other = (run_line(RANDOM_MIX, 0.9, 50, seed).wait for seed in (1, 1, 2))
    assert (first == again).all()
    assert (first != other).any()


@pytest.mark.parametrize("sizes", SIZES)
def test_sizes_have_a_mean_of_one_packet_time(sizes):
    assert run_line(LineTraffic(sizes=sizes), 0.5, 5_000, 1).size.mean() == pytest.approx(
        1, rel=0.02
    )
