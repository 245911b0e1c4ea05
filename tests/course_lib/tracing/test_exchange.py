"""What is told of an exchange is what the network did, and what the places know after it."""

import pytest

from course_lib.ferry.one_crossing import ERRANDS, HOST, NEXT_HOP, PLACES, ROUTER, crossing
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.ip.neighbours import BROADCAST
from course_lib.network.records import What
from course_lib.tracing.exchange import follow_exchange

RUN_S = 15.0
SCREEN = PLACES[-1]


def follow(errand, *lost):
    return follow_exchange(
        crossing(ERRANDS[errand]), RUN_S, [(NEXT_HOP, number) for number in lost]
    )


def notes(moments):
    return [note for moment in moments for note in moment.notes]


def ways(moments):
    return [(one.travel.origin, one.travel.target) for one in moments if one.travel]


@pytest.mark.parametrize("errand", ERRANDS)
def test_every_frame_of_the_network_is_told_once_with_its_octets(errand):
    network = crossing(ERRANDS[errand])
    moments = follow_exchange(network, RUN_S)
    arrived = [(r.time_s, r.place, r.frame) for r in network.records if r.what is What.DELIVERED]
    told = [(m.time_s, m.travel.target, m.travel.octets) for m in moments if m.travel]
    assert told == arrived
    assert {one.sent - one.delivered for one in network.traffic().values()} == {0}


def test_on_the_way_back_nobody_is_asked():
    """RFC 826, "Packet Reception": a question teaches as much as an answer."""
    moments = follow("one echo")
    kinds = [EthernetHeader.parse(one.travel.octets).ether_type for one in moments]
    assert kinds == [0x0806, 0x0806, 0x0800] * 3 + [0x0800] * 3
    assert notes(moments) == [(HOST, "has its answer")]


@pytest.mark.parametrize("errand", ERRANDS)
def test_who_got_a_question_knows_the_asker_after_it(errand):
    for moment in follow(errand):
        if moment.travel and EthernetHeader.parse(moment.travel.octets).destination == BROADCAST:
            packet = ARPPacket.parse(moment.travel.octets[14:])
            pair = (packet.sender_protocol_address, packet.sender_hardware_address)
            assert pair in moment.knowledge[moment.travel.target].known or errand.endswith("nobody")


def test_of_four_packets_three_wait_and_the_oldest_has_made_room():
    moments = follow("four datagrams at once")
    waiting = [moment.knowledge[ROUTER].waiting for moment in moments]
    assert max(map(len, waiting)) == 3
    assert notes(moments)[0] == (ROUTER, "drops 1: displaced while waiting for a neighbour")
    assert notes(moments)[1:] == [(SCREEN, "takes it in")] * 3


@pytest.mark.parametrize("lost", range(3))
def test_each_lost_answer_costs_a_second_and_the_third_the_packet(lost):
    """RFC 1122, section 2.3.2.1."""
    moments = follow("one echo", *range(1, lost + 1))
    assert sum(not one.travel.arrives for one in moments) == lost
    assert moments[-1].time_s == pytest.approx(lost, abs=0.01)
    assert notes(moments) == [(HOST, "has its answer")]


def test_without_an_answer_the_sender_is_told_by_the_router():
    moments = follow("one echo", 1, 2, 3)
    assert notes(moments) == [
        (ROUTER, "drops 1: no answer from the next hop"),
        (HOST, "is told: unreachable"),
    ]
    assert ways(moments)[-1] == (ROUTER, HOST)
    assert moments[-1].knowledge[ROUTER].waiting == ()


def test_a_lost_answer_is_on_no_wire_any_more_and_the_wire_works_again():
    network = crossing(ERRANDS["one echo"])
    follow_exchange(network, RUN_S, [(NEXT_HOP, 1)])
    books = network.traffic()["North Pier - Plover", NEXT_HOP]
    assert (books.lost, books.in_flight) == (1, 0)
    assert books.delivered == books.sent - 1


@pytest.mark.parametrize(
    ("errand", "origin"), [("an echo, time to live 2", NEXT_HOP), ("an echo to nobody", NEXT_HOP)]
)
def test_who_cannot_go_on_says_so(errand, origin):
    *_, before, last = follow(errand)
    assert (before.travel.origin, before.travel.target) == (origin, ROUTER)
    assert last.notes[0][0] == HOST
