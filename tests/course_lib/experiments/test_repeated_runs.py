"""Bands are those of Student's t: quantiles as printed, means inside as often as promised."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.experiments.intervals import Band, confidence_band, student_t
from course_lib.experiments.repeated_runs import sweep_seeds
from networks.queue_statistics import student_t as added_up


@pytest.mark.parametrize(
    ("freedom", "t"),
    [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (9, 2.262), (29, 2.045), (120, 1.980)],
)
def test_quantiles_are_those_of_the_printed_table(freedom, t):
    """M. Abramowitz, I. Stegun, table 26.10, the column for 95 % between -t and t."""
    assert student_t(0.95, freedom) == pytest.approx(t, abs=5e-4)


@pytest.mark.parametrize("freedom", [3, 4, 7, 20])
@pytest.mark.parametrize("level", [0.5, 0.9, 0.99])
def test_finite_sums_agree_with_the_density_added_up(level, freedom):
    assert student_t(level, freedom) == pytest.approx(added_up(level, freedom), abs=2e-4)


def test_a_band_worked_out_by_hand():
    """Of 1, 2, 3 the mean is 2 and s is 1: half the width is 4.3027 / sqrt(3)."""
    band = confidence_band(7, [1, 2, 3])
    assert band.mean == 2
    assert (band.high - band.low) / 2 == pytest.approx(2.484, abs=1e-3)
    assert (band.x, band.runs) == (7.0, 3)


def test_the_true_mean_lies_inside_about_as_often_as_promised():
    rng = random.Random(5)
    bands = [confidence_band(0, [rng.gauss(3, 2) for _ in range(5)]) for _ in range(4000)]
    inside = sum(band.low <= 3 <= band.high for band in bands)
    assert 0.94 <= inside / 4000 <= 0.96  # three standard errors: 0.0103


@given(st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=8))
def test_the_mean_lies_inside_its_band(results):
    band = confidence_band(0, results)
    assert band.low <= band.mean <= band.high


def test_results_without_chance_have_a_band_without_width():
    assert confidence_band(1, [0.5, 0.5]) == Band(1.0, 0.5, 0.5, 0.5, 2)


def test_every_value_is_measured_with_every_seed_and_progress_is_told():
    told = []
    bands = sweep_seeds(lambda value, seed: 10 * value + seed, (1, 2), (3, 5),
                        lambda done, total: told.append((done, total)))  # fmt: skip
    assert [(band.x, band.mean) for band in bands] == [(1, 14), (2, 24)]
    assert (told[0], told[-1]) == ((0, 4), (4, 4))


@pytest.mark.parametrize("seeds", [(), (1,), (1, 1)])
def test_without_two_different_seeds_there_is_no_band(seeds):
    with pytest.raises(ValueError, match="two different seeds"):
        sweep_seeds(lambda value, seed: 1.0, (1,), seeds)


@pytest.mark.parametrize(("level", "freedom"), [(0, 3), (1, 3), (0.95, 0)])
def test_what_makes_no_sense_is_refused(level, freedom):
    with pytest.raises(ValueError, match="must"):
        student_t(level, freedom)
    with pytest.raises(ValueError, match="two results"):
        confidence_band(0, [1.0])


def test_an_error_in_a_run_is_raised():
    with pytest.raises(ZeroDivisionError):
        sweep_seeds(lambda value, seed: 1 / value, (0,), (1, 2))
