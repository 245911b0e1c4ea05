"""What runs of many flows promise: balanced books, the same numbers again, plain errors."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.queueing.drop_policies import TAIL_DROP, controlled_delay, random_early
from course_lib.tcp import memory as tcp_memory
from course_lib.tcp.memory import Tcp
from course_lib.tcp.results import fairness, loss, summary, utilisation, wait_quantile_s
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.traffic import (
    NO_LOSS,
    Flows,
    Loss,
    flows,
    lost_numbers,
    periodic_loss,
    random_loss,
    spread_flows,
    traced_loss,
)

unhurried = settings(deadline=None, max_examples=40)

POLICIES = st.sampled_from(
    [TAIL_DROP, random_early(2, 8, 0.0012, weight=0.05, top_chance=0.2), controlled_delay()]
)
LOSSES = st.sampled_from([NO_LOSS, periodic_loss(30), random_loss(0.05), traced_loss([0, 3, 4])])


@st.composite
def situations(draw):
    """Draw a few seconds of a few flows."""
    count = draw(st.integers(1, 4))
    trips = draw(st.lists(st.sampled_from([0.0, 0.02, 0.1, 0.3]), min_size=count, max_size=count))
    starts = draw(st.lists(st.sampled_from([0, 0.5]), min_size=count, max_size=count))
    rules = draw(st.lists(st.booleans(), min_size=count, max_size=count))
    return {
        "flows": flows(count, trips, starts, cubic=rules),
        "link_bits_per_s": draw(st.sampled_from([1e6, 5e6])),
        "buffer_packets": draw(st.sampled_from([0, 1, 5, 40])),
        "drop": draw(POLICIES),
        "ecn": draw(st.booleans()),
        "loss": draw(LOSSES),
        "tcp": Tcp(
            delayed_acks=draw(st.booleans()),
            sack=draw(st.booleans()),
            noticing_packets=draw(st.sampled_from([0.0, 0.3, 1.0])),
        ),
        "from_s": draw(st.sampled_from([0.0, 1.0])),
        "seed": draw(st.integers(0, 3)),
        "to_s": 3.0,
    }


def numbers_of(run):
    """Return all that a run tells, as bytes."""
    arrays = (*run.per_flow, run.waiting_s, run.waits, *run.trace, np.array(run.idle_s))
    return [array.tobytes() for array in arrays]


@unhurried
@given(situations())
def test_compiled_and_plain_runs_agree_to_the_last_bit(situation):
    plain, fast = (simulate_tcp(**situation, compiled=compiled) for compiled in (False, True))
    assert numbers_of(plain) == numbers_of(fast)


@unhurried
@given(situations())
def test_the_trace_counts_what_left_the_link_and_what_was_dropped(situation):
    """From the start on, whenever the rest begins to count."""
    run = simulate_tcp(**situation)
    whole = simulate_tcp(**{**situation, "from_s": 0.0})
    left, dropped = run.trace.left, run.trace.dropped
    assert (np.diff(left) >= 0).all()
    assert (np.diff(dropped) >= 0).all()
    assert left[-1] <= whole.per_flow.carried.sum() <= left[-1] + 1  # one may leave at the end
    assert dropped[-1] == whole.per_flow.dropped.sum()


@unhurried
@given(situations())
def test_no_packet_is_lost_from_the_books(situation):
    situation["from_s"] = 0.0
    run = simulate_tcp(**situation)
    counts, held = run.per_flow, situation["buffer_packets"] + 1
    inside = counts.sent - counts.dropped - counts.carried
    assert (inside >= 0).all()
    assert inside.sum() <= held
    assert (counts.carried - counts.lost >= counts.delivered).all()
    assert counts.carried.sum() == pytest.approx(run.waits.sum(), abs=1)


@unhurried
@given(situations())
def test_times_add_up(situation):
    run = simulate_tcp(**situation)
    assert run.waiting_s.sum() == pytest.approx(run.to_s - run.from_s)
    assert 0 <= utilisation(run) <= 1


def test_nothing_is_dropped_while_the_buffer_has_room():
    run = simulate_tcp(flows(1, 0.05), 10e6, 100, to_s=10, tcp=Tcp(largest_window=60))
    assert run.per_flow.sent[0] - run.per_flow.delivered[0] <= 60
    assert loss(run) == 0
    assert run.per_flow.resent[0] == 0


def test_the_same_seed_gives_the_same_run_and_another_one_another():
    one, again, other = (
        simulate_tcp(flows(2, 0.05), 5e6, 20, to_s=5, loss=random_loss(0.02), seed=seed)
        for seed in (1, 1, 2)
    )
    assert numbers_of(one) == numbers_of(again)
    assert numbers_of(one) != numbers_of(other)


def test_a_clockwork_without_chance_does_not_ask_the_seed():
    """When senders notice at once there is nothing to throw dice for; else each seed differs."""
    for noticing, runs in ((0.0, 1), (1.0, 3)):
        tcp = Tcp(noticing_packets=noticing)
        told = [numbers_of(simulate_tcp(flows(2, 0.05), 5e6, 20, to_s=5, tcp=tcp, seed=seed))
                for seed in range(3)]  # fmt: skip
        assert sum(one not in told[:place] for place, one in enumerate(told)) == runs


def shares_of_two(tcp):
    """Return how many times as much 100 ms gets as 200 ms, give or take a few parts of a ms."""
    for step in range(8):
        two = flows(2, [0.1, 0.2 + 0.0003 * step], [0.0, 0.3])
        near, far = simulate_tcp(two, 10e6, 83, to_s=120, from_s=20, tcp=tcp).per_flow.delivered
        yield near / far


def test_tiny_shifts_move_the_shares_of_two_clockworks_but_not_those_of_two_hosts():
    """S. Floyd, V. Jacobson 1992: phase effects; a random delay below one packet ends them."""
    clockworks = list(shares_of_two(Tcp(noticing_packets=0)))
    hosts = list(shares_of_two(Tcp()))
    assert max(clockworks) / min(clockworks) > 5
    assert max(hosts) / min(hosts) < 2
    assert 1 < min(hosts) < max(hosts) < 4


def test_acknowledgements_stay_in_order_however_late_senders_notice():
    """With sack off, one that came out of order would be a duplicate, or a repair in vain."""
    tcp = Tcp(sack=False, delayed_acks=True, largest_window=30)
    run = simulate_tcp(flows(3, [0.0, 0.05, 0.2]), 1e6, 100, to_s=60, tcp=tcp)
    assert (run.per_flow.resent.sum(), run.per_flow.fast_retransmits.sum()) == (0, 0)


def test_a_run_that_needs_more_memory_than_expected_gives_the_same_numbers(monkeypatch):
    arguments = {"to_s": 20, "loss": random_loss(0.05)}
    expected = simulate_tcp(flows(3, 0.1), 5e6, 20, **arguments)
    likely = tcp_memory.likely_size
    small = {"packets": 30, "losses": 2}
    monkeypatch.setattr(
        "course_lib.tcp.memory.likely_size", lambda plan: likely(plan)._replace(**small)
    )
    assert numbers_of(simulate_tcp(flows(3, 0.1), 5e6, 20, **arguments)) == numbers_of(expected)


@pytest.mark.parametrize("pattern", [periodic_loss(7), random_loss(0.1), Loss(5, 0.1, (3, 8))])
def test_more_numbers_of_lost_packets_leave_the_first_ones_as_they_were(pattern):
    few, many = (lost_numbers(pattern, n, np.random.default_rng(1)) for n in (50, 400))
    assert len(few) == 50
    assert (many[:50] == few).all()
    assert (np.diff(many) > 0).all()


def test_random_loss_has_the_share_that_was_asked_for():
    lost = lost_numbers(random_loss(0.01), 10_000, np.random.default_rng(1))
    assert lost[-1] / len(lost) == pytest.approx(100, rel=0.04)


def test_exactly_the_packets_of_a_trace_are_lost():
    run = simulate_tcp(flows(1, 0.05), 10e6, 100, to_s=3, loss=traced_loss([10, 20, 500]))
    assert run.per_flow.lost[0] == 3


def test_early_marks_keep_the_queue_short_and_lose_nothing():
    policy = random_early(20, 120, 0.00012, weight=0.002, top_chance=0.1)
    many = spread_flows(50, (0.06, 0.14))
    marked = simulate_tcp(many, 100e6, 800, to_s=30, from_s=15, drop=policy, ecn=True)
    tail = simulate_tcp(many, 100e6, 800, to_s=30, from_s=15)
    assert wait_quantile_s(marked, 0.5) < wait_quantile_s(tail, 0.5) / 2
    assert loss(marked) < loss(tail) / 5


def test_controlled_delay_keeps_the_delay_near_its_target():
    many = spread_flows(50, (0.06, 0.14))
    run = simulate_tcp(many, 100e6, 800, to_s=30, from_s=15, drop=controlled_delay())
    assert summary(run).mean_wait_s < 0.015
    assert utilisation(run) > 0.9


def test_equal_flows_share_equally_and_a_short_round_trip_gets_more():
    near, far = simulate_tcp(
        flows(2, [0.02, 0.2]), 10e6, 30, to_s=120, from_s=20
    ).per_flow.delivered
    assert near > 2 * far
    one_each = Flows(np.array([0.1, 0.1]), np.array([0.0, 0.0]), np.array([0, 0]))
    assert fairness(simulate_tcp(one_each, 10e6, 80, to_s=200)) > 0.9


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: flows(0, 0.1), "count must be 1 or more, not 0"),
        (lambda: flows(2, -0.1), r"round_trip_s\[0\] is -0.1: it must lie between 0"),
        (lambda: flows(2, [0.1, float("nan")]), r"round_trip_s\[1\] is nan"),
        (lambda: flows(2, [0.1, 0.1, 0.1]), "round_trip_s has 3 entries for 2 flows"),
        (lambda: flows(2, 0.1, -1.0), r"start_s\[0\] is -1"),
        (lambda: spread_flows(2, (0.2, 0.1)), r"the second bound \(0.1\) is below the first"),
        (lambda: simulate_tcp(flows(1, 0.1), 0, 10), "link_bits_per_s must be above 0"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e13, 10), "too fast: a packet of 1500 octets"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, -1), "buffer_packets must be 0 or more, not -1"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, 1.5), "buffer_packets must be a whole number"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, 1, to_s=0), "to_s must be above 0"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, 1, from_s=60), r"from_s \(60\) must be below"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, 1, sample_s=0), "sample_s must be above 0"),
        (lambda: simulate_tcp(flows(1, 0.1), 1e6, 1, tcp=Tcp(initial_window=0)), "initial_window"),
        (lambda: periodic_loss(1), "every must be 2 or more, not 1"),
        (lambda: random_loss(1.0), "share must be below 1, or nothing ever arrives"),
        (lambda: random_loss(-0.1), "share must lie between 0 and 1"),
        (lambda: traced_loss([-1]), "a packet's number must be 0 or more"),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()
