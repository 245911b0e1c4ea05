"""The scene of workbook 11: as many packets get lost as it says; rates are those of the law."""

import pytest

from course_lib.ferry.lossy_line import (
    BURST,
    PATTERNS,
    LossyFlow,
    line_mbit_s,
    lost_packets,
    rate_mbit_s,
    run_lossy,
    square_root_mbit_s,
    timeouts_mbit_s,
)

CLOCK, RANDOM, BURSTS = PATTERNS


def rate_of(flow, seed=0, **more):
    return rate_mbit_s(run_lossy(flow, from_s=40, to_s=140, seed=seed, **more))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_one_packet_in_so_many_is_lost(pattern):
    """Chances of 1 in 100: the share of 200,000 deviates by 0.000222; of bursts, tenfold."""
    lost = lost_packets(100, pattern, 200_000, seed=3)
    assert lost == sorted(set(lost))
    assert len(lost) / 200_000 == pytest.approx(0.01, abs=0.003 if pattern == BURSTS else 0.001)


def test_on_a_clock_each_so_manieth_is_lost_and_bursts_come_in_a_row():
    assert lost_packets(7, CLOCK, 30) == [6, 13, 20, 27]
    lost = set(lost_packets(1000, BURSTS, 100_000, seed=1))
    begins = [one for one in lost if one - 1 not in lost]
    assert all({*range(one, one + BURST)} <= lost for one in begins if one + BURST < 100_000)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_more_packets_change_nothing_of_the_first(pattern):
    few, many = (lost_packets(50, pattern, count, seed=2) for count in (1_000, 5_000))
    assert few == [one for one in many if one < 1_000]


def test_a_pattern_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="there are on a clock, at random, in bursts"):
        lost_packets(10, "daily", 100)


@pytest.mark.parametrize("packets_per_ack", [1, 2])
@pytest.mark.parametrize("every", [1_000, 3_000, 10_000])
def test_a_flow_gets_what_the_square_root_law_says(every, packets_per_ack):
    """Mathis et al. 1997, for periodic loss; each repair costs a round trip that it leaves out."""
    flow = LossyFlow(every, CLOCK, packets_per_ack)
    assert 0.9 < rate_of(flow) / square_root_mbit_s(flow) < 1


def test_the_law_ends_where_time_outs_rule_and_where_the_line_is_full():
    few, many = LossyFlow(10, RANDOM), LossyFlow(100_000)
    assert rate_of(few) < square_root_mbit_s(few) / 2
    assert rate_of(many) == pytest.approx(line_mbit_s(), rel=0.05)
    assert square_root_mbit_s(many) > 1.5 * line_mbit_s()


def test_a_burst_costs_little_more_than_one_packet():
    """RFC 5348, section 5.2: losses within a round trip are one loss event."""
    bursts = rate_of(LossyFlow(1_000, BURSTS))
    alone = LossyFlow(1_000 * BURST)
    assert bursts > 2.5 * rate_of(LossyFlow(1_000))
    assert bursts == pytest.approx(square_root_mbit_s(alone), rel=0.3)


@pytest.mark.parametrize(("every", "rate"), [(1_000, 7.472), (100, 1.780)])
def test_the_equation_with_time_outs_is_that_of_rfc_5348(every, rate):
    """Section 3.1: s / (R sqrt(2bp/3) + t_RTO 3 sqrt(3bp/8) p (1 + 32p²)); 1500, 60 ms, 1 s."""
    p, trip, octets = 1 / every, 0.06, 1500
    waits = 3 * (3 * p / 8) ** 0.5 * p * (1 + 32 * p * p)
    by_hand = 8 * octets / (trip * (2 * p / 3) ** 0.5 + waits) / 1e6
    assert timeouts_mbit_s(LossyFlow(every)) == pytest.approx(by_hand)
    assert by_hand == pytest.approx(rate, rel=1e-3)


def test_packets_besides_are_lost_as_well():
    flow, extra = LossyFlow(1_000), (20_500, 20_900)
    runs = [run_lossy(flow, to_s=60, besides=besides) for besides in ((), extra)]
    lost, more = (int(run.per_flow.lost[0]) for run in runs)
    left, fewer = (int(run.trace.left[-1]) for run in runs)
    assert lost == left // 1_000
    assert more == fewer // 1_000 + 2
    assert fewer < left
