"""What a wire does to frames: time, room, chance, and books that balance."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.network.records import What
from course_lib.network.wires import (
    BARE,
    ETHERNET,
    Direction,
    End,
    Framing,
    NetworkError,
    Wire,
    check_wire,
)
from course_lib.queueing.one_queue import FATES, Buffer, simulate
from course_lib.queueing.packets import trace

ENDS = (End("North Pier", "sea"), End("Plover", "radio"))
MBIT_S = 1e6


def direction(seed=0, ends=ENDS, name="reef", **settings):
    wire = Wire(name, ends, **settings)
    check_wire(wire)
    return Direction(wire, *ends, seed)


# --- how long it takes


def test_1500_octets_at_100_megabits_per_second_take_120_microseconds():
    """1500 * 8 / 100e6: octets are not bits, and mega is 10^6 on wires."""
    assert direction().time_to_send_s(1500) == pytest.approx(120e-6, rel=1e-12)


def test_a_frame_is_there_when_its_last_bit_has_travelled():
    passage = direction(delay_s=0.005).offer(2.0, bytes(1500))
    times_s = (passage.began_s, passage.left_s, passage.arrives_s)
    assert times_s == pytest.approx((2.0, 2.00012, 2.00512), rel=1e-12)


def test_the_delay_is_the_same_on_a_faster_wire():
    """Light does not know the rate."""
    for rate_bits_per_s in (1e6, 1e9):
        passage = direction(delay_s=0.005, rate_bits_per_s=rate_bits_per_s).offer(0, bytes(100))
        assert passage.arrives_s - passage.left_s == pytest.approx(0.005)


# RFC 2544, appendix B: frames per second on 10 Mb/s Ethernet, by length with frame check sequence.
RFC_2544_RATES = {
    64: 14_880, 128: 8_445, 256: 4_528, 512: 2_349, 768: 1_586, 1024: 1_197, 1280: 961, 1518: 812,
}  # fmt: skip


@pytest.mark.parametrize(("length", "frames_per_s"), RFC_2544_RATES.items())
def test_frame_rates_of_ethernet_are_those_of_rfc_2544(length, frames_per_s):
    """Our frames do not hold the check sequence of 4 octets; the framing adds it."""
    wire = direction(rate_bits_per_s=10 * MBIT_S, framing=ETHERNET)
    assert math.floor(1 / wire.time_to_send_s(length - 4)) == frames_per_s


def test_frame_rate_of_gigabit_ethernet_is_that_of_rfc_6349():
    """RFC 6349, section 4.1.1: 1500 octets of datagram are 1538 on the wire, 81,274 a second."""
    wire = direction(rate_bits_per_s=1000 * MBIT_S, framing=ETHERNET)
    assert wire.time_to_send_s(1514) == pytest.approx(1538 * 8 / 1e9)
    assert math.floor(1 / wire.time_to_send_s(1514)) == 81_274


@pytest.mark.parametrize(("octets", "same_as"), [(14, 60), (42, 60), (60, 60)])
def test_short_frames_are_filled_up_on_ethernet(octets, same_as):
    wire = direction(framing=ETHERNET)
    assert wire.time_to_send_s(octets) == wire.time_to_send_s(same_as)
    assert wire.time_to_send_s(60) < wire.time_to_send_s(61)


# --- waiting and room


def test_frames_leave_one_after_the_other_in_the_order_in_which_they_came():
    """Worked by hand: 1000, 500 and 250 octets at 1 Mb/s take 8, 4 and 2 ms."""
    wire = direction(rate_bits_per_s=MBIT_S, delay_s=0.1)
    passages = [wire.offer(0.001, bytes(octets)) for octets in (1000, 500, 250)]
    assert [p.began_s for p in passages] == pytest.approx([0.001, 0.009, 0.013])
    assert [p.arrives_s for p in passages] == pytest.approx([0.109, 0.113, 0.115])


def test_a_full_buffer_drops_the_newest_and_the_frame_being_sent_counts():
    """Room for 2: one is being sent, one waits, the third is dropped; 8 ms each."""
    wire = direction(rate_bits_per_s=MBIT_S, buffer_frames=2)
    fates = [wire.offer(time_s, bytes(1000)).fate for time_s in (0, 0, 0, 0.0079)]
    assert fates == [What.DELIVERED, What.DELIVERED, What.DROPPED, What.DROPPED]


def test_a_frame_that_leaves_just_when_another_comes_leaves_first():
    wire = direction(rate_bits_per_s=MBIT_S, buffer_frames=1)
    first = wire.offer(0, bytes(1000))
    assert wire.offer(first.left_s, bytes(1000)).fate is What.DELIVERED


def test_frames_that_travel_take_no_room():
    """8 ms to send and a second to travel: many are on the wire at once."""
    wire = direction(rate_bits_per_s=MBIT_S, delay_s=1.0, buffer_frames=1)
    fates = {wire.offer(0.01 * number, bytes(1000)).fate for number in range(50)}
    assert fates == {What.DELIVERED}
    assert wire.traffic().in_flight == 50


@pytest.mark.parametrize("seed", range(5))
def test_a_direction_does_what_the_queue_of_another_module_does(seed):
    """`course_lib.queueing` works the same buffer out in another way: event by event."""
    rng = np.random.default_rng(seed)
    came_s, octets = np.cumsum(rng.exponential(0.004, 300)), rng.integers(40, 1500, 300)
    run = simulate(trace(came_s, octets), MBIT_S, buffer=Buffer(packets=4), compiled=False)
    wire = direction(rate_bits_per_s=MBIT_S, buffer_frames=4)
    pairs = zip(came_s.tolist(), octets.tolist(), strict=True)
    passages = [wire.offer(time_s, bytes(size)) for time_s, size in pairs]
    ours = ["no room" if p.fate is What.DROPPED else "sent" for p in passages]
    assert ours == [FATES[fate] for fate in run.fate]
    assert 20 < ours.count("no room") < 200
    sent = [p.left_s for p in passages if p.fate is not What.DROPPED]
    assert sent == pytest.approx(run.left_s[run.fate == 0])


# --- chance


def losses(wire, frames):
    return [wire.offer(float(number), bytes(20)).fate is What.LOST for number in range(frames)]


@pytest.mark.parametrize("loss_rate", [0.01, 0.3, 0.9])
def test_about_the_right_share_is_lost(loss_rate):
    """A binomial count. Five standard deviations are passed once in 1.7 million runs."""
    frames = 5000
    lost = sum(losses(direction(loss_rate=loss_rate), frames))
    assert abs(lost - frames * loss_rate) < 5 * math.sqrt(frames * loss_rate * (1 - loss_rate))


@pytest.mark.parametrize(("loss_rate", "expected"), [(0.0, 0), (1.0, 500)])
def test_certain_is_certain(loss_rate, expected):
    assert sum(losses(direction(loss_rate=loss_rate), 500)) == expected


def test_with_a_period_each_so_many_frames_one_is_lost():
    lost = losses(direction(loss_period=4), 12)
    assert [place for place, each in enumerate(lost, start=1) if each] == [4, 8, 12]


def test_losses_do_not_come_in_pairs():
    """Of n independent fair coins, neighbours both fall heads n/4 times with variance 5n/16."""
    lost = losses(direction(loss_rate=0.5), 4000)
    both = sum(one and other for one, other in itertools.pairwise(lost))
    assert abs(both - 1000) < 5 * math.sqrt(4000 * 5 / 16)


def test_a_seed_gives_the_same_losses_and_another_seed_others():
    first, again, other = (losses(direction(seed, loss_rate=0.5), 200) for seed in (1, 1, 2))
    assert first == again != other


def test_each_direction_and_each_wire_has_losses_of_its_own():
    there, back = direction(loss_rate=0.5), direction(ends=ENDS[::-1], loss_rate=0.5)
    elsewhere = direction(name="shoal", loss_rate=0.5)
    patterns = {tuple(losses(wire, 200)) for wire in (there, back, elsewhere)}
    assert len(patterns) == 3


# --- books


@given(
    offers=st.lists(st.tuples(st.floats(0, 0.02), st.integers(14, 1514)), max_size=60),
    loss_rate=st.sampled_from([0.0, 0.4, 1.0]),
    buffer_frames=st.integers(1, 5),
    take_off=st.integers(0, 60),
    cut=st.booleans(),
)
def test_every_frame_is_delivered_lost_dropped_or_in_flight(
    offers, loss_rate, buffer_frames, take_off, cut
):
    wire = direction(rate_bits_per_s=MBIT_S, loss_rate=loss_rate, buffer_frames=buffer_frames)
    now_s, passages = 0.0, []
    for pause_s, octets in offers:
        now_s += pause_s
        passages.append(wire.offer(now_s, bytes(octets)))
        found = wire.traffic()
        assert found.sent == found.delivered + found.lost + found.dropped + found.in_flight
    for passage in [p for p in passages if p.fate is not What.DROPPED][:take_off]:
        wire.take_off(passage)
    before = wire.traffic().in_flight
    gone = wire.cut() if cut else {}
    found = wire.traffic()
    assert len(gone) == cut * before
    assert found.sent == len(offers)
    assert found.sent == found.delivered + found.lost + found.dropped + found.in_flight


def test_a_cut_wire_loses_what_is_on_it_and_what_comes_until_it_is_mended():
    wire = direction(delay_s=1)
    first = wire.offer(0, b"first")
    assert wire.cut() == {1: b"first"}
    second = wire.offer(0.5, b"second")
    wire.mend()
    third = wire.offer(0.6, b"third")
    assert [wire.take_off(p) for p in (first, second, third)] == [None, None, b"third"]
    assert wire.traffic()._asdict() == {
        "sent": 3, "delivered": 1, "lost": 2, "dropped": 0, "in_flight": 0,
    }  # fmt: skip


def test_a_mended_wire_does_not_wait_for_frames_that_were_lost_with_the_cut():
    wire = direction(rate_bits_per_s=MBIT_S, buffer_frames=1)
    wire.offer(0, bytes(1000))
    wire.cut()
    wire.mend()
    assert wire.offer(0.001, bytes(1000)).began_s == 0.001


# --- wires that cannot be


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"rate_bits_per_s": 0}, "rate_bits_per_s must be more than 0, at most 1e.13, not 0"),
        ({"rate_bits_per_s": -1.0}, "rate_bits_per_s must be"),
        ({"rate_bits_per_s": math.inf}, "rate_bits_per_s must be"),
        ({"rate_bits_per_s": math.nan}, "rate_bits_per_s must be"),
        ({"delay_s": -0.001}, "delay_s must be 0 or more, and finite, not -0.001"),
        ({"delay_s": math.inf}, "delay_s must be"),
        ({"loss_rate": 1.01}, "loss_rate must be 0 to 1, not 1.01"),
        ({"loss_rate": -0.1}, "loss_rate must be"),
        ({"buffer_frames": 0}, "buffer_frames must be 1 or more, as the frame that is being sent"),
        ({"framing": Framing(extra_octets=-1)}, "framing must be 0 or more octets"),
        ({"loss_period": 0}, "loss_period must be None, or 1 or more, not 0"),
    ],
)
def test_a_wire_that_cannot_be_is_refused_by_name(settings, says):
    with pytest.raises(NetworkError, match=f"wire 'reef' from 'North Pier' to 'Plover': {says}"):
        check_wire(Wire("reef", ENDS, **settings))


def test_a_wire_from_a_place_to_itself_is_refused():
    ends = (End("Plover", "a"), End("Plover", "b"))
    with pytest.raises(NetworkError, match="wire 'loop' joins 'Plover' to itself"):
        check_wire(Wire("loop", ends))


def test_bare_framing_counts_the_octets_of_the_frame_alone():
    assert Framing(0, 0) == BARE
