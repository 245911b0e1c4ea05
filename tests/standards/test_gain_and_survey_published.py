"""The normalised gain and the usability score against published figures."""

import pytest

from instructor.questions.gain import band, class_gain, effect_size, normalised_gain
from instructor.questions.survey_results import usability_score


def test_gain_of_hake():
    """R. R. Hake, Am. J. Phys. 66 (1998) 64: the definition."""
    assert normalised_gain(0.40, 0.70) == 0.5
    assert normalised_gain(1.0, 1.0) is None


@pytest.mark.parametrize(
    ("gain", "name"), [(0.71, "high"), (0.7, "high"), (0.69, "medium"), (0.3, "medium"),
                       (0.29, "low"), (-0.1, "low")],
)  # fmt: skip
def test_bands_of_hake(gain, name):
    """The same paper: high from .7 on, medium from .3 on (his later note has strict signs)."""
    assert band(gain) == name


def test_effect_of_interactive_courses():
    """Abstract: .48 ± .14 against .23 ± .04; his note "Analyzing change/gain scores" has 2.78."""
    assert band(0.23) == "low"
    assert band(0.48) == "medium"
    assert effect_size(0.48 - 0.23, 0.14, 0.04) == pytest.approx(2.78, abs=0.01)


def test_gain_of_a_class_is_that_of_its_means():
    """From the definition: it is not the mean of the students' gains, and one may have none."""
    before, after = [0.2, 0.4, 0.6, 0.8, 1.0], [0.6, 0.4, 0.8, 0.8, 1.0]
    found = class_gain(before, after)
    assert found.gain == pytest.approx((0.72 - 0.6) / 0.4)
    own = [normalised_gain(*pair) for pair in zip(before, after, strict=True)]
    assert own[-1] is None
    assert sum(own[:-1]) / 4 != pytest.approx(found.gain)
    assert found.low < found.gain < found.high
    assert class_gain(before[:4], after[:4]) is None
    assert class_gain([1.0] * 5, [1.0] * 5) is None


@pytest.mark.parametrize(
    ("levels", "score"),
    [
        ([5, 2, 4, 1, 5, 2, 5, 1, 4, 2], 87.5),  # a published worked example
        ([5, 4, 2, 1, 2, 3, 2, 4, 5, 2], 55),  # J. Brooke 1996, scored example; from memory
        # From the rule of J. Brooke (1996).
        ([3] * 10, 50), ([5, 1] * 5, 100), ([1, 5] * 5, 0), ([5] * 10, 50),
    ],
)  # fmt: skip
def test_usability_score(levels, score):
    assert usability_score(levels) == score


@pytest.mark.parametrize("levels", [[3] * 9, [3] * 11, [0] * 10, [6] * 10])
def test_no_score_of_anything_else(levels):
    with pytest.raises(ValueError, match="ten levels from 1 to 5"):
        usability_score(levels)
