"""Intervals of a share: values as published, and what they must hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.experiments.intervals import wilson_interval


@pytest.mark.parametrize(
    ("count", "trials", "low", "high"),
    [  # R. G. Newcombe, Statistics in Medicine 17 (1998), 857-872, table I, method 3; from memory
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_agrees_with_published_ones(count, trials, low, high):
    assert wilson_interval(count, trials) == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 10**6), st.data())
def test_the_interval_holds_the_share_and_mirrors(trials, data):
    count = data.draw(st.integers(0, trials))
    low, high = wilson_interval(count, trials)
    assert 0 <= low <= count / trials <= high <= 1
    assert wilson_interval(trials - count, trials) == pytest.approx((1 - high, 1 - low))


@pytest.mark.parametrize(("count", "trials"), [(1, 0), (-1, 5), (6, 5)])
def test_a_count_outside_the_trials_is_refused(count, trials):
    with pytest.raises(ValueError, match="is not a share"):
        wilson_interval(count, trials)
