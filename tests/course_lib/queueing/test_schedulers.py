"""Whose turn it is: priority, and the bounds of deficit round robin (Shreedhar & Varghese 1995)."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.queueing.one_queue import simulate
from course_lib.queueing.packets import merged, trace
from course_lib.queueing.schedulers import (
    FIRST_COME,
    Heads,
    Scheduler,
    deficit_round_robin,
    next_with_credit,
    strict_priority,
)

unhurried = settings(deadline=None)  # plain loops on a busy machine

LARGEST = 1500


def order_of(packets, scheduler, link=8.0):
    """Return the packets' numbers in the order in which they were sent."""
    return np.argsort(simulate(packets, link, scheduler=scheduler, compiled=False).began_s)


def backlogged(*sizes):
    """Return flows that are all there at the start, behind one octet of flow 0."""
    flows = [trace(np.zeros(len(octets)), octets, flow) for flow, octets in enumerate(sizes)]
    return merged(trace([0.0], 1, flow=0), *flows)


def sent_by_flow(packets, order):
    """Return, for each flow, the octets that it has sent after each of the packets but the first.

    Cut off when the first flow runs out: from then on it is not backlogged.
    """
    flows = packets.flow[order][1:]
    octets = packets.octets[order][1:]
    last_turns = [np.flatnonzero(flows == flow)[-1] for flow in np.unique(flows)]
    table = np.where(flows[:, None] == np.unique(flows), octets[:, None], 0)
    return np.cumsum(table[: min(last_turns) + 1], axis=0)


sizes = st.lists(st.integers(40, LARGEST), min_size=20, max_size=40)


def test_priority_sends_the_more_urgent_first_but_never_interrupts():
    packets = trace([0, 0, 0.5, 0.5, 0.6], 1.0, flow=[2, 1, 0, 2, 0])
    assert order_of(packets, strict_priority(3)).tolist() == [0, 2, 4, 1, 3]
    assert order_of(packets, FIRST_COME).tolist() == [0, 1, 2, 3, 4]


def test_the_least_urgent_may_starve():
    urgent, other = trace(0.9 * np.arange(50), 1.0, flow=0), trace([0.0], 1.0, flow=1)
    assert order_of(merged(urgent, other), strict_priority(2))[-1] == 1


@unhurried
@given(st.lists(sizes, min_size=2, max_size=4), st.integers(LARGEST, 4000))
def test_no_flow_gets_ahead_of_another_by_more_than_the_bound(flows, quantum):
    """Over any interval in which all are backlogged: two largest packets and a quantum."""
    packets = backlogged(*flows)
    order = order_of(packets, deficit_round_robin([quantum] * len(flows)))
    sent = sent_by_flow(packets, order)
    for one, other in itertools.combinations(sent.T, 2):
        ahead = np.concatenate([[0], one - other])
        assert ahead.max() - ahead.min() <= 2 * LARGEST + quantum


@unhurried
@given(
    st.lists(sizes, min_size=2, max_size=3),
    st.lists(st.integers(LARGEST, 4000), min_size=3, max_size=3),
)
def test_after_m_visits_a_flow_has_sent_m_quanta_but_for_one_packet(flows, quanta):
    """Each visit sends something, so a visit is a run of packets of one flow."""
    packets = backlogged(*flows)
    order = order_of(packets, deficit_round_robin(quanta[: len(flows)]))[1:]
    last = min(np.flatnonzero(packets.flow[order] == flow)[-1] for flow in range(len(flows)))
    visits, sent = [0] * len(flows), [0.0] * len(flows)
    for flow, numbers in itertools.groupby(order[:last], key=lambda n: int(packets.flow[n])):
        visits[flow] += 1
        sent[flow] += packets.octets[list(numbers)].sum()
    # The run in which the cut lies may not be over.
    cut = int(packets.flow[order[last]])
    for flow in set(range(len(flows))) - {cut}:
        assert 0 <= visits[flow] * quanta[flow] - sent[flow] < LARGEST


