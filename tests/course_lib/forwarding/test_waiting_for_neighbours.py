"""Packets for a neighbour whose hardware address is not known yet (RFC 1122, section 2.3.2)."""

import math

import pytest

from course_lib.headers.errors import Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from networks.forwarding_scene import (
    ISLAND,
    OFFICE,
    PLOVER,
    PLOVER_MAC,
    SEA,
    Router,
    address,
    arp_frame,
    datagram,
    error,
    give,
    interfaces,
    learn,
    north_pier,
    prefix,
    seen,
    station,
)

STRANGER, STRANGER_MAC = address("198.51.100.77"), station(0x77)


@pytest.fixture
def router():
    """Knows the ticket office, and nobody on the sea."""
    router = Router("North Pier", interfaces())
    router.add_route(prefix("203.0.113.0/24"), PLOVER, "sea")
    learn(router, "harbour", station(7), OFFICE)
    return router


def asked_for(outgoing):
    ethernet = EthernetHeader.parse(outgoing.frame)
    assert ethernet.ether_type == 0x0806
    return outgoing.interface, ARPPacket.parse(ethernet.payload(outgoing.frame))


def answer(router, now_s, mac=PLOVER_MAC, sender=PLOVER):
    reply = ARPPacket(2, mac, sender, SEA, router.interfaces["sea"].address)
    return router.receive(now_s, "sea", arp_frame(SEA, mac, reply))


def test_the_router_asks_for_the_next_hop_and_not_for_the_destination(router):
    (question,) = give(router, datagram())
    interface, packet = asked_for(question)
    assert (interface, packet.target_protocol_address) == ("sea", PLOVER)


def test_on_the_last_link_it_asks_for_the_destination(router):
    (question,) = give(router, datagram(destination=STRANGER))
    assert asked_for(question)[1].target_protocol_address == STRANGER


def test_packets_wait_and_then_go_in_their_order(router):
    for word in (b"one", b"two", b"three"):
        give(router, datagram(word))
    assert router.waiting() == 3
    assert [seen(each).payload for each in answer(router, 0.5)] == [b"one", b"two", b"three"]
    assert (router.waiting(), router.next_tick_s()) == (0, math.inf)


def test_a_packet_that_waited_goes_on_at_the_time_of_the_answer(router):
    times, send = [], router.stages[-1]
    router.stages[-1] = lambda packet: times.append(packet.now_s) or send(packet)
    give(router, datagram(), now_s=1.0)
    answer(router, 1.5)
    assert times == [1.0, 1.5]


def test_a_waiting_packet_is_rewritten_once(router):
    give(router, datagram(time_to_live=9))
    (outgoing,) = answer(router, 0.5)
    assert seen(outgoing).header.time_to_live == 8


def test_of_too_many_the_latest_stay(router):
    for number in range(10):
        give(router, datagram(bytes([number])))
    assert [seen(each).payload[0] for each in answer(router, 0.5)] == [7, 8, 9]
    assert router.counters.dropped == {Reason.WAITING_TOO_MANY: 7}


def test_each_neighbour_has_its_own_queue(router):
    give(router, datagram(b"island"))
    give(router, datagram(b"stranger", destination=STRANGER))
    assert [seen(each).payload for each in answer(router, 0.5)] == [b"island"]
    assert router.waiting() == 1


def test_nobody_answers_so_the_host_is_unreachable(router):
    """RFC 1812, sections 3.3.2 and 5.2.7.1: code 1, but not before the requests have failed."""
    data = datagram(b"cargo")
    give(router, data)
    assert [len(router.tick(now_s)) for now_s in (0.9, 1.0, 2.0, 2.9)] == [0, 1, 1, 0]
    (outgoing,) = router.tick(3.0)
    header, icmp, quoted = error(outgoing)
    assert (icmp.type, icmp.code, header.destination, quoted) == (3, 1, OFFICE, data)
    assert router.counters.dropped == {Reason.HOST_UNREACHABLE: 1}


def test_a_router_asks_again_after_it_has_given_up(router):
    give(router, datagram())
    for now_s in (1.0, 2.0, 3.0):
        router.tick(now_s)
    assert asked_for(give(router, datagram(), now_s=3.0)[0])[1].target_protocol_address == PLOVER


def test_an_error_also_waits_for_its_neighbour():
    router = Router("North Pier", interfaces())
    (question,) = give(router, datagram())  # to which there is no route
    assert asked_for(question)[1].target_protocol_address == OFFICE
    (outgoing,) = learn(router, "harbour", station(7), OFFICE)[1:]
    assert error(outgoing).icmp.type == 3


def test_no_error_about_an_error_that_waited_in_vain():
    router = Router("North Pier", interfaces())
    give(router, datagram(time_to_live=1))
    assert [len(router.tick(now_s)) for now_s in (1.0, 2.0, 3.0)] == [1, 1, 0]
    assert dict(router.counters.errors_withheld) == {"it is our own": 1}


def test_the_router_answers_who_asks_for_it(router):
    (answered,) = learn(router, "sea", STRANGER_MAC, STRANGER)
    interface, packet = asked_for(answered)
    assert (interface, packet[:3]) == ("sea", (2, SEA, router.interfaces["sea"].address))


def test_the_router_does_not_answer_for_others(router):
    """Nor for its own address on another link."""
    for target in (ISLAND, OFFICE):
        question = ARPPacket(1, STRANGER_MAC, STRANGER, bytes(6), target)
        assert router.receive(0.0, "sea", arp_frame(b"\xff" * 6, STRANGER_MAC, question)) == []


def test_what_is_learnt_on_one_link_is_not_used_on_another():
    router = north_pier()
    assert router.neighbours["harbour"].find(0.0, PLOVER) is None
    assert router.neighbours["sea"].find(0.0, PLOVER) == PLOVER_MAC
