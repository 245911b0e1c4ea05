"""Statistics of exercises against published data and tables, and against scipy's own functions."""

import numpy as np
import pytest
from scipy import optimize, stats

from instructor.statistics.discrimination import TAIL, band, item_rest, upper_minus_lower
from instructor.statistics.reliability import feldt_interval, lengthened, reliability

# Ten students by ten items: K. Wuensch, notes on KR-20, East Carolina University.
TEN = np.array([[int(one) for one in row] for row in (
    "1111110110", "1011011101", "1111011001", "0010001000", "0000010010",
    "1110111111", "1101110111", "1111111101", "0101111101", "1101101110",
)], dtype=float)  # fmt: skip

# Twelve students by eleven items, some without an answer: the example data of the reference manual
# of pingouin, function `cronbach_alpha`.
TWELVE = np.array([[np.nan if one == "." else int(one) for one in row] for row in (
    "11111111111", "11111111010", ".011.111100", "11101101100", "11111000100", "01.01111000",
    "11110010000", "11111000000", "01011000010", "10010100.00", "11100000000", "10010000000",
)], dtype=float)  # fmt: skip


def test_totals_and_difficulty_of_the_ten():
    """Totals, variance 5.84, and the sum of p q are printed in the notes."""
    assert TEN.sum(axis=1).tolist() == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    assert TEN.sum(axis=1).var() == pytest.approx(5.84)
    p = TEN.mean(axis=0)
    assert p.tolist() == pytest.approx([0.7, 0.7, 0.6, 0.7, 0.6, 0.8, 0.7, 0.7, 0.5, 0.6])
    assert (p * (1 - p)).sum() == pytest.approx(2.18)


def test_alpha_of_right_and_wrong_is_formula_20_and_never_below_formula_21():
    """Kuder and Richardson 1937, formulas 20 and 21; the interval as by pingouin."""
    found = reliability(TEN)
    assert found.alpha == pytest.approx(10 / 9 * (1 - 2.18 / 5.84), abs=1e-12)
    assert found.alpha == pytest.approx(0.696347, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((0.309, 0.911), abs=1e-3)
    mean = TEN.sum(axis=1).mean()
    assert 10 / 9 * (1 - mean * (10 - mean) / (10 * 5.84)) == pytest.approx(0.684170, abs=1e-6)
    assert found.alpha > 0.684170


def test_alpha_of_those_without_gaps():
    """Printed in pingouin's manual for rows without gaps: 0.801695, [.581, .933].

    That interval counts all twelve students. Ours counts the nine that are left, and is wider.
    """
    found = reliability(TWELVE[~np.isnan(TWELVE).any(axis=1)])
    assert found.alpha == pytest.approx(0.801695, abs=1e-6)
    assert feldt_interval(0.801695, 12, 11) == pytest.approx((0.581, 0.933), abs=1e-3)
    assert feldt_interval(0.732661, 12, 11) == pytest.approx((0.435, 0.909), abs=1e-3)
    assert (found.low, found.high) == feldt_interval(found.alpha, 9, 11)


def test_correlation_of_items_with_the_rest():
    """Recomputed with scipy's `pointbiserialr`, another function than the one that is used."""
    found = [item_rest(TEN, column).r for column in range(10)]
    assert found == pytest.approx(
        [0.7059, 0.7059, 0, 0.4736, 0.5839, 0.2861, -0.0274, 0.7059, -0.1236, 0.4759], abs=1e-4
    )
    for column, r in enumerate(found):
        rest = TEN.sum(axis=1) - TEN[:, column]
        assert r == pytest.approx(stats.pointbiserialr(TEN[:, column], rest).statistic)
        interval = stats.pearsonr(TEN[:, column], rest).confidence_interval(0.95)
        assert item_rest(TEN, column)[1:3] == pytest.approx(tuple(interval))


def test_leaving_the_item_out_matters():
    """With the item in the total, all ten look better (recomputed with scipy)."""
    whole = [stats.pointbiserialr(TEN[:, n], TEN.sum(axis=1)).statistic for n in range(10)]
    printed = [0.7946, 0.7946, 0.2027, 0.6140, 0.7095, 0.4345, 0.1625, 0.7946, 0.0828, 0.6251]
    assert whole == pytest.approx(printed, abs=1e-4)
    assert all(item_rest(TEN, n).r < whole[n] for n in range(10))


def test_standard_error_of_a_total():
    """s √(1 - alpha), by the standard deviation of a sample."""
    assert reliability(TEN).error == pytest.approx(1.4037, abs=1e-4)


def test_correlation_of_the_manual():
    """The example in scipy's manual of `pointbiserialr` (from memory): r = 0.8660254."""
    x, y = [0, 0, 0, 1, 1, 1, 1], range(7)
    half = np.array(y) / 2  # the rest, in two items
    assert item_rest(np.array([x, half, half], float).T, 0).r == pytest.approx(0.8660254, abs=1e-7)


@pytest.mark.parametrize(("alpha", "times", "longer"), [(0.6, 2, 0.75), (0.7, 3, 0.875)])
def test_a_longer_test(alpha, times, longer):
    """Spearman 1910; Brown 1910."""
    assert lengthened(alpha, times) == pytest.approx(longer)


@pytest.mark.parametrize(
    ("upper", "lower", "difficulty", "value", "name"),
    [
        # A published exercise sheet on item analysis; the bands are Ebel's.
        (7, 3, 0.50, 0.40, "very good"),
        (9, 5, 0.70, 0.40, "very good"),
        (10, 7, 0.85, 0.30, "reasonably good"),
        (5, 8, 0.65, -0.30, "poor"),
        (8, 7, 0.75, 0.10, "poor"),
    ],
)
def test_best_less_weakest(upper, lower, difficulty, value, name):
    own = [1] * upper + [0] * (10 - upper) + [1] * lower + [0] * (10 - lower)
    points = np.array([own, [10] * 10 + [0] * 10], float).T
    found = upper_minus_lower(points, 0, of=1, tail=0.5)
    assert points[:, 0].mean() == pytest.approx(difficulty)
    assert found == pytest.approx(value)
    assert band(found) == name


def test_ends_of_27_per_cent_are_the_best():
    """Kelley 1939 (from memory): the share q with the largest φ(z)² / q."""
    share = optimize.minimize_scalar(
        lambda q: -(stats.norm.pdf(stats.norm.isf(q)) ** 2) / q, bounds=(0.1, 0.5), method="bounded"
    ).x
    assert share == pytest.approx(0.270268, abs=1e-4)
    assert round(share, 2) == TAIL


def test_whoever_ties_at_the_edge_counts_in_part():
    """The ten tie at 8 and at 7: any order of the rows gives the same."""
    rng = np.random.default_rng(27)
    for column in range(10):
        values = {round(upper_minus_lower(TEN[rng.permutation(10)], column, of=1), 9)
                  for _ in range(20)}  # fmt: skip
        assert len(values) == 1
