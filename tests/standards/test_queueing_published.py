"""Queueing figures that are printed in standards, papers and textbooks.

Each table names its source. "From memory" marks a figure whose source could not be read again; all
of those were computed a second time, by another way than the one tested here.
"""

import math
from itertools import pairwise

import numpy as np
import pytest

from course_lib.queueing import theory
from course_lib.queueing.drop_policies import (
    PacketView,
    codel_at_head,
    controlled_delay,
    random_early,
    red_on_arrival,
)
from course_lib.queueing.one_queue import simulate
from course_lib.queueing.packets import merged, trace
from course_lib.queueing.schedulers import deficit_round_robin
from course_lib.queueing.token_buckets import COLOURS, single_rate_colours, two_rate_colours
from course_lib.switching import theory as switch_theory
from course_lib.switching.matching import (
    match_at_random,
    match_in_turn,
    random_matching,
    round_robin_matching,
)
from course_lib.switching.switch import Waiting, measure_switch, simulate_switch, uniform_cells
from course_lib.tcp import theory as tcp_theory
from networks.queue_statistics import assert_mean

# --- one queue -----------------------------------------------------------------------------------


def test_the_gateway_of_jain_1991_example_31_1():
    """125 packets/s, 2 ms each (R. Jain, The Art of Computer Systems Performance Analysis).

    The book's figures are from memory.
    """
    gateway = theory.mm1(125, 0.002)
    assert gateway.utilisation == 0.25
    assert gateway.in_system == pytest.approx(1 / 3)
    assert gateway.delay_s == pytest.approx(2.667e-3, rel=1e-3)
    assert gateway.utilisation**13 == pytest.approx(1.49e-8, rel=1e-3)


def test_the_single_server_of_gross_and_harris():
    """Five an hour, ten minutes each (Fundamentals of Queueing Theory, from memory)."""
    clinic = theory.mm1(5 / 3600, 600)
    assert clinic.in_system == pytest.approx(5)
    assert clinic.waiting == pytest.approx(25 / 6)
    assert clinic.delay_s == pytest.approx(3600)
    assert clinic.wait_s == pytest.approx(50 * 60)


@pytest.mark.parametrize(
    ("arrivals", "served", "in_system", "delay_ms"),
    [(100, 200, 1, 10), (150, 200, 3, 20), (175, 200, 7, 40), (1000, 2000, 1, 1)],
)
def test_mm1_as_in_the_table_of_medhi_1999(arrivals, served, in_system, delay_ms):
    """D. Medhi, lecture notes on network design (1999): rates in packets/s."""
    state = theory.mm1(arrivals, 1 / served)
    assert state.in_system == pytest.approx(in_system)
    assert state.delay_s == pytest.approx(delay_ms / 1000)


@pytest.mark.parametrize(
    ("load", "mm1_wait"), [(0.5, 1), (0.8, 4), (0.9, 9), (0.95, 19), (0.99, 99)]
)
def test_constant_sizes_wait_half_as_long_as_exponential_ones(load, mm1_wait):
    """Kleinrock, Queueing Systems vol. 1 (1975), section 5.6; waits in service times."""
    assert theory.mm1(load, 1.0).wait_s == pytest.approx(mm1_wait)
    assert theory.md1(load, 1.0).wait_s == pytest.approx(mm1_wait / 2)


@pytest.mark.parametrize(("variation", "waiting"), [(0, 1.6), (1, 3.2), (4, 8.0)])
def test_pollaczek_khinchine_at_a_load_of_0_8(variation, waiting):
    """Number waiting = load**2 (1 + variation) / (2 (1 - load)) (Kleinrock, section 5.6)."""
    assert theory.mg1(0.8, 1.0, variation).waiting == pytest.approx(waiting)


def test_pollaczek_khinchine_for_a_mix_of_packet_sizes():
    """40, 576 and 1500 octets in 7:4:1 on 10 Mb/s; the mix is common practice, from memory."""
    octets = np.repeat([40.0, 576.0, 1500.0], [7, 4, 1])
    service_s = octets.mean() * 8 / 10e6
    variation = octets.var() / octets.mean() ** 2
    assert variation == pytest.approx(1.5817, abs=1e-4)
    wait_s = theory.mg1(0.8 / service_s, service_s, variation).wait_s
    assert wait_s == pytest.approx(1.4058e-3, rel=1e-4)


