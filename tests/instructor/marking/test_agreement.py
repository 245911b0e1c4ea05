"""Agreement of two markers, against closed forms and published figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from instructor.marking.agreement import agreement

POINTS = st.sampled_from([0.0, 0.5, 1.0, 1.5, 2.0])


@given(st.lists(st.tuples(POINTS, POINTS), min_size=1, max_size=40))
def test_weighted_kappa_is_the_coefficient_of_concordance(pairs):
    """With squared weights kappa is a coefficient of intraclass correlation (Fleiss and Cohen,
    Educational and Psychological Measurement 33, 1973), here in the form of Lin, Biometrics 45,
    1989, equation 2: means, variances and covariance in place of a table of chances."""
    one, other = np.array(pairs).T
    spread = one.var() + other.var() + (one.mean() - other.mean()) ** 2
    found = agreement(pairs)
    assert found.answers == len(pairs)
    assert found.exact == pytest.approx(np.mean(one == other))
    if spread == 0:
        assert found.kappa is None
    else:
        covariance = np.mean((one - one.mean()) * (other - other.mean()))
        assert found.kappa == pytest.approx(2 * covariance / spread, abs=1e-9)


def test_of_two_grades_it_is_the_kappa_of_1960():
    """With two grades all weights are one, so Cohen's unweighted kappa comes out (Educational and
    Psychological Measurement 20, 1960): (seen - chance) / (1 - chance), from the four counts."""
    pairs = [(1, 1)] * 20 + [(1, 0)] * 5 + [(0, 1)] * 10 + [(0, 0)] * 15
    seen, chance = 35 / 50, (25 * 30 + 25 * 20) / 50**2
    assert agreement(pairs).kappa == pytest.approx((seen - chance) / (1 - chance))
    assert agreement(pairs).kappa == pytest.approx(0.4)


PUBLISHED = {
    # R. Artstein, M. Poesio: Inter-Coder Agreement for Computational Linguistics, Computational
    # Linguistics 34, 2008, table 1: two categories, so that all weights are one.
    "artstein and poesio": (
        [(0, 0)] * 20 + [(0, 1)] * 20 + [(1, 0)] * 10 + [(1, 1)] * 50, 0.348, 3,
    ),
    # What scikit-learn's own tests expect of its quadratic weights
    # (sklearn/metrics/tests/test_classification.py, test_cohen_kappa).
    "scikit-learn": (
        [(0, 0)] * 46 + [(1, 0)] * 4 + [(1, 1)] * 40 + [(2, 2)] * 10, 0.9541, 4,
    ),
}  # fmt: skip


@pytest.mark.parametrize(("pairs", "kappa", "places"), PUBLISHED.values(), ids=PUBLISHED)
def test_published_figures_come_out(pairs, kappa, places):
    assert round(agreement(pairs).kappa, places) == kappa
    half = [(one / 2, other / 2) for one, other in pairs]  # in which unit points are, plays no part
    assert agreement(half).kappa == pytest.approx(agreement(pairs).kappa)


def test_without_an_answer_that_both_read_there_is_no_figure():
    assert agreement([]) is None
