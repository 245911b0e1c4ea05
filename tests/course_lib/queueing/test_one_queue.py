"""What the loop of one queue promises: nothing lost from the books, order kept, runs repeatable."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.queueing.drop_policies import (
    TAIL_DROP,
    DropPolicy,
    controlled_delay,
    keep,
    random_early,
)
from course_lib.queueing.one_queue import FATES, Buffer, simulate
from course_lib.queueing.packets import Packets, trace
from course_lib.queueing.schedulers import (
    FIRST_COME,
    Scheduler,
    deficit_round_robin,
    strict_priority,
)
from course_lib.queueing.token_buckets import policing

unhurried = settings(deadline=None)  # plain loops on a busy machine

DROPS = {
    "tail drop": TAIL_DROP,
    "early": random_early(1, 4, 1.0, weight=0.3, top_chance=0.5),
    "delay": controlled_delay(0.5, 2.0, largest_octets=1),
    "policing": policing(0.9, 4),
}
SCHEDULERS = {
    "first come": FIRST_COME,
    "priority": strict_priority(3),
    "round robin": deficit_round_robin([3, 5, 4]),
}
SECOND = 8.0  # bit/s at which a packet takes as many seconds as it has octets


@st.composite
def traffic(draw):
    """Draw a few packets of three flows, often at the same time or when another leaves."""
    gaps = draw(st.lists(st.sampled_from([0, 0, 0.5, 1, 2, 7]), min_size=1, max_size=60))
    sizes = st.lists(st.integers(1, 4), min_size=len(gaps), max_size=len(gaps))
    flows = st.lists(st.integers(0, 2), min_size=len(gaps), max_size=len(gaps))
    return trace(np.cumsum(gaps), draw(sizes), draw(flows))


runs = st.builds(
    simulate,
    traffic(),
    st.just(SECOND),
    buffer=st.sampled_from([Buffer(), Buffer(1), Buffer(3), Buffer(octets=6)]),
    drop=st.sampled_from(list(DROPS.values())),
    scheduler=st.sampled_from(list(SCHEDULERS.values())),
    seed=st.integers(0, 3),
    books=st.just(True),
    compiled=st.just(False),
)


def test_six_packets_traced_by_hand():
    """1000 octets take a second; there is room for two packets. See the comments."""
    came_s = [0.0, 0.5, 0.6, 1.0, 5.0, 5.0]
    packets = trace(came_s, [1000, 500, 1000, 1000, 1000, 250])
    run = simulate(packets, 8000, buffer=Buffer(2), books=True, compiled=False)
    # The third finds two. The fourth comes just when the first leaves, and gets its room.
    assert [FATES[fate] for fate in run.fate] == ["sent"] * 2 + ["no room"] + ["sent"] * 3
    assert run.began_s.tolist() == pytest.approx([0, 1, np.nan, 1.5, 5, 6], nan_ok=True)
    assert run.left_s.tolist() == [1, 1.5, 0.6, 2.5, 6, 6.25]
    books = [f"{at_s:g}: {row.tolist()}" for at_s, row in zip(*run.ledger, strict=True)]
    assert books == [  # came, left, dropped, waiting, being sent
        "0: [1, 0, 0, 0, 1]",
        "0.5: [2, 0, 0, 1, 1]",
        "0.6: [3, 0, 1, 1, 1]",
        "1: [3, 1, 1, 0, 1]",
        "1: [4, 1, 1, 1, 1]",
        "1.5: [4, 2, 1, 0, 1]",
        "2.5: [4, 3, 1, 0, 0]",
        "5: [5, 3, 1, 0, 1]",
        "5: [6, 3, 1, 1, 1]",
        "6: [6, 4, 1, 0, 1]",
        "6.25: [6, 5, 1, 0, 0]",
    ]


@unhurried
@given(runs)
def test_the_books_balance_after_every_event(run):
    came, left, dropped, waiting, sending = run.ledger.counts.T
    assert (came == left + dropped + waiting + sending).all()
    assert (np.diff(run.ledger.at_s) >= 0).all()
    assert run.ledger.counts[-1].tolist() == [len(run.fate), *run.ledger.counts[-1, 1:3], 0, 0]


@unhurried
@given(runs)
def test_the_books_say_what_became_of_the_packets(run):
    sent = run.fate == FATES.index("sent")
    assert run.ledger.counts[-1, 1] == sent.sum()
    assert run.ledger.counts[-1, 2] == (~sent).sum()
    assert set(run.fate) <= set(range(len(FATES)))


@unhurried
@given(runs)
def test_packets_of_a_flow_leave_in_the_order_in_which_they_came(run):
    sent = run.fate == FATES.index("sent")
    for flow in range(3):
        assert (np.diff(run.began_s[sent & (run.packets.flow == flow)]) > 0).all()


@unhurried
@given(runs)
def test_the_link_sends_one_packet_at_a_time_and_is_never_idle_while_one_waits(run):
    sent = np.flatnonzero(run.fate == FATES.index("sent"))
    order = sent[np.argsort(run.began_s[sent])]
    assert (run.left_s[order] == run.began_s[order] + run.packets.octets[order]).all()
    for before, after in itertools.pairwise(order):
        came_or_free = max(run.packets.came_s[after], run.left_s[before])
        assert run.began_s[after] >= came_or_free
    idle = run.ledger.counts[:, 4] == 0
    assert (run.ledger.counts[idle, 3] == 0).all()


def left_by_looking_through(packets, buffer):
    """Return when each packet leaves, or None, from a list of those that are still inside."""
    left, inside, free_s = [], [], 0.0
    for came_s, octets in zip(packets.came_s, packets.octets, strict=True):
        inside = [(end_s, size) for end_s, size in inside if end_s > came_s]
        held = sum(size for _, size in inside) + octets
        if len(inside) == buffer.packets or held > buffer.octets:
            left.append(None)
        else:
            free_s = max(free_s, came_s) + octets
            inside.append((free_s, octets))
            left.append(free_s)
    return left


@unhurried
@given(traffic(), st.sampled_from([Buffer(1), Buffer(3), Buffer(octets=6), Buffer(2, 5)]))
def test_tail_drop_refuses_exactly_what_does_not_fit(packets, buffer):
    run = simulate(packets, SECOND, buffer=buffer, compiled=False)
    sent = run.fate == FATES.index("sent")
    left = [end_s if was_sent else None for end_s, was_sent in zip(run.left_s, sent, strict=True)]
    assert left == left_by_looking_through(packets, buffer)


def test_lindleys_recursion_gives_the_same_waits():
    """W' = max(0, W + service - gap) (D. V. Lindley, 1952), written with NumPy alone."""
    random = np.random.default_rng(1)
    came_s, octets = np.cumsum(random.exponential(1, 5000)), random.exponential(0.9, 5000)
    steps = octets[:-1] - np.diff(came_s)
    walk = np.concatenate([[0.0], np.cumsum(steps)])
    waits = walk - np.minimum.accumulate(walk)
    run = simulate(trace(came_s, octets), SECOND)
    assert run.began_s - came_s == pytest.approx(waits, abs=1e-9)


