"""The slotted switch: books, order, where blocking comes from, and what a matching may do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from course_lib.switching.matching import (
    Matching,
    draw,
    match_at_random,
    match_in_turn,
    random_matching,
    round_robin_matching,
)
from course_lib.switching.switch import Waiting, measure_switch, simulate_switch, uniform_cells
from networks.queue_statistics import assert_mean

PORTS = 3
MATCHINGS = {
    "random": random_matching(1, seed=5),
    "random, three rounds": random_matching(3, seed=5),
    "round robin": round_robin_matching(PORTS),
    "round robin, three rounds": round_robin_matching(PORTS, 3),
}
tables = arrays(
    np.int64, st.tuples(st.integers(1, 25), st.just(PORTS)), elements=st.integers(-1, 2)
)
runs = st.builds(
    simulate_switch,
    tables,
    st.sampled_from(Waiting),
    st.sampled_from(list(MATCHINGS.values())),
    speed_up=st.integers(1, 3),
    compiled=st.just(False),
)

unhurried = settings(deadline=None)  # plain loops on a busy machine


def uniform(ports, load, slots, seed):
    return uniform_cells(ports, load, slots, np.random.default_rng([ports, seed]))


@unhurried
@given(runs)
def test_the_books_balance_after_every_slot(run):
    came, left, at_inputs, at_outputs = run.books.T
    assert (came == left + at_inputs + at_outputs).all()
    assert (came == np.cumsum((run.goes_to >= 0).sum(axis=1))).all()
    assert left[-1] == (run.left_slot >= 0).sum()


@unhurried
@given(runs)
def test_cells_leave_after_they_came_one_at_a_time_and_in_order(run):
    slots, inputs = np.nonzero(run.left_slot >= 0)
    outputs, left = run.goes_to[slots, inputs], run.left_slot[slots, inputs]
    assert (left >= slots).all()
    assert len(set(zip(outputs, left, strict=True))) == len(left)
    for i in range(PORTS):
        for output in range(PORTS):
            flow = left[(inputs == i) & (outputs == output)]
            assert (np.diff(flow) > 0).all()


@unhurried
@given(runs)
def test_nothing_leaves_that_never_came(run):
    assert (run.left_slot[run.goes_to < 0] == -1).all()


def test_four_slots_traced_by_hand():
    """All want output 0 and get it in turn. The cell for output 1 comes behind the last of them.

    In one line it is blocked until slot 3, although output 1 is idle. Otherwise it leaves at once.
    """
    cells = np.full((4, 3), -1)
    cells[0], cells[1, 2] = 0, 1
    left = {
        waiting: simulate_switch(cells, waiting, round_robin_matching(3)).left_slot[:2].tolist()
        for waiting in Waiting
    }
    assert left[Waiting.INPUT] == [[0, 1, 2], [-1, -1, 3]]
    assert left[Waiting.VIRTUAL] == [[0, 1, 2], [-1, -1, 1]]
    assert left[Waiting.OUTPUT] == [[0, 1, 2], [-1, -1, 1]]


@unhurried
@given(tables, st.sampled_from([Waiting.INPUT, Waiting.VIRTUAL]))
def test_a_switch_n_times_as_fast_waits_like_output_queues(cells, waiting):
    """Within a slot the order may differ, but not how many cells each output has sent."""
    fast = simulate_switch(cells, waiting, random_matching(1), speed_up=PORTS, compiled=False)
    output = simulate_switch(cells, Waiting.OUTPUT, compiled=False)
    assert (fast.books[:, 1] == output.books[:, 1]).all()


def test_speed_up_two_nearly_removes_blocking():
    cells = uniform(8, 0.9, 4000, 1)
    one, two = (
        measure_switch(simulate_switch(cells, Waiting.INPUT, speed_up=times), 500)
        for times in (1, 2)
    )
    assert one.carried < 0.65
    assert two.carried == pytest.approx(two.offered, abs=0.01)


@pytest.mark.parametrize("load", [0.5, 0.9])
def test_round_robin_over_virtual_queues_carries_any_uniform_load(load):
    """100 % throughput for uniform traffic (McKeown 1999, abstract)."""
    served = []
    for seed in range(20):
        cells = uniform(8, load, 9000, seed)
        run = simulate_switch(cells, Waiting.VIRTUAL, round_robin_matching(8))
        means = measure_switch(run, from_slot=3000)
        served.append(means.carried / means.offered)
    assert_mean(served, 1.0, within=0.005)


def test_one_round_of_random_grants_does_not():
    """It carries 1 - (1 - 1/N)**N at most (Anderson et al. 1993): 0.656 of 8 ports."""
    run = simulate_switch(uniform(8, 0.9, 6000, 1), Waiting.VIRTUAL, random_matching(1))
    assert measure_switch(run, 3000).carried < 0.70


@pytest.mark.parametrize("matching", MATCHINGS.values(), ids=MATCHINGS)
@pytest.mark.parametrize("waiting", Waiting)
def test_compiled_and_plain_runs_agree_in_every_slot(waiting, matching):
    cells = uniform(PORTS, 0.9, 400, 3)
    fast, plain = (
        simulate_switch(cells, waiting, matching, compiled=compiled) for compiled in (True, False)
    )
    assert (fast.left_slot == plain.left_slot).all()
    assert (fast.books == plain.books).all()


def test_the_same_seed_gives_the_same_run_and_another_one_another():
    cells = uniform(PORTS, 0.9, 400, 3)
    one, again, other = (
        simulate_switch(cells, Waiting.INPUT, random_matching(seed=seed)).left_slot
        for seed in (1, 1, 2)
    )
    assert (one == again).all()
    assert (one != other).any()


def test_measures_by_hand():
    cells = np.array([[0, 0], [-1, 1], [-1, -1]])
    means = measure_switch(simulate_switch(cells, Waiting.INPUT, round_robin_matching(2)))
    assert means == pytest.approx((3 / 6, 3 / 6, (0 + 1 + 1) / 3))
    later = measure_switch(simulate_switch(cells, Waiting.INPUT, round_robin_matching(2)), 1)
    assert later == pytest.approx((1 / 4, 2 / 4, 1.0))


requests = arrays(np.int64, (4, 4), elements=st.integers(0, 2))


@unhurried
@given(requests, st.sampled_from([match_at_random, match_in_turn]), st.integers(0, 9))
def test_enough_rounds_find_a_matching_to_which_nothing_can_be_added(wanted, rule, seed):
    """N rounds are always enough: each adds at least one pair if one can be added."""
    matched = np.full(4, -1)
    rule(wanted, np.array([4]), np.arange(1 + seed, 9 + seed) % 4 + 1, matched)
    pairs = [(i, int(output)) for i, output in enumerate(matched) if output >= 0]
    assert len({output for _, output in pairs}) == len(pairs)
    assert all(wanted[pair] for pair in pairs)
    free = [
        (i, output)
        for i in range(4)
        for output in range(4)
        if matched[i] < 0 and output not in matched
    ]
    assert not any(wanted[pair] for pair in free)


def test_only_the_first_round_moves_pointers():
    """McKeown 1999: input 1 and output 1 find each other in the second round, and stay at 0."""
    memory, matched = np.zeros(6, np.int64), np.full(3, -1)
    wanted = np.array([[1, 1, 0], [0, 1, 0], [0, 0, 0]])
    match_in_turn(wanted, np.array([2]), memory, matched)
    assert matched.tolist() == [0, 1, -1]
    assert memory.tolist() == [1, 0, 0, 1, 0, 0]


@unhurried
@given(st.integers(1, 2147483562), st.integers(1, 2147483398))
def test_the_generator_is_that_of_lecuyer_1988(first, second):
    """Two multiplicative generators: after n steps the state is seed * factor**n mod modulus."""
    memory = np.array([first, second])
    draws = [draw(10**6, memory) for _ in range(50)]
    states = (
        pow(40014, 50, 2147483563) * first % 2147483563,
        (pow(40692, 50, 2147483399) * second % 2147483399),
    )
    assert tuple(memory) == states
    assert draws[-1] == (states[0] - states[1]) % 2147483562 % 10**6


def test_draws_are_even():
    """Pearson's statistic of 20,000 draws out of 16: 99.99 % lie between 2.5 and 44 (table)."""
    memory = np.array([12345, 67890])
    counts = np.bincount([draw(16, memory) for _ in range(20_000)], minlength=16)
    assert 2.5 < ((counts - 1250) ** 2 / 1250).sum() < 44


