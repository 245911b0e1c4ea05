"""What a router does with packets that are addressed to itself (RFC 1812, section 5.2.3)."""

import pytest

from course_lib.checksum import checksum
from course_lib.forwarding.verdicts import Drop
from course_lib.headers.errors import Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.fragmentation import fragments
from networks.forwarding_scene import (
    BROADCAST,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    address,
    datagram,
    give,
    learn,
    north_pier,
    only_drop,
    only_error,
    seen,
)

ECHO = bytes.fromhex("0800666800010001") + b"abcdefgh"  # identifier 1, number 1, summed with Scapy
REPLY = bytes.fromhex("00006e6800010001") + b"abcdefgh"


@pytest.fixture
def router():
    return north_pier()


def to_router(payload, protocol=1, **fields):
    return datagram(payload, **({"destination": NORTH_PIER, "protocol": protocol} | fields))


def test_an_echo_is_answered_with_its_own_data(router):
    """RFC 792; RFC 1812, section 4.3.3.6."""
    (outgoing,) = give(router, to_router(ECHO, type_of_service=0x10))
    header, payload = seen(outgoing)[2:]
    assert payload == REPLY
    assert (header.source, header.destination) == (NORTH_PIER, OFFICE)
    assert (header.time_to_live, header.type_of_service) == (64, 0x10)


@pytest.mark.parametrize("hops", [0, 1, 255])
def test_the_time_to_live_is_not_looked_at_by_whom_the_packet_is_for(router, hops):
    """RFC 1812, section 4.2.2.9: it is checked when a packet is forwarded, and only then."""
    assert len(give(router, to_router(ECHO, time_to_live=hops))) == 1


def test_every_address_of_the_router_answers_as_itself(router):
    (outgoing,) = give(router, to_router(ECHO, destination=NORTH_PIER_AT_SEA))
    assert (outgoing.interface, seen(outgoing).header.source) == ("harbour", NORTH_PIER_AT_SEA)


@pytest.mark.parametrize("to_all", [BROADCAST, None])
@pytest.mark.parametrize("destination", ["255.255.255.255", "192.0.2.255"])
def test_an_echo_to_all_is_not_answered(router, destination, to_all):
    """RFC 1812, section 4.3.3.6, allows that; otherwise one packet calls up a whole link."""
    data = to_router(ECHO, destination=address(destination))
    assert give(router, data, destination=to_all) == []
    assert only_drop(router) is Reason.BROADCAST_UNANSWERED


def test_a_damaged_echo_is_dropped(router):
    assert give(router, to_router(ECHO[:-1] + b"?")) == []
    assert only_drop(router) is Reason.WRONG_CHECKSUM


@pytest.mark.parametrize("kind", [0, 3, 11, 12, 13, 99])
def test_other_messages_are_silently_discarded(router, kind):
    """RFC 1812, section 4.3.2.1; RFC 1122, section 3.2.2."""
    message = ICMPHeader(kind, 0, 0, 0).with_checksum(b"").build()
    assert give(router, to_router(message)) == []
    assert only_drop(router) is Reason.NOT_UNDERSTOOD


def test_an_echo_with_a_recorded_route_is_answered_with_it(router):
    """RFC 1812, section 4.3.3.6: the route is brought up to date and goes into the reply."""
    options = bytes.fromhex("070b04 0000000000000000 00")
    (outgoing,) = give(router, to_router(ECHO, options=options))
    assert seen(outgoing).header.options == bytes.fromhex("070b08 c0000201 00000000 00")


@pytest.mark.parametrize(
    ("asked", "answered"),
    [
        pytest.param("94040000", "", id="router-alert"),
        pytest.param("5e04abcd", "", id="unknown"),
        pytest.param("88040001", "", id="stream"),
        pytest.param("01010100", "", id="only-fillers"),
        pytest.param(
            "94040000 01 070704 00000000 5e04abcd", "070708 c0000201 00", id="record-route-alone"
        ),
        pytest.param(
            "44080500 00000000 5e04abcd 070704 00000000 00",
            "44080900 80000000 070708 c0000201 00",
            id="timestamp-and-record-route",
        ),
    ],
)
def test_an_answer_carries_no_options_but_recorded_ones(router, asked, answered):
    """RFC 1812, section 4.3.3.6, and RFC 1122, section 3.2.2.6, name the two and no others."""
    (outgoing,) = give(router, to_router(ECHO, options=bytes.fromhex(asked)))
    assert seen(outgoing).header.options == bytes.fromhex(answered)
    assert seen(outgoing).payload == REPLY


