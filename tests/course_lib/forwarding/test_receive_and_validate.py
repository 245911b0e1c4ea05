"""Which frames and headers a router takes, and which it discards silently.

RFC 1812, sections 5.2.2 (header), 5.3.4 (link-layer broadcasts) and 5.3.7 (martians).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers.errors import Reason
from networks.forwarding_scene import (
    BROADCAST,
    HARBOUR,
    ISLAND,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    SEA,
    address,
    datagram,
    frame,
    give,
    north_pier,
    only_drop,
    only_error,
    seen,
    station,
)


@pytest.fixture
def router():
    return north_pier()


def edited(data, at, text):
    new = bytes.fromhex(text)
    return data[:at] + new + data[at + len(new) :]


def resummed(data):
    """Return the datagram with a right checksum over whatever its header says now."""
    octets = (data[0] & 0x0F) * 4
    bare = data[:10] + bytes(2) + data[12:]
    total = sum(int.from_bytes(bare[i : i + 2], "big") for i in range(0, octets, 2))
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return bare[:10] + (total ^ 0xFFFF).to_bytes(2, "big") + bare[12:]


GOOD = datagram(b"cargo 00")
BAD_HEADERS = [
    pytest.param(b"", Reason.CUT_SHORT, id="empty"),
    pytest.param(GOOD[:19], Reason.CUT_SHORT, id="19-octets"),
    pytest.param(edited(GOOD, 10, "0000"), Reason.WRONG_CHECKSUM, id="checksum"),
    pytest.param(resummed(edited(GOOD, 0, "65")), Reason.WRONG_VERSION, id="version-6"),
    pytest.param(edited(GOOD, 0, "44"), Reason.WRONG_HEADER_LENGTH, id="four-words"),
    pytest.param(edited(GOOD, 0, "4f"), Reason.WRONG_HEADER_LENGTH, id="header-beyond-the-data"),
    pytest.param(
        resummed(edited(GOOD, 2, "0013")), Reason.WRONG_TOTAL_LENGTH, id="total-below-the-header"
    ),
]


@pytest.mark.parametrize(("data", "reason"), BAD_HEADERS)
def test_a_bad_header_is_discarded_silently(router, data, reason):
    """RFC 1812, section 5.2.2."""
    assert give(router, data) == []
    assert only_drop(router) is reason


def test_a_datagram_that_was_cut_is_reported(router):
    """RFC 1812, section 5.2.2: should answer with a pointer at the total length, octet 2."""
    header, icmp, quoted = only_error(give(router, GOOD[:-1]))
    assert (icmp.type, icmp.code, icmp.rest_of_header) == (12, 0, 2 << 24)
    assert (header.destination, quoted) == (OFFICE, GOOD[:-1])
    assert only_drop(router) is Reason.WRONG_TOTAL_LENGTH


def test_a_cut_datagram_of_nobody_is_not_reported(router):
    assert give(router, datagram(b"cargo", source=NORTH_PIER_AT_SEA)[:-1]) == []


def test_padding_behind_the_total_length_is_not_forwarded(router):
    (outgoing,) = give(router, GOOD + bytes(18))
    assert seen(outgoing).payload == b"cargo 00"
    assert len(outgoing.frame) == 14 + len(GOOD)


@pytest.mark.parametrize(
    "source",
    [
        "0.0.0.0", "0.1.2.3", "127.0.0.1", "127.255.255.255", "224.0.0.1", "239.255.255.255",
        "240.0.0.1", "255.255.255.255", "192.0.2.0", "192.0.2.255", "198.51.100.255",
    ],
)  # fmt: skip
def test_a_source_that_is_no_single_host_is_not_forwarded(router, source):
    """RFC 1812, sections 5.3.7 and 4.2.2.11; the last three are broadcasts of our own links."""
    assert give(router, datagram(source=address(source))) == []
    assert only_drop(router) is Reason.INVALID_SOURCE


@pytest.mark.parametrize("source", [NORTH_PIER, NORTH_PIER_AT_SEA])
def test_our_own_address_as_source_is_not_believed(router, source):
    assert give(router, datagram(source=source)) == []
    assert only_drop(router) is Reason.INVALID_SOURCE


@pytest.mark.parametrize(
    "destination", ["0.0.0.0", "0.1.2.3", "127.0.0.1", "240.0.0.1", "255.255.255.254"]
)
def test_a_destination_that_is_nowhere_is_not_forwarded(destination):
    """RFC 1812, section 5.3.7, even with a default route."""
    router = north_pier()
    router.add_route(type(router.interfaces["sea"].prefix)(0, 0), address("198.51.100.2"), "sea")
    assert give(router, datagram(destination=address(destination))) == []
    assert only_drop(router) is Reason.INVALID_DESTINATION


@pytest.mark.parametrize("source", ["10.0.0.1", "172.16.0.1", "192.168.0.1", "100.64.0.1"])
def test_private_sources_are_forwarded(router, source):
    """RFC 6890, section 2.2.2: forwardable; only the network's operator can tell where they end."""
    assert len(give(router, datagram(source=address(source)))) == 1


@pytest.mark.parametrize("destination", [SEA, station(0x77)])
def test_a_frame_for_another_station_is_left_alone(router, destination):
    assert give(router, GOOD, destination=destination) == []
    assert only_drop(router) is Reason.OTHER_STATION


@pytest.mark.parametrize("group", [BROADCAST, bytes.fromhex("01005e000009")])
@pytest.mark.parametrize("destination", [ISLAND, NORTH_PIER])
def test_a_link_layer_broadcast_of_a_unicast_packet_is_discarded(router, group, destination):
    """RFC 1812, section 5.3.4 (not forwarded); RFC 1122, section 3.3.6 (not delivered)."""
    assert give(router, datagram(destination=destination), destination=group) == []
    assert only_drop(router) is Reason.LINK_LAYER_BROADCAST


@pytest.mark.parametrize(
    ("octets", "reason"),
    [
        (frame(GOOD, HARBOUR, ether_type=0x86DD), Reason.UNKNOWN_ETHER_TYPE),
        (frame(GOOD, HARBOUR, ether_type=0x05DC), Reason.NOT_ETHERNET_II),
        (b"", Reason.CUT_SHORT),
        (HARBOUR + bytes(7), Reason.CUT_SHORT),
        (frame(b"\x00\x01", HARBOUR, ether_type=0x0806), Reason.CUT_SHORT),
    ],
)
def test_frames_that_carry_something_else_are_counted(router, octets, reason):
    assert router.receive(0.0, "harbour", octets) == []
    assert only_drop(router) is reason


def test_an_unknown_interface_is_a_mistake_of_the_caller(router):
    with pytest.raises(ValueError, match="no interface 'attic'"):
        router.receive(0.0, "attic", b"")


@given(st.binary(max_size=80), st.booleans())
def test_no_octets_whatever_make_a_router_fail(octets, addressed):
    router = north_pier()
    router.receive(0.0, "harbour", frame(octets) if addressed else octets)
    assert not router.complaints


@given(st.integers(0, 27), st.integers(0, 255), st.binary(max_size=44))
def test_no_damage_whatever_makes_a_router_fail(place, octet, behind):
    router = north_pier()
    give(router, resummed(edited(GOOD, place, f"{octet:02x}") + behind))
    assert not router.complaints