@unhurried
@given(st.lists(st.integers(1, LARGEST), min_size=1, max_size=30), st.integers(10, 3000))
def test_credit_never_reaches_the_largest_packet(octets, quantum):
    """0 <= deficit < largest for every queue whose turn it is not, however small the quantum."""
    memory, lengths = np.zeros(4), np.array([len(octets), len(octets)])
    settings = np.full(2, float(quantum))
    at = [0, 0]
    while lengths.any():
        sizes = np.array([float(octets[min(i, len(octets) - 1)]) for i in at])
        queue = next_with_credit(Heads(lengths, sizes, np.zeros(2)), settings, memory)
        at[queue] += 1
        lengths[queue] -= 1
        deficits = memory[2:]
        assert (deficits >= 0).all()
        assert deficits[1 - int(memory[0])] < LARGEST


def test_octets_are_shared_and_not_packets():
    """1500 against 500 octets: as many octets, three times as many packets."""
    packets = backlogged([1500] * 60, [500] * 200)
    order = order_of(packets, deficit_round_robin([1500, 1500]))[1:121]
    flows = packets.flow[order]
    assert (flows == 1).sum() == 3 * (flows == 0).sum()


def test_quanta_are_weights():
    packets = backlogged([1000] * 90, [1000] * 90)
    order = order_of(packets, deficit_round_robin([6000, 2000]))[1:81]
    assert (packets.flow[order] == 0).sum() == 60


def test_what_a_queue_has_left_lapses_when_it_runs_empty():
    """Of 1500 only 100 were used; after the pause the flow may not send 1400 + 1500 at once.

    That would be four packets of 600. It sends two, and with the 300 that it keeps now, then three.
    """
    early = trace([0.0], 100, flow=0)
    later = merged(trace([5000] * 5, [600] * 5, flow=0), trace([4999] * 9, [600] * 9, flow=1))
    packets = merged(early, later)
    flows = packets.flow[order_of(packets, deficit_round_robin([1500, 1500]))]
    assert flows.tolist()[:9] == [0, 1, 0, 0, 1, 1, 0, 0, 0]


def test_an_idle_flow_takes_nothing_from_the_others():
    packets = trace(np.zeros(30), 500, flow=1)
    run = simulate(packets, 8.0, scheduler=deficit_round_robin([1500, 500, 1500]), compiled=False)
    assert (np.diff(run.left_s) == 500).all()


@pytest.mark.parametrize("quantum", [1, 7, 100])
def test_a_quantum_smaller_than_a_packet_needs_more_rounds_and_stays_fair(quantum):
    packets = backlogged([1500] * 20, [500] * 60)
    flows = packets.flow[order_of(packets, deficit_round_robin([quantum] * 2))][1:61]
    assert (flows == 1).sum() == pytest.approx(3 * (flows == 0).sum(), abs=3)


def test_a_scheduler_of_ones_own_sees_when_heads_came():
    """First come, first served across separate queues."""

    def oldest(heads, settings, memory):
        best = -1
        for queue in range(len(heads.waiting)):
            if heads.waiting[queue] and (best < 0 or heads.came_s[queue] < heads.came_s[best]):
                best = queue
        return best

    random = np.random.default_rng(0)
    packets = trace(np.cumsum(random.random(300)), 0.6, random.integers(0, 3, 300))
    own = Scheduler(oldest, queues=3)
    assert order_of(packets, own).tolist() == list(range(300))
    fast = simulate(packets, 8.0, scheduler=own, compiled=True)
    assert np.argsort(fast.began_s).tolist() == list(range(300))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: strict_priority(0), "queues must be 1 or more"),
        (lambda: deficit_round_robin([]), "the number of quanta must be 1 or more"),
        (lambda: deficit_round_robin([1500, 0]), "quanta_octets must be 1 or more, not 0"),
        (lambda: deficit_round_robin([float("nan")]), "quanta_octets must be a finite number"),
    ],
)
def test_schedulers_that_cannot_be_are_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()