def test_a_protocol_that_is_not_spoken_is_refused(router):
    """RFC 1812, section 5.2.7.1; RFC 792: code 2."""
    _, icmp, _ = only_error(give(router, to_router(b"cargo", protocol=253)))
    assert (icmp.type, icmp.code) == (3, 2)


def udp(data, check=None):
    bare = UDPHeader(4000, 33434, 8 + len(data), 0).build() + data
    pseudo = OFFICE.to_bytes(4, "big") + NORTH_PIER.to_bytes(4, "big") + b"\x00\x11"
    right = checksum(pseudo + (8 + len(data)).to_bytes(2, "big") + bare)
    return UDPHeader(4000, 33434, 8 + len(data), right if check is None else check).build() + data


@pytest.mark.parametrize("check", [None, 0])
def test_a_port_on_which_nobody_listens_is_refused(router, check):
    """RFC 792, code 3; RFC 768: a checksum of zero says that there is none."""
    _, icmp, quoted = only_error(give(router, to_router(udp(b"probe", check), 17)))
    assert (icmp.type, icmp.code) == (3, 3)
    assert quoted[20:28] == udp(b"probe", check)[:8]


@pytest.mark.parametrize("payload", [udp(b"probe", 0x1234), udp(b"probe")[:7], udp(b"probe")[:-1]])
def test_a_damaged_datagram_is_dropped_silently(router, payload):
    """RFC 1122, section 4.1.3.4."""
    assert give(router, to_router(payload, 17)) == []
    assert router.counters.dropped.total() == 1


def test_an_echo_in_fragments_is_put_together_and_answered_in_fragments(router):
    """RFC 1812, section 4.2.2.8: a router puts together what is for itself."""
    data = bytes(range(250)) * 12
    echo = ICMPHeader(8, 0, 0, 1).with_checksum(data).build() + data
    whole = IPv4Header.parse(to_router(echo))
    frames = []
    for header, part in fragments(whole, echo, 1500):
        frames += give(router, header.build() + part)
    assert [seen(each).header.fragment_offset for each in frames] == [0, 185, 370]
    assert b"".join(seen(each).payload for each in frames)[8:] == data


def test_fragments_that_stay_incomplete_are_reported(router):
    """RFC 1122, section 3.3.2: time exceeded, code 1, if the first fragment is here."""
    whole = IPv4Header.parse(to_router(bytes(2000)))
    first, _ = [head.build() + part for head, part in fragments(whole, bytes(2000), 1500)]
    assert give(router, first) == []
    assert router.next_tick_s() == 60.0
    learn(router, "harbour", OFFICE_MAC, OFFICE, now_s=60.0)  # by now it was forgotten
    answer = only_error(router.tick(60.0))
    assert (answer.icmp.type, answer.icmp.code) == (11, 1)


def test_a_service_of_ones_own_can_be_added(router):
    router.services[253] = lambda packet: packet.payload.upper()
    (outgoing,) = give(router, to_router(b"cargo", protocol=253))
    assert (seen(outgoing).payload, seen(outgoing).header.protocol) == (b"CARGO", 253)


@pytest.mark.parametrize(
    ("service", "reason"),
    [
        (lambda packet: None, None),
        (lambda packet: Drop(Reason.FILTERED), Reason.FILTERED),
        (lambda packet: UDPHeader.parse(b""), Reason.CUT_SHORT),
    ],
)
def test_a_service_may_stay_silent(router, service, reason):
    router.services[253] = service
    assert give(router, to_router(b"cargo", protocol=253)) == []
    assert list(router.counters.dropped) == [reason] * (reason is not None)
    assert router.counters.taken == (reason is None)


@pytest.mark.parametrize("wrong", [lambda packet: 1 / 0, lambda packet: "text", lambda: None])
def test_a_service_that_fails_costs_one_packet(router, wrong):
    router.services[253] = wrong
    assert give(router, to_router(b"cargo", protocol=253)) == []
    assert router.counters.dropped[Reason.STAGE_FAILED] == 1
    assert "service" in router.complaints[-1]
    assert len(give(router, to_router(ECHO))) == 1