def same(one, other):
    """Return True if two runs agree in every bit."""
    pairs = zip((*one[2:5], *one.ledger), (*other[2:5], *other.ledger), strict=True)
    return all(a.tobytes() == b.tobytes() for a, b in pairs)


@pytest.mark.parametrize("scheduler", SCHEDULERS.values(), ids=SCHEDULERS)
@pytest.mark.parametrize("drop", DROPS.values(), ids=DROPS)
def test_compiled_and_plain_runs_agree_to_the_last_bit(drop, scheduler):
    random = np.random.default_rng(5)
    octets = random.exponential(1.3, 1500)  # an overload, so that every rule has work to do
    packets = trace(np.cumsum(random.exponential(1, 1500)), octets, random.integers(0, 3, 1500))
    plain, fast = (
        simulate(
            packets, SECOND, buffer=Buffer(30), drop=drop, scheduler=scheduler, seed=7, books=True,
            compiled=compiled,
        )
        for compiled in (False, True)
    )  # fmt: skip
    assert same(plain, fast)
    assert (plain.fate != 0).any()


def test_the_same_seed_gives_the_same_run_and_another_one_another():
    packets = trace(np.arange(500), np.full(500, 1.2))
    one, again, other = (
        simulate(packets, SECOND, drop=DROPS["early"], seed=seed, compiled=False)
        for seed in (1, 1, 2)
    )
    assert same(one, again)
    assert not same(one, other)


