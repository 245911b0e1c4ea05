"""The right answers to 11.5 give the printed windows, rates and constants of standard TCP.

The prints are of triangles; a tooth of whole windows comes near to one as it grows.
"""

import math

import pytest

from course_lib.ferry.lossy_line import LossyFlow, lossy_rate, run_lossy
from instructor.units.items import item

EVERY_ANSWER = pytest.mark.parametrize(
    "answer",
    [pytest.param(one, id=one.__name__) for one in (item("11.5").answer, *item("11.5").others)],
)


def mean_window(answer, every):
    """Return octets in a round trip of 100 ms, in packets of 1500."""
    _, _, rate = answer(every, 1, 1500, 100, 1000)
    return rate * 0.1 / 8 / 1500


@pytest.mark.parametrize(("packets_per_ack", "square"), [(1, 3 / 2), (2, 3 / 4), (3, 1 / 2)])
@EVERY_ANSWER
def test_the_constant_comes_near_to_the_printed_root(answer, packets_per_ack, square):
    """M. Mathis, J. Semke, J. Mahdavi, T. Ott, CCR 27 (1997): periodic loss, root of 3 / (2 b)."""
    _, constant, _ = answer(1_000_000, packets_per_ack, 1500, 100, 1000)
    assert constant == pytest.approx(math.sqrt(square), rel=2e-3)


@pytest.mark.parametrize(("every", "window"), [(1_000, 38), (10_000, 120), (100_000, 379),
                                               (1_000_000, 1200)])  # fmt: skip
@EVERY_ANSWER
def test_mean_windows_are_those_of_rfc_9438(answer, every, window):
    """Section 5.1, table 1, a round trip of 0.1 s; one in 100, too, where a tooth is coarse."""
    assert mean_window(answer, every) == pytest.approx(window, rel=0.02)


@EVERY_ANSWER
def test_where_one_in_a_hundred_is_lost_a_whole_tooth_is_a_little_lower(answer):
    """RFC 9438, table 1 prints 12."""
    assert 11 <= mean_window(answer, 100) <= 12


@pytest.mark.parametrize(("window", "trips"), [(83.3, 55.5), (833.3, 555.5)])
@EVERY_ANSWER
def test_a_tooth_takes_as_long_as_rfc_3649_says(answer, window, trips):
    """Table 1: mean window and round trips between losses at 10 and 100 Mbit/s, 0.1 s."""
    every = round(window**2 / 1.5)
    highest, constant, rate = answer(every, 1, 1500, 100, 1000)
    assert rate == pytest.approx(window * 1500 * 8 / 0.1, rel=0.01)
    packets = (rate * 0.1 / 8 / 1500 / constant) ** 2
    assert packets / mean_window(answer, every) == pytest.approx(trips, rel=0.03)
    assert highest == pytest.approx(window * 4 / 3, rel=0.01)


@pytest.mark.parametrize("every", [1_000, 4_000])
def test_a_simulated_flow_has_such_teeth(every):
    """It is a little slower: each repair costs a round trip or two."""
    highest, _, rate = item("11.5").answer(every, 1, 1500, 60, 1000)
    flow = LossyFlow(every)
    windows = run_lossy(flow, to_s=80).trace.windows[400:, 0]
    assert windows.max() == pytest.approx(highest, abs=2)
    assert 0.94 < lossy_rate(flow, to_s=80) * 1e6 / rate < 1
