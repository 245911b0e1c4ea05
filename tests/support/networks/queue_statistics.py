"""Confidence intervals from independent runs: how far may a simulated mean be from theory?

An interval has `LEVEL` confidence: of a hundred checks that all ought to pass, one fails by bad
luck in one out of a hundred choices of seeds. So that an interval cannot pass by being wide, each
check also says how narrow it must be.
"""

import numpy as np

LEVEL = 0.9999


def student_t(level, freedom):
    """Return the two-sided quantile of Student's distribution, by adding up its density."""
    x = np.linspace(0, 200, 2_000_001)
    share = np.cumsum((1 + x**2 / freedom) ** (-(freedom + 1) / 2))
    return float(x[np.searchsorted(share, level * share[-1])])


def interval(samples, level=LEVEL):
    """Return the mean of independent samples and half the width of its confidence interval."""
    samples = np.asarray(samples, float)
    error = samples.std(ddof=1) / np.sqrt(len(samples))
    return float(samples.mean()), student_t(level, len(samples) - 1) * float(error)


def assert_mean(samples, theory, within):
    """Assert that theory lies in the interval, and that its half width is `within` of theory."""
    mean, half = interval(samples)
    assert half <= within * abs(theory), f"too few or too short runs: {mean} +- {half}"
    assert abs(mean - theory) <= half, f"simulated {mean} +- {half}, expected {theory}"


def assert_same_mean(ours, theirs, within):
    """Assert that two sets of independent samples have one mean, as far as they can tell."""
    (mean, half), (other, other_half) = interval(ours), interval(theirs)
    both = float(np.hypot(half, other_half))
    assert both <= within * abs(other), f"too few or too short runs: {mean} or {other} +- {both}"
    assert abs(mean - other) <= both, f"ours {mean}, theirs {other}, allowed +- {both}"
