"""The queue of an interface with a rate: first in, first out, with an end."""

import math

import pytest

from course_lib.forwarding.queue import Queue
from course_lib.headers.errors import Reason
from networks.forwarding_scene import PLOVER, datagram, give, north_pier, seen

RATE = 8000.0  # bits per second: a frame of 1000 octets takes one second
OCTETS_986 = bytes(1000 - 14 - 20)


@pytest.fixture
def router():
    return north_pier(queue=Queue({"sea": RATE}, limit=2))


def numbers(frames):
    return [seen(each).header.identification for each in frames]


def send(router, number, now_s=0.0):
    return give(router, datagram(OCTETS_986, identification=number), now_s=now_s)


def test_an_idle_interface_sends_at_once(router):
    assert numbers(send(router, 1)) == [1]
    assert numbers(send(router, 2, now_s=1.0)) == [2]


def test_packets_leave_one_after_the_other_at_the_rate_of_the_link(router):
    assert [numbers(send(router, n)) for n in (1, 2, 3)] == [[1], [], []]
    assert (router.next_tick_s(), router.waiting()) == (1.0, 2)
    assert numbers(router.tick(0.99)) == []
    assert [numbers(router.tick(now_s)) for now_s in (1.0, 2.0)] == [[2], [3]]
    assert router.next_tick_s() == math.inf


def test_a_full_queue_drops_the_newest(router):
    for number in range(1, 6):
        send(router, number)
    assert numbers(router.tick(1.0) + router.tick(2.0)) == [2, 3]
    assert router.counters.dropped == {Reason.QUEUE_FULL: 2}


def test_who_comes_to_late_does_not_overtake(router):
    """Nobody ticked; the one that is due goes first all the same."""
    assert numbers(send(router, 1)) == [1]
    send(router, 2)
    assert numbers(send(router, 3, now_s=5.0)) == []
    assert numbers(router.tick(5.0)) == [2, 3]


def test_other_interfaces_do_not_wait(router):
    send(router, 1)
    send(router, 2)
    back = datagram(source=PLOVER, destination=(192 << 24) + (2 << 8) + 7)
    assert len(give(router, back, "sea")) == 1


def test_own_packets_wait_in_the_same_queue(router):
    router = north_pier(queue=Queue({"harbour": RATE}, limit=2))
    assert len(give(router, datagram(time_to_live=1))) == 1
    assert give(router, datagram(time_to_live=1)) == []
    assert router.waiting() == 1
    assert len(router.tick(1.0)) == 1