@pytest.mark.parametrize(
    ("load", "places", "loss"),
    [
        (0.5, 1, 1 / 3), (0.5, 5, 0.015873), (0.8, 10, 0.023493), (0.9, 10, 0.050814),
        (1.0, 10, 1 / 11), (0.9, 20, 0.013651), (1.2, 10, 0.192586),
    ],
)  # fmt: skip
def test_loss_of_a_finite_queue(load, places, loss):
    """(1 - load) load**K / (1 - load**(K+1)), as in any queueing text (Kleinrock, section 3.6)."""
    assert theory.mm1_finite(load, 1.0, places).loss == pytest.approx(loss, abs=1e-6)


@pytest.mark.parametrize(("load", "in_system"), [(0.8, 2.96631), (0.9, 3.96944), (1.0, 5.0)])
def test_number_in_a_finite_queue_of_ten(load, in_system):
    """Computed a second time as a numeric Markov chain."""
    assert theory.mm1_finite(load, 1.0, 10).in_system == pytest.approx(in_system, abs=1e-5)


@pytest.mark.parametrize(
    ("offered", "servers", "blocked"),
    [
        (1, 1, 0.5), (1, 2, 0.2), (1, 3, 0.0625), (2, 2, 0.4), (5, 5, 0.284868),
        (10, 10, 0.214582), (10, 15, 0.036497), (20, 30, 0.008457), (100, 100, 0.075700),
        (8, 10, 0.121661), (12, 10, 0.301925), (12, 14, 0.117210), (20, 18, 0.221260),
    ],
)  # fmt: skip
def test_erlang_b_as_in_teletraffic_tables(offered, servers, blocked):
    """Standard tables of Erlang's loss formula (A. K. Erlang, 1917)."""
    assert theory.erlang_b(offered, servers) == pytest.approx(blocked, abs=1e-6)


@pytest.mark.parametrize(
    ("share", "servers", "offered"),
    [
        (0.01, 1, 0.0101), (0.01, 2, 0.1526), (0.01, 3, 0.4555), (0.01, 5, 1.3608),
        (0.01, 10, 4.4612), (0.01, 20, 12.031), (0.01, 50, 37.901), (0.01, 100, 84.064),
        (0.02, 5, 1.6571), (0.02, 10, 5.0840), (0.02, 20, 13.182), (0.02, 50, 40.255),
        (0.02, 100, 87.972),
    ],
)  # fmt: skip
def test_the_columns_of_1_and_2_per_cent_loss(share, servers, offered):
    """The printed table gives the load at a loss, from memory; here the loss at that load."""
    assert theory.erlang_b(offered, servers) == pytest.approx(share, rel=5e-3)


@pytest.mark.parametrize(
    ("offered", "servers", "waits"),
    [
        (0.9, 1, 0.9), (1, 2, 1 / 3), (2, 3, 4 / 9),
        (4, 5, 0.554113), (8, 10, 0.409180), (20, 24, 0.298072),
    ],
)  # fmt: skip
def test_erlang_c_as_in_teletraffic_tables(offered, servers, waits):
    """Standard tables of Erlang's delay formula."""
    assert theory.erlang_c(offered, servers) == pytest.approx(waits, abs=1e-6)


def test_the_wait_before_three_servers():
    """M/M/3 at two erlang: C / (N - A) = 4/9 of a service time."""
    assert theory.mmc(2.0, 1.0, 3).wait_s == pytest.approx(4 / 9)


# --- flows and buffers ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("megabits", "delay_ms", "bits"),
    [
        (1.536, 20, 30_720), (1.536, 50, 76_800), (1.536, 100, 153_600), (44.21, 10, 442_100),
        (44.21, 15, 663_150), (44.21, 25, 1_105_250), (100, 1, 100_000), (100, 2, 200_000),
        (100, 5, 500_000), (1000, 0.1, 100_000), (1000, 0.5, 500_000), (1000, 1, 1_000_000),
        (10_000, 0.05, 500_000), (10_000, 0.3, 3_000_000), (5, 90, 450_000), (0.64, 90, 57_600),
    ],
)  # fmt: skip
def test_rate_times_delay_as_in_rfc_6349(megabits, delay_ms, bits):
    """RFC 6349, table 3.3.1, and the asymmetric line of section 3.3.1 (the last two)."""
    assert tcp_theory.rate_delay_bits(megabits * 1e6, delay_ms / 1e3) == pytest.approx(bits)