def test_packets_put_together_by_hand_are_checked_as_well():
    with pytest.raises(ValueError, match=r"came_s\[1\] is 1.0: it lies before"):
        simulate(Packets(np.array([2.0, 1.0]), np.ones(2), np.zeros(2, int)), SECOND)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"link_bits_per_s": 0}, "link_bits_per_s must be above 0"),
        ({"link_bits_per_s": -1}, "link_bits_per_s must be above 0, not -1"),
        ({"link_bits_per_s": float("nan")}, "link_bits_per_s must be a finite number, not nan"),
        ({"buffer": Buffer(0)}, "buffer.packets must be 1 or more, not 0"),
        ({"buffer": Buffer(2.5)}, "buffer.packets must be a whole number"),
        ({"buffer": Buffer(octets=0)}, "buffer.octets must be above 0"),
        ({"scheduler": strict_priority(2)}, "flow 4 has no queue: the scheduler has 2"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changes, message):
    arguments = {"link_bits_per_s": SECOND, "compiled": False, **changes}
    with pytest.raises(ValueError, match=message):
        simulate(trace([0.0], 1.0, flow=4), **arguments)


def test_a_scheduler_cannot_forge_what_waits():
    def forge(heads, settings, memory):
        heads.waiting[2] = 9
        return 2

    forged = Scheduler(forge, queues=3)
    with pytest.raises(ValueError, match="chose a queue in which no packet waits"):
        simulate(trace([0.0], 1.0, flow=1), SECOND, scheduler=forged)


@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize("answer", [-1, 0, 5])
def test_a_scheduler_may_only_choose_a_queue_in_which_something_waits(answer, compiled):
    wrong = Scheduler(lambda heads, settings, memory: answer, queues=3)
    with pytest.raises(ValueError, match="chose a queue in which no packet waits"):
        simulate(trace([0.0], 1.0, flow=1), SECOND, scheduler=wrong, compiled=compiled)


def test_a_rule_is_asked_about_packets_that_find_no_room_too():
    """So that an average, or a count, follows all that comes."""

    def count(view, settings, memory):
        memory[0] += 1
        return memory[0] == 3  # the third: it would not have fitted anyway

    policy = DropPolicy(count, keep, memory=(0.0,))
    run = simulate(trace([0, 0, 0, 0], 1.0), SECOND, buffer=Buffer(1), drop=policy, compiled=False)
    fates = [FATES[fate] for fate in run.fate]
    assert fates == ["sent", "no room", "dropped on arrival", "no room"]


def test_a_buffer_emptied_by_drops_is_idle_from_then_on():
    idle_s = []

    def note(view, settings, memory):
        idle_s.append(view.idle_s)
        return False

    policy = DropPolicy(note, lambda view, settings, memory: True)
    simulate(trace([1.0, 3.0], 1.0), SECOND, drop=policy, compiled=False)
    assert idle_s == [1, 2]


def test_what_a_rule_is_told():
    """Two packets wait behind a third; then the link is idle for two seconds."""
    seen = []

    def note(view, settings, memory):
        seen.append((view.now_s, view.octets, view.waited_s, *view[3:6]))
        return False

    packets = trace([0, 0.5, 0.5, 6.0], [1, 2, 1, 1])
    simulate(packets, SECOND, drop=DropPolicy(note, keep), compiled=False)
    assert seen == [  # now, octets, waited, others, their octets, idle
        (0.0, 1, 0, 0, 0, 0),
        (0.5, 2, 0, 1, 1, 0),
        (0.5, 1, 0, 2, 3, 0),
        (6.0, 1, 0, 0, 0, 2),
    ]
    seen.clear()
    simulate(packets, SECOND, drop=DropPolicy(keep, note), compiled=False)
    assert seen == [
        (0, 1, 0, 0, 0, 0),
        (1, 2, 0.5, 1, 1, 0),
        (3, 1, 2.5, 0, 0, 0),
        (6, 1, 0, 0, 0, 0),
    ]
