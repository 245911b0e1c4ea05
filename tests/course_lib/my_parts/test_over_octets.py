"""A router put together from parts works over octets, in the ferry network and frame by frame."""

import functools

import pytest

from course_lib.ferry.network import ferry_network
from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.my_parts import assembled, my_parts, octet_parts
from course_lib.network.probes import echo_requests, stream
from course_lib.network.records import MISTAKES
from instructor.units.unit_12.router.model import new_router
from instructor.units.unit_12.router.others import OTHERS

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

NAMES = (
    "is_header_intact", "new_table", "lower_time_to_live", "new_cache",
    "new_waiting", "answer_echo", "build_error", "new_reporter",
)  # fmt: skip
HERE = "to Ticket Office"
SENDER = ARRIVALS["plain"].frame[6:12]


@functools.cache
def parts():
    return my_parts(*NAMES)


def put_together(interfaces, routes, make=new_router):
    kit = octet_parts(parts(), interfaces, routes)
    own = {each.name: kit.names_of(each) for each in interfaces}
    return assembled(make(kit, own), kit)


def north_pier_of_parts():
    like = north_pier()
    router = put_together(tuple(like.interfaces.values()), ())
    for prefix, way in like.routes().items():
        router.add_route(prefix, way.next_hop, way.interface)
    return router


@pytest.mark.parametrize("make", [new_router, *OTHERS])
def test_echoes_and_datagrams_cross_the_network_through_a_router_of_parts(make):
    network = ferry_network(
        routers={"North Pier": lambda _name, interfaces: put_together(interfaces, (), make)}
    )
    echoes = echo_requests(network, "Ticket Office", "Plover Bridge Screen", count=3)
    report = stream(
        network, "Ticket Office", "Plover Bridge Screen", count=20, interval_s=0.02, port=5004
    )
    assert all(echo is not None for echo in echoes)
    assert report.received == report.sent == 20
    assert [one for one in network.records if one.what in MISTAKES] == []


def test_an_echo_for_any_address_of_the_router_is_answered():
    network = ferry_network(
        routers={"North Pier": lambda _name, interfaces: put_together(interfaces, ())}
    )
    for address in ("198.51.100.1", "192.0.2.8"):
        assert echo_requests(network, "Ticket Office", address, count=1) != [None]


def test_a_packet_waits_until_its_neighbour_answers_and_is_then_as_the_library_sends_it():
    router, arrival = north_pier_of_parts(), ARRIVALS["plain"]
    ((way, question),) = router.receive(0, *arrival)
    assert (way, question[:6], question[12:14].hex()) == ("to Reed Pier", b"\xff" * 6, "0806")
    assert router.next_tick_s() == 1
    neighbour = north_pier().receive(0, *arrival)[0].frame[:6]
    answer = bytearray(question)
    answer[:12] = question[6:12] + neighbour
    answer[20:42] = (2).to_bytes(2, "big") + neighbour + question[38:42] + question[22:32]
    sent = router.receive(0.5, way, bytes(answer))
    assert sent == north_pier().receive(0, *arrival)
    assert router.next_tick_s() == float("inf")
    assert router.counters["forwarded"] == 1


def test_who_waits_in_vain_is_told_after_three_questions():
    router = north_pier_of_parts()
    router.receive(0, *ARRIVALS["plain"])
    questions = [router.tick(now_s) for now_s in (1, 2)]
    assert [[one.interface for one in row] for row in questions] == [["to Reed Pier"]] * 2
    ((way, asks),) = router.tick(3)
    assert (way, asks[12:14].hex()) == (HERE, "0806")  # first the sender has to be asked for
    assert router.counters["given up"] == 1


@pytest.mark.parametrize(
    ("name", "counter"),
    [
        ("wrong checksum", "bad header"),
        ("no route", "no route"),
        ("time to live 1", "too old"),
    ],
)
def test_what_goes_no_further_is_counted(name, counter):
    router = north_pier_of_parts()
    router.receive(0, *ARRIVALS[name])
    assert router.counters == dict.fromkeys(router.counters, 0) | {counter: 1}


@pytest.mark.parametrize("frame", [b"", SENDER, bytes(14), b"\xff" * 12 + b"\x08\x06" + bytes(3)])
def test_odd_frames_end_in_silence(frame):
    assert north_pier_of_parts().receive(0, HERE, frame) == []


def test_a_header_with_odd_lengths_is_not_sound():
    frame = ARRIVALS["plain"].frame
    for octets in (b"\x65", b"\x44", b"\x4f"):
        router = north_pier_of_parts()
        assert router.receive(0, HERE, frame[:14] + octets + frame[15:]) == []
        assert router.counters["bad header"] == 1