@pytest.mark.parametrize(
    ("kilobytes", "delay_ms", "megabits"),
    [(16, 5, 25.6), (16, 10, 12.8), (16, 15, 8.5), (16, 25, 5.1), (64, 15, 34.1), (64, 25, 20.5)],
)
def test_a_window_limits_throughput_as_in_rfc_6349(kilobytes, delay_ms, megabits):
    """RFC 6349, section 3.3.1, figures: kilo is 1000."""
    rate = tcp_theory.window_limited_bits_per_s(kilobytes * 1000, delay_ms / 1000)
    assert rate / 1e6 == pytest.approx(megabits, abs=0.05)


def test_the_square_root_rule_of_appenzeller_2004():
    """SIGCOMM 2004, abstract: 2.5 Gbit by the old rule; 1 % for 10,000 flows; "10 Mbit"."""
    assert tcp_theory.buffer_bits(10e9, 0.25) == 2.5e9
    one, many = (tcp_theory.buffer_bits(2.5e9, 0.25, flows) for flows in (1, 10_000))
    assert many / one == pytest.approx(0.01)
    assert tcp_theory.buffer_bits(10e9, 0.25, 50_000) == pytest.approx(11.18e6, rel=1e-3)


@pytest.mark.parametrize(
    ("share", "used"),
    [(0, 0.75), (0.1, 0.8176), (0.25, 0.8929), (0.5, 0.9643), (0.75, 0.9932), (1, 1), (2, 1)],
)
def test_one_flow_without_a_buffer_fills_three_quarters(share, used):
    """75 % is in RFC 8289's text; the others are the same fluid saw-tooth, integrated again."""
    assert tcp_theory.one_flow_utilisation(share) == pytest.approx(used, abs=5e-5)


def test_the_constants_of_periodic_loss():
    """Mathis et al. 1997: sqrt(3/2) with each segment acknowledged, sqrt(3/4) with every other."""
    assert tcp_theory.square_root_window(1.0) == pytest.approx(1.2247, abs=1e-4)
    assert tcp_theory.square_root_window(1.0, packets_per_ack=2) == pytest.approx(0.8660, abs=1e-4)


@pytest.mark.parametrize(("loss", "megabits"), [(1e-4, 14.305), (1e-3, 4.5236), (1e-2, 1.4305)])
def test_the_square_root_law_as_a_rate(loss, megabits):
    """Mathis et al. 1997, applied to 1460 octets in 0.1 s."""
    window = tcp_theory.square_root_window(loss) * 1460
    rate = tcp_theory.window_limited_bits_per_s(window, 0.1)
    assert rate / 1e6 == pytest.approx(megabits, rel=1e-4)


@pytest.mark.parametrize("step", range(5))
def test_what_standard_tcp_needs_to_fill_a_link(step):
    """RFC 3649, table 1: windows 8.3 to 83,333 and losses 0.02 to 0.0000000002."""
    printed_window, printed_loss = 8.3333 * 10**step, 0.02 / 100**step
    window = tcp_theory.rate_delay_bits(1e6 * 10**step, 0.1) / (1500 * 8)
    assert window == pytest.approx(printed_window, rel=1e-3)
    assert tcp_theory.square_root_window(printed_loss) == pytest.approx(window, rel=0.05)


@pytest.mark.parametrize(
    ("loss", "millionths"),
    [
        (0.0001, 8_172), (0.001, 26_052), (0.002, 37_172), (0.01, 89_021), (0.02, 136_520),
        (0.05, 271_305), (0.1, 564_939), (1.0, 243_315_981),
    ],
)  # fmt: skip
def test_the_throughput_equation_as_tabulated(loss, millionths):
    """RFC 5348, section 3.1; the numbers are those of the table in Linux, tfrc_equation.c."""
    assert math.floor(1e6 / tcp_theory.throughput_octets_per_s(1, 1, loss)) == millionths


@pytest.mark.parametrize(("loss", "octets"), [(0.001, 560_412), (0.01, 164_005), (0.1, 25_843)])
def test_the_throughput_equation_as_a_rate(loss, octets):
    """RFC 5348, section 3.1, for 1460 octets and 0.1 s; computed a second time by hand."""
    rate = tcp_theory.throughput_octets_per_s(1460, 0.1, loss)
    assert rate == pytest.approx(octets, rel=1e-4)


# --- drop policies and schedulers ----------------------------------------------------------------


def test_the_drop_times_of_controlled_delay():
    """RFC 8289, section 5: the n-th gap between drops is interval / sqrt(n): 100, 70.7, 57.7 ms."""
    policy = controlled_delay()
    settings, memory = np.array(policy.settings), np.array(policy.memory)
    views = [PacketView(i * 1e-5, 1500, 0.05, 99, 99 * 1500, 0, 0.5) for i in range(60_000)]
    dropped_s = np.array([v.now_s for v in views if codel_at_head(v, settings, memory)])
    assert dropped_s[0] == pytest.approx(0.1, abs=2e-5)  # over the target for one interval
    expected = [0.1, 0.070711, 0.057735, 0.05, 0.044721]
    assert np.diff(dropped_s)[:5] == pytest.approx(expected, abs=2e-5)


