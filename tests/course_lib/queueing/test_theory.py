"""Laws that the closed forms must obey, whatever the numbers, and what they refuse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.queueing import theory
from course_lib.switching import theory as switch_theory
from course_lib.tcp import theory as tcp_theory
from networks.queue_statistics import student_t

loads = st.floats(0.01, 0.99)
rates = st.floats(1e-3, 1e3)
places = st.integers(1, 200)


@given(rates, loads, st.floats(0, 20))
def test_littles_law_ties_numbers_and_times_together(rate, load, variation):
    state = theory.mg1(rate, load / rate, variation)
    assert state.in_system == pytest.approx(theory.little_number(rate, state.delay_s))
    assert state.waiting == pytest.approx(theory.little_number(rate, state.wait_s))
    assert state.in_system - state.waiting == pytest.approx(state.utilisation)


@given(rates, st.floats(0.01, 5), places)
def test_littles_law_holds_for_accepted_packets_of_a_finite_queue(rate, load, k):
    state = theory.mm1_finite(rate, load / rate, k)
    accepted = rate * (1 - state.loss)
    assert state.in_system == pytest.approx(theory.little_number(accepted, state.delay_s))
    assert state.utilisation == pytest.approx(load * (1 - state.loss))


@given(rates, loads)
def test_packets_on_a_clock_wait_less_than_at_random_and_less_than_the_bound(rate, load):
    clocked = theory.dm1(rate, load / rate)
    assert 0 <= clocked.wait_s < theory.mm1(rate, load / rate).wait_s
    assert clocked.wait_s <= theory.wait_bound_s(rate, load / rate, 0.0, 1.0)
    assert clocked.in_system == pytest.approx(theory.little_number(rate, clocked.delay_s))


@given(rates, loads, st.floats(0, 20))
def test_the_bound_holds_for_random_arrivals_and_is_not_far_from_them(rate, load, variation):
    """Kingman 1962; for M/G/1 the exact wait is known."""
    exact = theory.mg1(rate, load / rate, variation).wait_s
    bound = theory.wait_bound_s(rate, load / rate, 1.0, variation)
    assert exact <= bound * (1 + 1e-9)
    assert bound - exact == pytest.approx((1 - load**2) / (2 * rate * (1 - load)), rel=1e-6)


@given(st.floats(0.01, 5), places)
def test_a_finite_queue_is_a_numeric_markov_chain(load, k):
    """Weights by repeated multiplication instead of powers, as logarithms."""
    logs = [n * math.log(load) for n in range(k + 1)]
    weights = [math.exp(log - max(logs)) for log in logs]
    state = theory.mm1_finite(load, 1.0, k)
    assert state.loss == pytest.approx(weights[-1] / sum(weights), rel=1e-9)
    mean = sum(n * weight for n, weight in enumerate(weights)) / sum(weights)
    assert state.in_system == pytest.approx(mean, rel=1e-9)


def test_a_large_buffer_under_a_large_overload_loses_what_is_too_much():
    state = theory.mm1_finite(5.0, 1.0, 2000)
    assert state.loss == pytest.approx(0.8)
    assert state.utilisation == 1
    assert state.in_system == pytest.approx(2000 - 0.25)


@given(loads)
def test_a_very_large_buffer_is_no_limit(load):
    finite, endless = theory.mm1_finite(load, 1.0, 5000), theory.mm1(load, 1.0)
    assert finite.in_system == pytest.approx(endless.in_system, rel=1e-6)
    assert finite.loss < 1e-6


@given(st.floats(0.01, 50), st.integers(1, 40))
def test_erlang_b_is_a_ratio_of_poisson_terms(offered, servers):
    logs = [n * math.log(offered) - math.lgamma(n + 1) for n in range(servers + 1)]
    terms = [math.exp(log - max(logs)) for log in logs]
    assert theory.erlang_b(offered, servers) == pytest.approx(terms[-1] / sum(terms), rel=1e-9)


@given(loads, st.integers(1, 40))
def test_more_calls_wait_than_would_be_lost(load, servers):
    offered = load * servers
    assert theory.erlang_b(offered, servers) <= theory.erlang_c(offered, servers) <= 1


@given(loads)
def test_one_server_of_many_formulas_is_the_single_server(load):
    one = theory.mm1(load, 1.0)
    assert theory.erlang_c(load, 1) == pytest.approx(load)
    assert theory.mmc(load, 1.0, 1) == pytest.approx(one)
    assert theory.priority_waits_s([load], 1.0, 1.0) == pytest.approx([one.wait_s])


@given(st.lists(st.floats(0.01, 0.2), min_size=1, max_size=4), st.floats(0, 5))
def test_priority_only_moves_waiting_from_class_to_class(arrivals, variation):
    """Kleinrock's conservation law: the load-weighted sum of waits is that of one queue."""
    waits = theory.priority_waits_s(arrivals, 1.0, variation)
    one_queue = theory.mg1(sum(arrivals), 1.0, variation).wait_s
    weighted = sum(rate * wait for rate, wait in zip(arrivals, waits, strict=True))
    assert weighted == pytest.approx(sum(arrivals) * one_queue)
    assert waits == sorted(waits)


