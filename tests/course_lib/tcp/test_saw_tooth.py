"""The closed forms of the saw-tooth against the tooth itself, stepped through in small pieces."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.tcp.theory import one_flow_round_trip, one_flow_utilisation

STEPS = 2_000


def stepped(buffer_share, kept_share):
    """Return use and mean round trip of one tooth; the window grows evenly in round trips."""
    top = 1 + buffer_share
    bottom, step = top * kept_share, top * (1 - kept_share) / STEPS
    time = sent = weighted = 0.0
    for place in range(STEPS):
        window = bottom + (place + 0.5) * step
        trip = max(1.0, window)  # in round trips without a queue, as the window is in pipes
        time += trip * step
        sent += window * step
        weighted += trip * trip * step
    return sent / time, weighted / time


@given(st.floats(0, 3), st.sampled_from([0.5, 0.7, 0.85]))
def test_use_and_round_trip_are_those_of_a_tooth_in_small_steps(buffer_share, kept_share):
    use, trip = stepped(buffer_share, kept_share)
    assert one_flow_utilisation(buffer_share, kept_share=kept_share) == pytest.approx(use, rel=1e-3)
    assert one_flow_round_trip(buffer_share, kept_share=kept_share) == pytest.approx(trip, rel=1e-3)


def test_who_keeps_more_of_the_window_fills_more_of_the_line_and_waits_longer():
    for share in (0.1, 0.4, 1.0):
        assert one_flow_utilisation(share, kept_share=0.7) >= one_flow_utilisation(share)
        assert one_flow_round_trip(share, kept_share=0.7) > one_flow_round_trip(share)
