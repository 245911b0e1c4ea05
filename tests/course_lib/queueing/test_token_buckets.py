"""Token buckets: never more than depth + rate x time, and no tokens spent in vain."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.queueing.one_queue import FATES, simulate
from course_lib.queueing.packets import constant_times, trace
from course_lib.queueing.token_buckets import (
    GREEN,
    RED,
    YELLOW,
    policing,
    shaped_times,
    single_rate_colours,
    two_rate_colours,
)

unhurried = settings(deadline=None)  # plain loops on a busy machine

RATE, DEPTH = 1000.0, 4000.0
EXACT = 1e-6  # octets: rounding of times


@st.composite
def traffic(draw):
    """Draw packets of 100 to 2000 octets, up to 4 s apart."""
    gaps = draw(st.lists(st.sampled_from([0, 0, 0.1, 1, 4]), min_size=1, max_size=50))
    sizes = st.lists(st.integers(100, 2000), min_size=len(gaps), max_size=len(gaps))
    return trace(np.cumsum(gaps), draw(sizes))


def most_above(times_s, octets, rate):
    """Return the most by which any stretch of packets exceeds rate x its time."""
    worst = 0.0
    for first in range(len(times_s)):
        passed = np.cumsum(octets[first:])
        worst = max(worst, *(passed - rate * (times_s[first:] - times_s[first])))
    return worst


def used_up_to(times_s, octets, rate):
    """Return the most that any stretch up to the last packet used beyond rate x its time."""
    passed = np.cumsum(octets[::-1])
    return float((passed - rate * (times_s[-1] - times_s[::-1])).max())


def passed_by(packets, policy):
    run = simulate(packets, 1e12, drop=policy, compiled=False)
    return run.fate == FATES.index("sent")


@unhurried
@given(traffic())
def test_a_policer_lets_no_stretch_exceed_its_depth_and_rate(packets):
    passed = passed_by(packets, policing(RATE, DEPTH))
    excess = most_above(packets.came_s[passed], packets.octets[passed], RATE)
    assert excess <= DEPTH + EXACT


@unhurried
@given(traffic())
def test_a_policer_is_the_committed_bucket_of_the_meters(packets):
    passed = passed_by(packets, policing(RATE, DEPTH))
    one = single_rate_colours(packets, RATE, DEPTH, 0, compiled=False)
    two = two_rate_colours(packets, 1e9, 1e9, RATE, DEPTH, compiled=False)
    assert ((one.colour == GREEN) == passed).all()
    assert ((two.colour == GREEN) == passed).all()


def test_a_full_bucket_and_what_drips_in_pass_within_a_second():
    """1 Mbit/s and 10,000 octets: 135,000 octets in the first second, not 125,000."""
    packets = trace(constant_times(10_000, 10_001), 100)
    passed = passed_by(packets, policing(125_000, 10_000))
    assert packets.octets[passed].sum() == pytest.approx(135_000, abs=100)


def test_tokens_do_not_pile_up_beyond_the_depth():
    """After ten idle seconds as much as after none."""
    bursts = trace(np.repeat([0.0, 10.0], 200), 100)
    passed = passed_by(bursts, policing(125_000, 10_000))
    assert passed.reshape(2, -1).sum(axis=1).tolist() == [100, 100]


@unhurried
@given(traffic())
def test_a_shaper_delays_no_more_than_it_must(packets):
    leaves_s = shaped_times(packets, RATE, DEPTH, compiled=False)
    assert (np.diff(leaves_s) >= 0).all()
    assert (leaves_s >= packets.came_s).all()
    assert most_above(leaves_s, packets.octets, RATE) <= DEPTH + EXACT
    # Whoever waited found the bucket short: that stretch has used all that was allowed.
    for waited in np.flatnonzero(leaves_s > packets.came_s + 1e-9):
        stretch = slice(0, waited + 1)
        used = used_up_to(leaves_s[stretch], packets.octets[stretch], RATE)
        assert used == pytest.approx(DEPTH, abs=1e-5)


@unhurried
@given(traffic())
def test_conforming_traffic_passes_a_shaper_unchanged(packets):
    shaped = shaped_times(packets, RATE, DEPTH, compiled=False)
    again = shaped_times(trace(shaped, packets.octets), RATE, DEPTH, compiled=False)
    assert again == pytest.approx(shaped, abs=1e-8)


@unhurried
@given(traffic(), st.data())
def test_meters_never_improve_a_colour_and_keep_within_their_bursts(packets, data):
    marks = st.lists(st.integers(GREEN, RED), min_size=len(packets.octets))
    before = np.array(data.draw(marks))[: len(packets.octets)]
    for result, bursts in (
        (single_rate_colours(packets, RATE, 2500, 3000, before=before, compiled=False), 5500),
        (two_rate_colours(packets, 2000, 4000, RATE, 2500, before=before, compiled=False), 4000),
    ):
        assert (result.colour >= before).all()
        green, passed = result.colour == GREEN, result.colour <= YELLOW
        assert most_above(packets.came_s[green], packets.octets[green], RATE) <= 2500 + EXACT
        excess = most_above(packets.came_s[passed], packets.octets[passed], 2000)
        assert excess <= bursts + EXACT
        assert (result.first >= 0).all()
        assert (result.second >= 0).all()


def test_a_red_packet_takes_no_tokens():
    """RFC 2697 and 2698, section 3."""
    packets = trace([0, 0], [9000, 1000])
    one, two = single_rate_colours(packets, 1, 1000, 0), two_rate_colours(packets, 2, 1000, 1, 1000)
    assert one.colour.tolist() == two.colour.tolist() == [RED, GREEN]


def test_a_marked_packet_keeps_to_the_worse_buckets():
    """Colour-aware: a yellow one takes from the excess bucket though the committed one is full."""
    packets = trace([0, 0], 1000)
    result = single_rate_colours(packets, 1, 1000, 1000, before=[YELLOW, GREEN])
    assert result.colour.tolist() == [YELLOW, GREEN]
    assert (result.first.tolist(), result.second.tolist()) == ([1000, 0], [0, 0])


@unhurried
@given(traffic())
def test_compiled_and_plain_loops_agree_to_the_last_bit(packets):
    for call in (
        lambda compiled: [shaped_times(packets, RATE, DEPTH, compiled=compiled)],
        lambda compiled: single_rate_colours(packets, RATE, 1500, 2500, compiled=compiled),
        lambda compiled: two_rate_colours(packets, 2500, 3000, RATE, 1500, compiled=compiled),
    ):
        pairs = zip(call(True), call(False), strict=True)
        assert all(fast.tobytes() == plain.tobytes() for fast, plain in pairs)


ONE = trace([0.0], 100)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: policing(0, 1), "octets_per_s must be above 0"),
        (lambda: policing(1, float("inf")), "depth_octets must be a finite number"),
        (lambda: shaped_times(ONE, 1, 99), "a packet of 100 octets never fits in 99"),
        (lambda: single_rate_colours(ONE, 1, 0, 0), "one of the two bursts must be above 0"),
        (lambda: single_rate_colours(ONE, -1, 9, 9), "committed_octets_per_s must be above 0"),
        (lambda: two_rate_colours(ONE, 1, 9, 2, 9), "peak_octets_per_s must be 2 or more, not 1"),
        (lambda: two_rate_colours(ONE, 2, 9, 1, 9, before=3), "`before` must hold 0"),
    ],
)
def test_buckets_that_cannot_be_are_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()