@given(st.floats(1e-8, 1e-5))
def test_rare_losses_cause_no_time_outs(loss):
    """The throughput equation then becomes the square-root law."""
    simple = tcp_theory.square_root_window(loss) * 1460 / 0.1
    full = tcp_theory.throughput_octets_per_s(1460, 0.1, loss)
    assert full == pytest.approx(simple, rel=2e-3)


def test_a_switch_of_two_ports_by_hand():
    """Both heads want one output in half of the slots; then one gets through, otherwise two."""
    assert switch_theory.input_saturation(1) == 1
    assert switch_theory.input_saturation(2) == pytest.approx(0.75)


def test_larger_switches_carry_less_and_more_than_the_limit():
    carried = [switch_theory.input_saturation(ports) for ports in range(1, 17)]
    assert carried == sorted(carried, reverse=True)
    assert carried[-1] > switch_theory.INPUT_LIMIT


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: theory.mm1(1.0, 1.0), "at a load of 1 the queue has no steady state"),
        (lambda: theory.md1(3, 0.5), "at a load of 1.5 the queue has no steady state"),
        (lambda: theory.mm1(-1, 1.0), "arrivals_per_s must be above 0, not -1"),
        (lambda: theory.mm1(0.5, 0), "service_s must be above 0, not 0"),
        (lambda: theory.mm1(math.nan, 1.0), "arrivals_per_s must be a finite number, not nan"),
        (lambda: theory.mg1(0.5, 1.0, -0.1), "variation must be 0 or more, not -0.1"),
        (lambda: theory.mm1_finite(0.5, 1.0, 0), "places must be 1 or more, not 0"),
        (lambda: theory.mm1_finite(0.5, 1.0, 2.5), "places must be a whole number, not 2.5"),
        (lambda: theory.erlang_b(0, 3), "offered must be above 0"),
        (lambda: theory.erlang_c(3, 3), "Take a load below 3, or a finite buffer"),
        (lambda: theory.little_number(math.inf, 1), "arrivals_per_s must be a finite number"),
        (lambda: theory.priority_waits_s([0.5, 0.6], 1, 1), "at a load of 1.1"),
        (lambda: tcp_theory.square_root_window(0), "loss must be above 0"),
        (lambda: tcp_theory.throughput_octets_per_s(1460, 0.1, 1.5), "between 0 and 1, not 1.5"),
        (lambda: tcp_theory.buffer_bits(1e9, 0.1, 0), "flows must be 1 or more, not 0"),
        (lambda: switch_theory.input_saturation(33), "exact only up to 32 ports, not 33"),
        (lambda: switch_theory.output_wait_slots(4, 1.0), "at a load of 1 "),
    ],
)
def test_what_has_no_answer_is_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()


@pytest.mark.parametrize("wrong", ["1", None, True, [1.0]])
def test_what_is_no_number_is_a_type_error(wrong):
    with pytest.raises(TypeError, match="arrivals_per_s must be a number, not"):
        theory.mm1(wrong, 0.5)


@pytest.mark.parametrize(
    ("level", "freedom", "printed"),
    [(0.95, 10, 2.228), (0.99, 19, 2.861), (0.999, 19, 3.883), (0.95, 120, 1.980)],
)
def test_the_intervals_of_these_tests_use_the_printed_table_of_student(level, freedom, printed):
    """The table in any statistics text; the intervals are in tests/support."""
    assert student_t(level, freedom) == pytest.approx(printed, abs=6e-4)
