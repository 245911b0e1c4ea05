"""The model answers of 8.5 and 8.6 against laws, and against the library's own schedulers."""

import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.one_line import ARRIVALS, SIZES, LineTraffic, expected_wait, run_line
from course_lib.queueing.one_queue import simulate
from course_lib.queueing.packets import trace
from course_lib.queueing.schedulers import strict_priority
from instructor.units.unit_08.answers import compare_with_theory, new_urgent_first

LEVELS = 4
FULL = st.lists(st.integers(0, LEVELS - 1), min_size=1, max_size=60)


@given(FULL)
def test_with_a_limit_that_nobody_reaches_it_is_strict_priority(levels):
    """All packets come while the line is busy with one of level 0, as the library's loop has it."""
    packets = trace(np.zeros(len(levels) + 1), 1, flow=[0, *levels])
    began = simulate(packets, 8, scheduler=strict_priority(LEVELS), compiled=False).began_s
    order = [int(place) - 1 for place in np.argsort(began)[1:]]
    urgent = new_urgent_first(LEVELS, 1000)
    for number, level in enumerate(levels):
        urgent.join(level, f"{number}")
    assert [int(urgent.send()) for _ in levels] == order


@given(st.integers(2, 6), st.integers(1, 5), st.data())
def test_nobody_at_the_head_of_the_last_level_waits_for_ever(levels, limit, data):
    """Before it go `limit` packets, and one more of each level between, at most."""
    urgent, last, waited, sent = new_urgent_first(levels, limit), levels - 1, 0, 0
    others = st.lists(st.integers(0, last - 1), max_size=4)
    urgent.join(last, "last")
    for _ in range(30):
        for number in data.draw(others):
            urgent.join(number, "other")
        name = urgent.send()
        if name == "last":
            sent += 1
            waited = 0
            urgent.join(last, "last")
        else:
            waited += 1
        assert waited <= limit + levels - 2
    assert sent


@given(
    st.lists(st.integers(0, 1000), min_size=12, max_size=80),
    st.integers(0, 3), st.integers(2, 4), st.floats(0, 20),
)  # fmt: skip
def test_the_interval_is_that_of_the_standard_library(waits, warm_up, batches, t):
    counted = waits[warm_up:]
    length = len(counted) // batches
    means = [statistics.fmean(counted[n * length : (n + 1) * length]) for n in range(batches)]
    error = statistics.stdev(means) / batches**0.5
    mean, reach, _ = compare_with_theory(waits, warm_up, batches, t, 0.0)
    assert mean == pytest.approx(statistics.fmean(means), abs=1e-9)
    assert reach == pytest.approx(t * error, abs=1e-7)


@pytest.mark.parametrize("load", [0.5, 0.8])
def test_a_right_formula_is_kept_and_a_wrong_one_caught(load):
    """M/M/1 and M/D/1; of 60 intervals of 95 %, fewer than 45 has a chance below one in a million.

    t = 2.093 for 20 batches: Student's table.
    """
    right = expected_wait(LineTraffic(), load).wait
    wrong = expected_wait(LineTraffic(ARRIVALS[0], SIZES[2]), load).wait
    kept = caught = 0
    for seed in range(60):
        waits = np.rint(1000 * run_line(LineTraffic(), load, 3_000, seed).wait).astype(int).tolist()
        kept += compare_with_theory(waits, 6_000, 20, 2.093, 1000 * right)[2]
        caught += not compare_with_theory(waits, 6_000, 20, 2.093, 1000 * wrong)[2]
    assert kept >= 45
    assert caught == 60
