"""IPv4 options in packets that a router forwards (RFC 791, section 3.1; RFC 1812, 5.3.13)."""

import pytest

from course_lib.headers.errors import Reason
from course_lib.ip.options import OptionError, SourceRouteError, fill_in, split_options
from networks.forwarding_scene import (
    ISLAND,
    NORTH_PIER_AT_SEA,
    OFFICE,
    address,
    datagram,
    give,
    north_pier,
    only_drop,
    only_error,
    seen,
)

SEA_ADDRESS = f"{NORTH_PIER_AT_SEA:08x}"
ISLAND_ADDRESS = f"{ISLAND:08x}"
TIME = "800004d2"  # 1.234 s after an unknown moment: the first bit says that it is not midnight


@pytest.fixture
def router():
    return north_pier()


FILLED = [
    pytest.param(
        "070b04 0000000000000000 00", f"070b08 {SEA_ADDRESS}00000000 00", id="record-route"
    ),
    pytest.param(
        f"070b08 {ISLAND_ADDRESS}00000000 00",
        f"070b0c {ISLAND_ADDRESS}{SEA_ADDRESS} 00",
        id="second",
    ),
    pytest.param(f"070704 {'00' * 4} 01", f"070708 {SEA_ADDRESS} 01", id="no-operation-behind"),
    pytest.param(f"070708 {ISLAND_ADDRESS} 00", f"070708 {ISLAND_ADDRESS} 00", id="record-is-full"),
    pytest.param("440c0500 0000000000000000", f"440c0900 {TIME}00000000", id="times"),
    pytest.param(
        "440c0501 0000000000000000", f"440c0d01 {SEA_ADDRESS}{TIME}", id="address-and-time"
    ),
    pytest.param(f"440c0503 {SEA_ADDRESS}00000000", f"440c0d03 {SEA_ADDRESS}{TIME}", id="our-turn"),
    pytest.param(
        f"440c0503 {ISLAND_ADDRESS}00000000",
        f"440c0503 {ISLAND_ADDRESS}00000000",
        id="not-our-turn",
    ),
    pytest.param(f"440c0d01 {'11' * 8}", f"440c0d11 {'11' * 8}", id="no-room-is-counted"),
    pytest.param("94040000", "94040000", id="router-alert-passes"),
    pytest.param("5e04abcd", "5e04abcd", id="an-unknown-one-passes"),
    pytest.param("00ffffff", "00ffffff", id="nothing-is-read-behind-the-end"),
]


@pytest.mark.parametrize(("before", "after"), FILLED)
def test_options_are_filled_in_or_passed_on(router, before, after):
    """RFC 1812, sections 5.3.13.1 (others), 5.3.13.5 (record route) and 5.3.13.6 (timestamp)."""
    data = datagram(b"cargo", options=bytes.fromhex(before))
    (outgoing,) = give(router, data, now_s=1.234)
    assert seen(outgoing).header.options == bytes.fromhex(after)
    assert (seen(outgoing).header.time_to_live, seen(outgoing).payload) == (63, b"cargo")


BROKEN = [
    pytest.param("07000400", 21, id="length-zero"),
    pytest.param("07010400", 21, id="length-one"),
    pytest.param("01010107", 23, id="no-length"),
    pytest.param("0101019e", 23, id="an-unknown-one-without-a-length"),
    pytest.param("07080400", 21, id="longer-than-the-header"),
    pytest.param("07020000", 21, id="no-room-for-a-pointer"),
    pytest.param("0707030000000000", 22, id="pointer-into-itself"),
    pytest.param("0706040000000000", 22, id="half-an-address-of-room"),
    pytest.param("4408050200000000", 23, id="unknown-timestamp-flag"),
    pytest.param("440809f000000000", 23, id="overflow-overflows"),
    pytest.param(f"44080503 {ISLAND_ADDRESS}", 22, id="no-room-for-a-time-beside-the-address"),
    pytest.param("070704 00000000 070704 00000000 0000", 27, id="record-route-for-the-second-time"),
    pytest.param(f"070708 {ISLAND_ADDRESS}" * 2 + "0000", 27, id="for-the-second-time-and-full"),
    pytest.param("44080500 00000000" * 2, 28, id="timestamps-for-the-second-time"),
]