def averages_of_red(weight, lengths):
    """Return RED's average after each of these queue lengths; the thresholds are out of reach."""
    policy = random_early(1e6, 2e6, 1.0, weight=weight)
    settings, memory = np.array(policy.settings), np.array(policy.memory)
    averages = []
    for length in lengths:
        red_on_arrival(PacketView(0, 1, 0, length, length, 0, 0.5), settings, memory)
        averages.append(memory[0])
    return averages


def test_the_largest_weight_that_lets_a_burst_of_fifty_pass():
    """Floyd & Jacobson 1993, section V: a weight of 0.0042 for 50 packets and a threshold of 5.

    From memory; it follows from L + 1 + ((1-w)**(L+1) - 1) / w = 5, and is rounded.
    """
    just_below, just_above = (averages_of_red(w, range(1, 51))[-1] for w in (0.00415, 0.00425))
    assert just_below < 5 < just_above
    assert just_below == pytest.approx(51 + ((1 - 0.00415) ** 51 - 1) / 0.00415)


def test_how_long_the_average_takes_to_follow_a_step():
    """Floyd & Jacobson 1993, section V: -1 / ln(1 - w) packets to 63 %; 1000 for w = 0.001."""
    averages = averages_of_red(0.001, [1] * 1000)
    assert averages[-1] == pytest.approx(1 - math.exp(-1), abs=1e-3)


def test_the_rounds_of_shreedhar_and_varghese_1995():
    """Figures 2 and 3, from memory: quantum 500; 200, then 750 must wait for 300 + 500.

    Queue 0 holds 200, 750 and 20 octets, queue 1 holds 500 and 500.
    """
    flows = merged(trace([0] * 3, [200, 750, 20], flow=0), trace([0] * 2, [500, 500], flow=1))
    first = trace([0], 1, flow=1)  # keeps the link busy until all others have come
    run = simulate(merged(first, flows), 8.0, scheduler=deficit_round_robin([500, 500]))
    assert run.packets.octets[np.argsort(run.began_s)].tolist() == [1, 200, 500, 750, 20, 500]


# --- meters --------------------------------------------------------------------------------------

SEVEN = trace([0, 0, 0, 0, 1, 2, 4], 1500)


def test_the_single_rate_meter_of_rfc_2697():
    """The rules of section 3, worked by hand: 1000 octets/s, bursts of 2000 and 3000."""
    result = single_rate_colours(SEVEN, 1000, 2000, 3000)
    colours = ["green", "yellow", "yellow", "red", "green", "red", "green"]
    assert [COLOURS[colour] for colour in result.colour] == colours
    assert result.first.tolist() == [500, 500, 500, 500, 0, 1000, 500]
    assert result.second.tolist() == [3000, 1500, 0, 0, 0, 0, 1000]


def test_the_two_rate_meter_of_rfc_2698():
    """The rules of section 3, worked by hand: peak 2000 and 4000, committed 1000 and 2000."""
    result = two_rate_colours(SEVEN, 2000, 4000, 1000, 2000)
    colours = ["green", "yellow", "red", "red", "green", "yellow", "green"]
    assert [COLOURS[colour] for colour in result.colour] == colours
    assert result.first.tolist() == [2500, 1000, 1000, 1000, 1500, 2000, 2500]
    assert result.second.tolist() == [500, 500, 500, 500, 0, 1000, 500]


# --- switches ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ports", "printed"),
    [
        (1, 1.0), (2, 0.7500), (3, 0.6825), (4, 0.6553), (5, 0.6399), (6, 0.6302),
        (7, 0.6234), (8, 0.6184), (10, 0.6116), (12, 0.6071), (16, 0.6016),
    ],
)  # fmt: skip
def test_saturation_of_input_queues_as_in_karol_1987(ports, printed):
    """Karol, Hluchyj, Morgan 1987, table I, up to 8 ports (from memory); beyond, the same model.

    For 4 and 6 ports the table prints the last digit one higher than the exact chain gives.
    """
    assert switch_theory.input_saturation(ports) == pytest.approx(printed, abs=1e-4)


