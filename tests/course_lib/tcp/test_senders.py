"""What the rules of TCP promise: one flow at a time, on a link on which hardly a packet waits."""

import numpy as np
import pytest

from course_lib.queueing.drop_policies import DropPolicy, keep
from course_lib.tcp.memory import Tcp
from course_lib.tcp.senders import back_off, measured
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.state import SECOND, Rules, Sender
from course_lib.tcp.traffic import flows, traced_loss
from course_lib.tcp.windows import cube_root, cubic_at, grow, shrink

RULES = Rules(largest_window=10**6)


def one_flow(loss=(), to_s=2.0, **options):
    """Run one flow of 100 ms on a link on which hardly a packet waits."""
    arguments = {"sample_s": 0.1, "compiled": False, "loss": traced_loss(loss), **options}
    return simulate_tcp(flows(1, 0.1), 1e9, 10_000, to_s=to_s, **arguments)


def test_slow_start_doubles_the_window_in_each_round_trip():
    run = one_flow(to_s=0.75, sample_s=0.101)  # just after the acknowledgements of each round
    assert run.trace.windows[:7, 0].tolist() == [0, 3 + 3, 12, 24, 48, 96, 192]


def test_delayed_acknowledgements_come_for_every_second_packet():
    run = one_flow(to_s=3.0, tcp=Tcp(delayed_acks=True, largest_window=20))
    assert run.per_flow.acks[0] == pytest.approx(run.per_flow.delivered[0] / 2, rel=0.05)


def test_a_lone_packet_is_acknowledged_after_a_fifth_of_a_second():
    """A window of 1: each packet takes 100 ms, and waits 200 ms for its acknowledgement."""
    run = one_flow(to_s=30.0, tcp=Tcp(delayed_acks=True, largest_window=1))
    assert run.per_flow.delivered[0] == pytest.approx(30 / 0.3, abs=2)
    assert run.per_flow.timeouts[0] == 0


def test_the_third_duplicate_makes_the_sender_repair_at_once():
    run = one_flow(loss=[50])
    assert (run.per_flow.fast_retransmits[0], run.per_flow.timeouts[0]) == (1, 0)
    assert (run.per_flow.resent[0], run.per_flow.lost[0]) == (1, 1)


def test_a_window_of_two_cannot_give_three_duplicates_and_times_out():
    run = one_flow(loss=[20], to_s=4.0, tcp=Tcp(largest_window=2))
    assert (run.per_flow.fast_retransmits[0], run.per_flow.timeouts[0]) == (0, 1)


def test_several_losses_of_one_window_are_repaired_without_a_time_out():
    """RFC 6582: one repair in a round trip, one halving in all."""
    run = one_flow(loss=[60, 63, 66])
    assert (run.per_flow.fast_retransmits[0], run.per_flow.timeouts[0]) == (1, 0)
    assert run.per_flow.resent[0] == 3


def test_time_outs_in_a_row_wait_twice_as_long_each_time():
    """A policy that drops all from 1 s on: repairs after 1, 2, 4, 8 and 16 s (RFC 6298, 5.5)."""
    late = DropPolicy(lambda view, settings, memory: view.now_s > 1, keep)
    for to_s, timeouts in ((1.9, 0), (2.3, 1), (4.3, 2), (8.3, 3), (16.3, 4), (32.3, 5)):
        run = one_flow(to_s=to_s, drop=late, tcp=Tcp(largest_window=10))
        assert run.per_flow.timeouts[0] == timeouts


def test_the_wait_never_exceeds_a_minute():
    """From 1 s on: 2, 4, ... and 60 s at most (RFC 6298, 2.5 and 5.5)."""
    sender, waits = Sender(), []
    for _ in range(7):
        back_off(sender)
        waits.append(sender.timeout_ns // SECOND)
    assert waits == [2, 4, 8, 16, 32, 60, 60]


def test_halving_and_never_below_two():
    sender = Sender(window=40.0)
    for in_flight, threshold in ((40, 20), (5, 2.5), (1, 2)):
        shrink(sender, in_flight)
        assert sender.threshold == threshold


def test_above_the_threshold_reno_adds_a_packet_in_a_round_trip():
    sender = Sender(window=10.0, threshold=5.0)
    for _ in range(10):
        grow(sender, RULES, 1, 0)
    assert sender.window == pytest.approx(11, abs=0.06)


@pytest.mark.parametrize("value", [0.0, 1e-9, 0.5, 1.0, 27.0, 75.0, 1e12])
def test_the_cube_root(value):
    assert cube_root(value) == pytest.approx(np.cbrt(value), rel=1e-14)


def test_cubic_returns_to_the_old_window_after_the_time_that_the_rfc_says():
    """W_max 100, cwnd 70, C 0.4: K = 4.217 s (RFC 9438, section 4.2)."""
    sender = Sender(cubic=1, window=100.0, threshold=50.0, smoothed_ns=0.0)
    shrink(sender, 100)
    assert sender.threshold == pytest.approx(70)
    sender.window = 70.0
    grow(sender, RULES, 1, 0)
    assert sender.climb_s == pytest.approx(4.217, abs=1e-3)
    assert cubic_at(sender, 0.0) == pytest.approx(70)
    assert cubic_at(sender, sender.climb_s) == pytest.approx(100)


def test_cubic_leaves_room_if_it_lost_below_the_last_peak():
    """Fast convergence (RFC 9438, section 4.7): W_max = cwnd * (1 + 0.7) / 2."""
    sender = Sender(cubic=1, window=80.0, peak=100.0)
    shrink(sender, 80)
    assert sender.peak == pytest.approx(80 * 1.7 / 2)


@pytest.mark.parametrize(
    ("samples_s", "timeouts_s"),
    [
        ((1.0, 2.0, 1.0, 1.5), (3.0, 3.625, 3.109375, 3.048828125)),
        ((0.1, 0.1, 0.2, 0.1), (1.0, 1.0, 1.0, 1.0)),
    ],
)
def test_the_timer_follows_what_was_measured(samples_s, timeouts_s):
    """RFC 6298, rules 2.2 to 2.4, worked out by hand."""
    sender, given = Sender(), []
    for sample_s in samples_s:
        measured(sender, round(sample_s * SECOND), SECOND)
        given.append(sender.timeout_ns / SECOND)
    assert given == pytest.approx(timeouts_s)


def test_congestion_marks_shrink_the_window_once_in_a_round_trip():
    """All packets of one second are marked: ten round trips, at most eleven reductions, no loss."""
    marking = DropPolicy(lambda view, settings, memory: 1 < view.now_s < 2, keep)
    run = one_flow(to_s=4.0, drop=marking, ecn=True, tcp=Tcp(largest_window=50))
    assert run.per_flow.marked[0] > 50
    assert 4 <= run.per_flow.ecn_reductions[0] <= 11
    assert (run.per_flow.dropped[0], run.per_flow.resent[0], run.per_flow.timeouts[0]) == (0, 0, 0)


def test_one_mark_is_one_reduction():
    def mark_the_500th(view, settings, memory):
        memory[0] += 1
        return memory[0] == 500

    marking = DropPolicy(mark_the_500th, keep, memory=(0.0,))
    run = one_flow(to_s=4.0, drop=marking, ecn=True, tcp=Tcp(largest_window=50))
    assert run.per_flow.ecn_reductions[0] == 1
