"""Intervals of shares: published values, edges, and how often they hold the true share."""

import random
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instructor.reporting.intervals import difference, wilson

COUNTS = st.integers(1, 400).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))
CLASS = 20
RUNS = 2000


@pytest.mark.parametrize(
    ("successes", "of", "low", "high"),
    [
        # R. G. Newcombe, Statistics in Medicine 17 (1998) 857, comparison of methods, method 3.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
        # Small classes; worked out with an independent statistics library (E. B. Wilson 1927).
        (8, 10, 0.4902, 0.9433),
        (3, 5, 0.2307, 0.8824),
    ],
)
def test_agrees_with_published_intervals(successes, of, low, high):
    assert wilson(successes, of) == pytest.approx((successes / of, low, high), abs=1e-4)


@pytest.mark.parametrize(
    ("one", "other", "low", "high"),
    [
        # R. G. Newcombe, Statistics in Medicine 17 (1998) 873, method 10; paper from memory.
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((10, 10), (0, 20), 0.6791, 1.0000),
    ],
)
def test_difference_agrees_with_published_intervals(one, other, low, high):
    interval = difference(wilson(*one), wilson(*other))
    assert interval[1:] == pytest.approx((low, high), abs=1e-4)


@given(COUNTS)
def test_interval_holds_the_share_and_stays_within_0_and_1(pair):
    share, low, high = wilson(*pair)
    assert 0 <= low <= share <= high <= 1
    assert high - low > 0


@given(COUNTS)
def test_those_who_did_not_are_the_mirror_of_those_who_did(pair):
    successes, of = pair
    share, low, high = wilson(of - successes, of)
    assert wilson(successes, of) == pytest.approx((1 - share, 1 - high, 1 - low), abs=1e-9)


@given(COUNTS)
def test_a_larger_class_with_the_same_share_has_a_narrower_interval(pair):
    small, large = wilson(*pair), wilson(4 * pair[0], 4 * pair[1])
    assert large.high - large.low < small.high - small.low


@given(COUNTS)
def test_a_share_does_not_differ_from_itself(pair):
    share, low, high = difference(wilson(*pair), wilson(*pair))
    assert share == 0
    assert low < 0 < high


@pytest.mark.parametrize(("successes", "of"), [(0, 0), (-1, 5), (6, 5)])
def test_what_is_no_share_is_refused(successes, of):
    with pytest.raises(ValueError, match="is not a share"):
        wilson(successes, of)


def test_holds_the_true_share_95_times_in_100_on_average():
    """2000 simulated classes of 20, each with a true share of its own."""
    chance = random.Random(1927)
    held = []
    for _ in range(RUNS):
        true = chance.uniform(0.05, 0.95)
        interval = wilson(sum(chance.random() < true for _ in range(CLASS)), CLASS)
        held.append(interval.low <= true <= interval.high)
    assert 0.93 <= fmean(held) <= 0.97


@pytest.mark.parametrize(
    "weights", [(25, 25, 50), (5, 5, 90), (10, 80, 10), (80, 10, 10), (50, 0, 50)], ids=str
)
def test_for_shares_of_points_the_interval_is_never_too_narrow(weights):
    """2000 simulated classes of 20, in which an answer earns nothing, half or all."""
    chance = random.Random(1998)
    true = (0.5 * weights[1] + weights[2]) / 100
    classes = (chance.choices((0, 0.5, 1), weights, k=CLASS) for _ in range(RUNS))
    intervals = [wilson(sum(points), CLASS) for points in classes]
    assert fmean(one.low <= true <= one.high for one in intervals) >= 0.93
