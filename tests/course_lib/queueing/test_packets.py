"""Traffic: the laws that it is drawn from, and the traces that are refused."""

import numpy as np
import pytest

from course_lib.queueing.packets import (
    constant_times,
    exponential_sizes,
    merged,
    mixed_sizes,
    on_off_times,
    poisson_times,
    trace,
)
from networks.queue_statistics import assert_mean


def random_of(seed):
    return np.random.default_rng(seed)


def test_poisson_gaps_have_the_mean_and_the_spread_of_the_exponential_law():
    gaps = [np.diff(poisson_times(50, 5000, random_of(seed))) for seed in range(12)]
    assert_mean([gap.mean() for gap in gaps], 0.02, within=0.03)
    assert_mean([gap.std() for gap in gaps], 0.02, within=0.06)


def test_a_poisson_second_has_as_much_variance_as_mean():
    counts = np.bincount(poisson_times(4, 50_000, random_of(0)).astype(int))[:-1]
    batches = counts[: len(counts) // 20 * 20].reshape(20, -1)
    assert_mean(batches.mean(axis=1), 4, within=0.05)
    assert_mean(batches.var(axis=1), 4, within=0.1)


def test_constant_times_are_a_clock():
    assert constant_times(4, 5, start_s=1).tolist() == [1, 1.25, 1.5, 1.75, 2]


def test_bursts_keep_their_rate_and_pauses_lie_between_them():
    times = on_off_times(10, 1.0, 3.0, 4000, random_of(2))
    gaps = np.diff(times)
    assert np.isclose(gaps.min(), 0.1)
    assert np.isclose(gaps, 0.1).mean() > 0.85  # in a burst; a pause comes after ten on average
    assert (gaps > 0).all()


def test_bursts_have_the_promised_long_run_rate():
    """10/s in one second out of four: 2.5/s."""
    rates = [4000 / on_off_times(10, 1.0, 3.0, 4000, random_of(seed))[-1] for seed in range(25)]
    assert_mean(rates, 2.5, within=0.15)


def test_bursts_without_pauses_are_a_clock():
    times = on_off_times(10, 1.0, 0.0, 100, random_of(2))
    assert times == pytest.approx(constant_times(10, 100))


def test_sizes_follow_their_laws():
    exponential = [exponential_sizes(1000, 5000, random_of(seed)).mean() for seed in range(12)]
    assert_mean(exponential, 1000, within=0.03)
    mixed = mixed_sizes([40, 1500], [3, 1], 8000, random_of(1)).reshape(20, -1)
    assert_mean((mixed == 1500).mean(axis=1), 0.25, within=0.2)
    assert set(np.unique(mixed)) == {40, 1500}


def test_the_same_generator_gives_the_same_traffic():
    one, again, other = (on_off_times(9, 1, 1, 200, random_of(seed)) for seed in (1, 1, 2))
    assert one.tobytes() == again.tobytes()
    assert one.tobytes() != other.tobytes()


def test_merged_flows_are_in_order_and_the_first_named_wins_a_tie():
    both = merged(trace([0, 2, 2], 10, flow=5), trace([1, 2], 20, flow=3))
    assert both.came_s.tolist() == [0, 1, 2, 2, 2]
    assert both.flow.tolist() == [5, 3, 5, 5, 3]
    assert both.octets.tolist() == [10, 20, 10, 10, 20]
    many = merged(trace([1] * 50, np.arange(1, 51)), trace([0] + [1] * 50, np.arange(1, 52), 1))
    assert many.octets.tolist() == [1, *range(1, 51), *range(2, 52)]


def test_a_trace_is_a_copy():
    mine = np.array([0.0, 1.0])
    packets = trace(mine, 1.0)
    mine[0] = 7
    assert packets.came_s.tolist() == [0, 1]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([], 1.0), "a row of at least one time"),
        (([0, 2, 1], 1.0), r"came_s\[2\] is 1.0: it lies before the packet ahead"),
        (([-1.0], 1.0), r"came_s\[0\] is -1.0: it must be a time of 0 s or later"),
        (([0, np.nan], 1.0), r"came_s\[1\] is nan"),
        (([0, np.inf], 1.0), r"came_s\[1\] is inf"),
        (([0, 1], [1.0, 0.0]), r"octets\[1\] is 0.0: it must be a size above 0"),
        (([0, 1], [1.0, np.nan]), r"octets\[1\] is nan"),
        (([0, 1], [1.0]), "octets has 1 entries for 2 packets"),
        (([0, 1], 1.0, -1), r"flow\[0\] is -1"),
    ],
)
def test_a_trace_that_cannot_be_is_refused_with_its_place(arguments, message):
    with pytest.raises(ValueError, match=message):
        trace(*arguments)


def test_flow_numbers_are_whole():
    with pytest.raises(TypeError, match="flow must be whole numbers, not float64"):
        trace([0.0], 1.0, flow=[0.5])


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda r: poisson_times(0, 5, r), "per_s must be above 0"),
        (lambda r: poisson_times(1, 0, r), "count must be 1 or more"),
        (lambda r: constant_times(1, 2, start_s=-1), "start_s must be 0 or more"),
        (lambda r: on_off_times(1, 1e-9, 1, 10, r), "nearly every burst would be empty"),
        (lambda r: exponential_sizes(-1, 5, r), "mean_octets must be above 0"),
        (lambda r: mixed_sizes([40], [1, 2], 5, r), "as many weights"),
        (lambda r: mixed_sizes([40, 50], [1, -1], 5, r), r"weights\[1\] is -1.0"),
        (lambda r: mixed_sizes([40], [0], 5, r), "the sum of the weights must be above 0"),
    ],
)
def test_traffic_that_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call(random_of(0))