def to_nowhere(requests, settings, memory, matched):
    """Match an input that has nothing to send."""
    matched[0] = 2


def two_to_one(requests, settings, memory, matched):
    """Match two inputs to one output."""
    matched[0] = matched[1] = 0


@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (to_nowhere, "sends from an input that has no cell to send"),
        (two_to_one, "sends two cells to one output at a time"),
    ],
)
def test_a_matching_that_cannot_be_is_refused(rule, message, compiled):
    with pytest.raises(ValueError, match=message):
        simulate_switch([[0, 0, 1]], Waiting.VIRTUAL, Matching(rule), compiled=compiled)


def greedy(requests, settings, memory, matched):
    """Match input 0 to every output it wants, but cross out what the others want before."""
    requests[1:, :] = 0
    for output in range(len(matched)):
        if requests[0, output] > 0:
            matched[0] = output


def test_a_matching_may_write_into_the_requests_that_it_is_shown():
    run = simulate_switch([[0, 0, 1], [-1, -1, -1]], Waiting.VIRTUAL, Matching(greedy))
    assert run.left_slot.tolist() == [[0, -1, -1], [-1, -1, -1]]
    assert run.books[-1].tolist() == [3, 1, 2, 0]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: simulate_switch([[0.5]], Waiting.INPUT), "must be a table of whole numbers"),
        (lambda: simulate_switch([0, 1], Waiting.INPUT), "must be a table of whole numbers"),
        (lambda: simulate_switch([[0, 2]], Waiting.INPUT), "must hold outputs 0 to 1, or -1"),
        (lambda: simulate_switch([[0, -2]], Waiting.INPUT), "must hold outputs 0 to 1, or -1"),
        (
            lambda: simulate_switch([[0, 1]], Waiting.INPUT, round_robin_matching(3)),
            "this matching is for 3 ports, not 2",
        ),
        (lambda: simulate_switch([[0]], Waiting.INPUT, speed_up=0), "speed_up must be 1 or more"),
        (lambda: uniform(2, 1.5, 5, 0), "load must lie between 0 and 1, not 1.5"),
        (lambda: uniform(2, 0.5, 0, 0), "slots must be 1 or more"),
        (lambda: random_matching(0), "rounds must be 1 or more"),
        (lambda: round_robin_matching(0), "ports must be 1 or more"),
        (lambda: measure_switch(simulate_switch([[0]], Waiting.INPUT), 1), "must be 0 to 0, not 1"),
    ],
)
def test_switches_that_cannot_be_are_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()