@pytest.mark.parametrize(("options", "pointer"), BROKEN)
def test_broken_options_are_reported_with_a_pointer(router, options, pointer):
    """RFC 792, "Parameter Problem Message": the octet of the header at which the error is."""
    data = datagram(b"cargo", options=bytes.fromhex(options))
    header, icmp, quoted = only_error(give(router, data))
    assert (icmp.type, icmp.code, icmp.rest_of_header >> 24) == (12, 0, pointer)
    assert (header.destination, quoted) == (OFFICE, data)
    assert only_drop(router) is Reason.WRONG_OPTION


NOWHERE = address("10.9.9.9")
OTHER_FAULTS = [
    pytest.param({"destination": NOWHERE}, id="no-route"),
    pytest.param({"time_to_live": 1}, id="too-old"),
    pytest.param({"destination": address("240.0.0.1")}, id="invalid-destination"),
    pytest.param({"flags": 2, "payload": bytes(1481)}, id="too-large"),
    pytest.param({"destination": address("192.0.2.99")}, id="a-better-first-hop"),
]


@pytest.mark.parametrize("fields", OTHER_FAULTS)
def test_options_are_looked_at_before_anything_else(fields):
    """RFC 1812, section 5.2.1.1: options are step 3, the destination is step 4; section 5.2.1.2:
    the way is step 5, valid addresses step 6, the time to live step 7."""
    router = north_pier(600)
    data = datagram(**({"payload": b"cargo"} | fields), options=bytes.fromhex("07000400"))
    assert only_error(give(router, data)).icmp[:2] == (12, 0)
    assert only_drop(router) is Reason.WRONG_OPTION


def test_right_options_do_not_hide_another_fault(router):
    for fields, kind in (({"destination": NOWHERE}, (3, 0)), ({"time_to_live": 1}, (11, 0))):
        data = datagram(b"cargo", options=bytes.fromhex("070704 00000000 00"), **fields)
        assert only_error(give(router, data)).icmp[:2] == kind


def test_nobody_is_told_of_wrong_options_in_a_later_fragment(router):
    """RFC 1812, section 4.3.2.7, is above all other rules."""
    data = datagram(b"cargo", options=bytes.fromhex("07000400"), fragment_offset=1)
    assert give(router, data) == []
    assert only_drop(router) is Reason.WRONG_OPTION


@pytest.mark.parametrize("kind", ["83", "89"])
@pytest.mark.parametrize("destination", [ISLAND, address("192.0.2.1"), NOWHERE])
def test_source_routes_are_not_followed(router, kind, destination):
    """RFC 7126, sections 4.3 and 4.4 (against RFC 1812, section 5.3.13.4)."""
    options = bytes.fromhex(f"{kind}0704{ISLAND_ADDRESS}00")
    assert give(router, datagram(options=options, destination=destination)) == []
    assert only_drop(router) is Reason.SOURCE_ROUTE


def test_a_datagram_with_options_is_cut_to_fit():
    options = bytes.fromhex("070704 00000000 00")
    parts = [seen(each) for each in give(north_pier(600), datagram(bytes(1000), options=options))]
    assert [len(part.header.options) for part in parts] == [8, 0]
    assert [part.header.total_length for part in parts] == [596, 452]


@pytest.mark.parametrize(("octets", "fits"), [(600 - 28, True), (600 - 27, False)])
def test_with_options_the_limit_is_still_the_mtu(octets, fits):
    data = datagram(bytes(octets), options=bytes.fromhex("070704 00000000 00"), flags=2)
    (outgoing,) = give(north_pier(600), data)
    assert (outgoing.interface == "sea") == fits


def test_options_are_told_apart():
    found = [each[:2] for each in split_options(bytes.fromhex("01 01 9404abcd 00 07"))]
    assert found == [(0, 1), (1, 1), (2, 148)]


def test_the_length_never_changes_and_errors_have_their_own_types():
    assert len(fill_in(bytes.fromhex("070704 00000000 00"), 0.0, 1, set())) == 8
    with pytest.raises(SourceRouteError):
        fill_in(bytes.fromhex("830704 00000000 00"), 0.0, 1, set())
    with pytest.raises(OptionError, match="wrong length"):
        fill_in(bytes.fromhex("07ff0400"), 0.0, 1, set())
