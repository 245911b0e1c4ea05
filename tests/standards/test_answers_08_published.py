"""The right answers of unit 08 keep what is published of queues, meters and schedulers.

All of them are tried, those written in other ways as well. Laws are put to random runs.
"""

from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instructor.units.items import item

RIGHT = {
    number: [
        pytest.param(one, id=one.__name__) for one in (item(number).answer, *item(number).others)
    ]
    for number in ("8.1", "8.2", "8.3", "8.4")
}
MODEL = {number: item(number).answer for number in RIGHT}
LARGEST = 1500  # octets
SIZES = st.lists(st.integers(1, LARGEST), min_size=1, max_size=12)
PACKETS = st.lists(st.tuples(st.integers(0, 9), st.integers(1, 9)), min_size=1, max_size=20)
METERED = st.lists(st.tuples(st.integers(0, 900), st.integers(1, LARGEST)), max_size=25)


def moments(gaps):
    """Return times out of the gaps between them."""
    return [sum(gaps[: place + 1]) for place in range(len(gaps))]


@pytest.mark.parametrize("means", RIGHT["8.2"])
@given(packets=PACKETS, room=st.integers(1, 5), idle=st.integers(1, 9))
def test_number_is_rate_times_time_from_empty_to_empty(means, packets, room, idle):
    """J. D. C. Little, Operations Research 9 (1961), 383-387; exact on such a run."""
    came, takes = moments([gap for gap, _ in packets]), [takes for _, takes in packets]
    waits = MODEL["8.1"](came, takes, room)
    left = [
        None if wait is None else one + wait + long
        for one, wait, long in zip(came, waits, takes, strict=True)
    ]
    end = max(one for one in left if one is not None) + idle
    number, rate, time = means(came, left, 0, end)
    assert number == pytest.approx(rate * time, rel=1e-12)


@pytest.mark.parametrize("waits", RIGHT["8.1"])
@given(packets=PACKETS)
def test_without_a_limit_waits_follow_the_recursion(waits, packets):
    """D. V. Lindley, Proc. Cambridge Philosophical Society 48 (1952); cited from memory."""
    came, takes = moments([gap for gap, _ in packets]), [takes for _, takes in packets]
    got = waits(came, takes, len(came))
    assert got[0] == 0
    for place in range(1, len(came)):
        gap = came[place] - came[place - 1]
        assert got[place] == max(0, got[place - 1] + takes[place - 1] - gap)


@pytest.mark.parametrize("new_meter", RIGHT["8.3"])
def test_colours_and_tokens_by_the_rules_of_rfc_2698(new_meter):
    """RFC 2698, section 3 (rules), worked out by hand: 2000 and 1000 octets/s, 4000 and 2000."""
    meter = new_meter(16, 4000, 8, 2000)
    seen = [
        (meter.colour(now_ms, 1500), *meter.tokens(now_ms))
        for now_ms in (0, 0, 0, 0, 1000, 2000, 4000)
    ]
    assert seen == [
        ("green", 2500, 500),
        ("yellow", 1000, 500),
        ("red", 1000, 500),
        ("red", 1000, 500),
        ("green", 1500, 0),
        ("yellow", 2000, 1000),
        ("green", 2500, 500),
    ]


@pytest.mark.parametrize("new_meter", RIGHT["8.3"])
@given(packets=METERED)
def test_no_window_lets_more_pass_than_depth_and_rate(new_meter, packets):
    """In t ms pass at most depth + rate x t octets; RFC 2698, section 3, has no more tokens."""
    meter = new_meter(16, 3000, 8, 2000)
    times = moments([gap for gap, _ in packets])
    passed = [
        (now, octets, meter.colour(now, octets))
        for now, (_, octets) in zip(times, packets, strict=True)
    ]
    for colours, depth, rate in ((("green",), 2000, 1), (("green", "yellow"), 3000, 2)):
        chosen = [(now, octets) for now, octets, colour in passed if colour in colours]
        for first, (start, _) in enumerate(chosen):
            octets = 0
            for now, size in chosen[first:]:
                octets += size
                assert octets <= depth + rate * (now - start)


def sent_of(scheduler, queues):
    """Let all packets join, and send until one queue is empty."""
    for number, sizes in enumerate(queues):
        for octets in sizes:
            scheduler.join(number, octets)
    left = [len(sizes) for sizes in queues]
    sent = []
    while min(left) > 0:
        sent.append(scheduler.send())
        left[sent[-1][0]] -= 1
    return sent


@pytest.mark.parametrize("new_round_robin", RIGHT["8.4"])
@given(queues=st.lists(SIZES, min_size=2, max_size=4), quantum=st.integers(LARGEST, 3000))
def test_no_interval_is_unfair_by_more_than_a_quantum_and_two_packets(
    new_round_robin, queues, quantum
):
    """M. Shreedhar, G. Varghese, SIGCOMM 1995: at most quantum + 2 x largest; from memory."""
    sent = sent_of(new_round_robin([quantum] * len(queues)), queues)
    for one in range(len(queues)):
        for other in range(one):
            ahead = [0]
            for queue, octets in sent:
                ahead.append(ahead[-1] + octets * ((queue == one) - (queue == other)))
            assert max(ahead) - min(ahead) <= quantum + 2 * LARGEST


@pytest.mark.parametrize("new_round_robin", RIGHT["8.4"])
@given(
    queues=st.lists(SIZES, min_size=2, max_size=4),
    quanta=st.lists(st.integers(LARGEST, 4000), min_size=4, max_size=4),
)
def test_after_each_turn_less_than_a_packet_is_owed(new_round_robin, queues, quanta):
    """The same paper: after m turns m x quantum less what was sent is from 0 to the largest."""
    sent = sent_of(new_round_robin(quanta[: len(queues)]), queues)
    turns = [(queue, sum(octets for _, octets in packets))
             for queue, packets in groupby(sent, key=lambda packet: packet[0])]  # fmt: skip
    owed = [0] * len(queues)
    for queue, octets in turns[:-1]:  # the last one may not be over
        owed[queue] += quanta[queue] - octets
        assert 0 <= owed[queue] < LARGEST


@pytest.mark.parametrize("new_round_robin", RIGHT["8.4"])
@given(
    steps=st.lists(st.none() | st.tuples(st.integers(0, 2), st.integers(1, 900)), max_size=40),
    quanta=st.lists(st.integers(100, 900), min_size=3, max_size=3),
)
def test_all_right_schedulers_send_the_same_and_lose_nothing(new_round_robin, steps, quanta):
    scheduler, model = new_round_robin(quanta), MODEL["8.4"](quanta)
    waiting = []
    for step in [*steps, *[None] * (len(steps) + 1)]:
        if step is not None:
            scheduler.join(*step)
            model.join(*step)
            waiting.append(step)
            continue
        sent = scheduler.send()
        assert sent == model.send()
        assert (sent is None) == (not waiting)
        if sent is not None:
            first = next(packet for packet in waiting if packet[0] == sent[0])
            assert sent == first
            waiting.remove(first)
    assert waiting == []