def test_the_limit_of_large_switches():
    """Karol et al. 1987; about 58.6 % in the abstract of McKeown 1999."""
    by_size = [switch_theory.input_saturation(ports) for ports in (8, 16, 32)]
    assert pytest.approx(0.5858, abs=1e-4) == switch_theory.INPUT_LIMIT
    # Richardson: if the excess is a/N + b/N**2, three sizes in steps of two give the limit.
    once = [2 * large - small for small, large in pairwise(by_size)]
    assert (4 * once[1] - once[0]) / 3 == pytest.approx(switch_theory.INPUT_LIMIT, abs=2e-4)


def run_of(ports, load, slots, waiting, seed):
    """Return what a switch with random arbitration measures after 1000 slots."""
    cells = uniform_cells(ports, load, slots + 1000, np.random.default_rng([ports, seed]))
    return measure_switch(simulate_switch(cells, waiting, random_matching(seed=seed)), 1000)


@pytest.mark.parametrize("ports", [2, 4, 8, 16, 32])
def test_simulated_saturation_of_input_queues(ports):
    """The loop, with a cell for every input in every slot, against the exact chain."""
    slots = 24_000 // ports
    carried = [run_of(ports, 1.0, slots, Waiting.INPUT, seed).carried for seed in range(25)]
    assert_mean(carried, switch_theory.input_saturation(ports), within=0.01)


@pytest.mark.parametrize(
    ("ports", "load", "wait"), [(2, 0.5, 0.25), (8, 0.5, 0.4375), (16, 0.8, 1.875)]
)
def test_waits_at_output_queues(ports, load, wait):
    """(N - 1) / N * p / (2 (1 - p)) slots (Karol et al. 1987), in theory and in the loop."""
    assert switch_theory.output_wait_slots(ports, load) == pytest.approx(wait)
    slots = 160_000 // ports
    waits = [run_of(ports, load, slots, Waiting.OUTPUT, seed).wait_slots for seed in range(25)]
    assert_mean(waits, wait, within=0.04)


def matched_share(requests, rounds, seed):
    """Return the share of ports that random grants and accepts match."""
    policy = random_matching(rounds, seed)
    matched = np.full(len(requests), -1)
    match_at_random(requests, np.array(policy.settings), np.array(policy.memory), matched)
    return (matched >= 0).mean()


@pytest.mark.parametrize(
    ("ports", "share"), [(2, 0.75), (4, 0.6836), (8, 0.6564), (16, 0.6439), (32, 0.6379)]
)
def test_one_round_of_random_grants_as_in_anderson_1993(ports, share):
    """1 - (1 - 1/N)**N of a full switch (Anderson et al. 1993, from memory), exact and drawn."""
    assert switch_theory.random_match_share(ports) == pytest.approx(share, abs=5e-5)
    full = np.ones((ports, ports), np.int64)
    assert_mean([matched_share(full, 1, seed) for seed in range(400)], share, within=0.08)


@pytest.mark.parametrize(
    ("wanted", "shares"),
    [
        (1.00, (0.645, 0.882, 0.973, 0.999)),
        (0.50, (0.688, 0.933, 0.995, 1.000)),
        (0.10, (0.872, 0.998, 1.000, 1.000)),
    ],
)
def test_rounds_that_random_grants_need_as_in_anderson_1993(wanted, shares):
    """Table 1 of the paper, 16 ports: share of the final match after 1 to 4 rounds, +- 1 point.

    From memory (64, 88, 97, 99.9 in the first row); the others were simulated by another program.
    """
    switches = np.random.default_rng(16).random((300, 16, 16)) < wanted
    found = [
        np.sum([matched_share(switch, rounds, seed) for seed, switch in enumerate(switches)])
        for rounds in (1, 2, 3, 4, 16)
    ]
    assert np.array(found[:4]) / found[4] == pytest.approx(shares, abs=0.01)


@pytest.mark.parametrize("ports", [4, 16])
def test_pointers_that_slip_apart_as_in_mckeown_1999(ports):
    """iSLIP, all queues full, all pointers at 0: 1, 2, 3, ... N matches, then N for ever.

    Hence 100 % for uniform traffic (the abstract of the paper).
    """
    policy = round_robin_matching(ports)
    settings, memory = np.array(policy.settings), np.array(policy.memory)
    full, sizes = np.ones((ports, ports), np.int64), []
    for _ in range(3 * ports):
        matched = np.full(ports, -1)
        match_in_turn(full, settings, memory, matched)
        sizes.append(int((matched >= 0).sum()))
    assert sizes == [*range(1, ports), *[ports] * (2 * ports + 1)]
