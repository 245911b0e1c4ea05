"""ICMP errors: what they say, and when none may be sent (RFC 1812, section 4.3.2)."""

import math

import pytest

from course_lib.forwarding.queue import Queue
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.icmp_errors import ErrorLimit, error_message, is_error, read_quote, why_not_told
from course_lib.ip.packets import Packet
from networks.forwarding_scene import (
    BROADCAST,
    ISLAND,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    address,
    datagram,
    error,
    give,
    north_pier,
    only_error,
    prefix,
    seen,
)

NOWHERE = address("10.9.9.9")
ECHO = bytes.fromhex("0800f7ff00000000")


@pytest.fixture
def router():
    return north_pier()


@pytest.mark.parametrize(
    ("carried", "quoted"), [(0, 20), (8, 28), (528, 548), (529, 548), (1480, 548)]
)
def test_as_much_is_quoted_as_fits_into_576_octets(router, carried, quoted):
    """RFC 1812, section 4.3.2.3 (RFC 792 asked for the header and 8 octets)."""
    data = datagram(bytes(range(256)) * 5 + bytes(200), destination=NOWHERE)[: 20 + carried]
    data = datagram(data[20:], destination=NOWHERE)
    header, _, inside = only_error(give(router, data))
    assert inside == data[:quoted]
    assert header.total_length == 28 + quoted <= 576


def test_the_quote_is_the_packet_as_it_came_in(router):
    """RFC 1812, section 4.3.2.3: also where the time to live was lowered before the fault."""
    router = north_pier(sea_mtu=600)
    data = datagram(bytes(1000), flags=2, time_to_live=9)
    assert only_error(give(router, data)).quoted == data[:548]


def test_padding_is_not_quoted(router):
    data = datagram(b"cargo", destination=NOWHERE)
    assert only_error(give(router, data + bytes(21))).quoted == data


def test_the_source_is_the_interface_by_which_the_error_leaves(router):
    """RFC 1812, section 4.3.2.4: and not the one by which the packet would have left."""
    assert only_error(give(router, datagram(time_to_live=1))).header.source == NORTH_PIER
    data = datagram(time_to_live=1, source=ISLAND, destination=OFFICE)
    (outgoing,) = give(router, data, "harbour")
    assert (outgoing.interface, error(outgoing).header.source) == ("sea", NORTH_PIER_AT_SEA)


@pytest.mark.parametrize(("before", "after"), [(0x00, 0xC0), (0x10, 0xD0), (0xFF, 0xDE)])
def test_an_error_keeps_the_type_of_service_and_goes_first(router, before, after):
    """RFC 1812, section 4.3.2.5: the same type of service, precedence 6."""
    data = datagram(type_of_service=before, time_to_live=1)
    assert only_error(give(router, data)).header.type_of_service == after


def test_an_error_has_a_time_to_live_of_its_own(router):
    header = only_error(give(router, datagram(time_to_live=1))).header
    assert (header.time_to_live, header.flags, header.protocol) == (64, 0, 1)


def test_errors_differ_in_identification(router):
    """RFC 6864, section 4.3: datagrams that may be cut must not share one."""
    numbers = {
        only_error(give(router, datagram(time_to_live=1))).header.identification for _ in "abc"
    }
    assert len(numbers) == 3


@pytest.mark.parametrize("kind", [3, 4, 5, 11, 12])
def test_no_error_about_an_error(router, kind):
    """RFC 1812, section 4.3.2.7; the types are those of RFC 1122, section 3.2.2."""
    assert give(router, datagram(bytes([kind]) + bytes(7), protocol=1, time_to_live=1)) == []
    assert dict(router.counters.errors_withheld) == {"it is an ICMP error itself": 1}


@pytest.mark.parametrize("kind", [0, 8, 13, 14])
def test_an_error_about_an_echo_is_none_about_an_error(router, kind):
    data = datagram(bytes([kind]) + bytes(7), protocol=1, time_to_live=1)
    assert only_error(give(router, data)).icmp.type == 11


def test_no_error_about_a_later_fragment(router):
    """RFC 1812, section 4.3.2.7."""
    assert give(router, datagram(bytes(8), fragment_offset=185, time_to_live=1)) == []
    assert len(give(router, datagram(bytes(8), flags=1, time_to_live=1))) == 1


def seen_as(frame_to=b"\x00" * 6, arrived_on="harbour", **fields):
    header = IPv4Header.parse(datagram(**fields))
    return Packet(0.0, arrived_on, frame_to + bytes(8), header)


FORBIDDEN = [
    pytest.param(seen_as(destination=address("224.0.0.9")), "multicast", id="to-multicast"),
    pytest.param(seen_as(destination=address("255.255.255.255")), "broadcast", id="to-all"),
    pytest.param(seen_as(destination=address("192.0.2.255")), "broadcast", id="to-all-of-a-link"),
    pytest.param(seen_as(BROADCAST), "link-layer", id="link-layer-broadcast"),
    pytest.param(seen_as(b"\x01" + bytes(5)), "link-layer", id="link-layer-multicast"),
    pytest.param(seen_as(source=0), "single host", id="from-nobody"),
    pytest.param(seen_as(source=address("0.0.0.9")), "single host", id="from-net-0"),
    pytest.param(seen_as(source=address("127.0.0.1")), "single host", id="from-the-loopback-net"),
    pytest.param(seen_as(source=address("224.0.0.9")), "single host", id="from-multicast"),
    pytest.param(seen_as(source=address("240.0.0.9")), "single host", id="from-class-e"),
    pytest.param(seen_as(source=address("192.0.2.255")), "single host", id="from-a-broadcast"),
    pytest.param(seen_as(fragment_offset=1), "fragment", id="later-fragment"),
    pytest.param(seen_as(arrived_on=None), "our own", id="own-packet"),
    pytest.param(Packet(0.0, "harbour", bytes(14)), "not valid", id="no-valid-header"),
]


@pytest.mark.parametrize(("packet", "why"), FORBIDDEN)
def test_all_cases_in_which_no_error_may_be_sent(packet, why):
    """RFC 1812, section 4.3.2.7: this list comes before every other rule."""
    assert why in why_not_told(packet, frozenset({address("192.0.2.255")}))


def test_about_any_other_packet_an_error_may_be_sent():
    assert why_not_told(seen_as(), frozenset()) is None


def test_an_error_to_nowhere_is_dropped_without_a_further_error(router):
    assert give(router, datagram(source=address("10.1.1.1"), time_to_live=1)) == []
    assert dict(router.counters.dropped) == {Reason.TIME_EXCEEDED: 1, Reason.NO_ROUTE: 1}


def test_the_rate_of_errors_is_limited():
    """RFC 1812, section 4.3.2.8."""
    router = north_pier(error_limit=ErrorLimit(per_s=10, burst=5))
    sent = [len(give(router, datagram(time_to_live=1), now_s=n / 1000)) for n in range(1000)]
    assert sum(sent) == 5 + 9
    assert router.counters.errors_withheld["too many errors lately"] == 1000 - 14
    assert router.counters.dropped[Reason.TIME_EXCEEDED] == 1000


@pytest.mark.parametrize("wrong", [{"per_s": 0}, {"burst": 0}, {"per_s": math.nan}])
def test_limits_that_make_no_sense_are_refused(wrong):
    with pytest.raises(ValueError, match="per_s must be more than 0 and burst at least 1"):
        ErrorLimit(**wrong)


def test_no_limit_means_no_limit():
    limit = ErrorLimit(math.inf)
    assert all(limit.allows(0.0) for _ in range(1000))


def test_time_that_runs_backwards_gives_no_tokens():
    limit = ErrorLimit(per_s=1, burst=1)
    assert [limit.allows(now_s) for now_s in (10.0, 5.0, 10.5, 11.0)] == [True, False, False, True]


def test_a_router_never_sends_source_quench():
    """RFC 6633, section 4 (RFC 1812, section 4.3.3.3): not even when its queue is full."""
    router = north_pier(queue=Queue({"sea": 8000.0}, limit=1))
    assert [give(router, datagram(bytes(1000))) for _ in range(5)][1:] == [[]] * 4
    assert router.counters.dropped[Reason.QUEUE_FULL] == 3
    assert router.counters.errors_sent.total() == 0


def test_a_shortened_quote_is_read_and_a_shortened_header_is_not():
    """A packet inside an error ends early; `IPv4Header.parse` would refuse it."""
    data = datagram(bytes(100))
    assert read_quote(data[:28]) == (IPv4Header.parse(data), bytes(8))
    assert read_quote(data) == (IPv4Header.parse(data), bytes(100))
    for octets in (b"", data[:19], datagram(options=bytes.fromhex("94040000"))[:22]):
        with pytest.raises(PacketError):
            read_quote(octets)


def test_an_echo_is_no_error_and_other_protocols_carry_none():
    header = IPv4Header.parse(datagram(protocol=1))
    assert not is_error(header, ECHO)
    assert not is_error(header, b"")
    assert not is_error(header._replace(protocol=17), b"\x03")


def test_a_message_has_a_checksum_over_all_of_it():
    message = error_message((11, 0), 0, datagram(b"odd"))
    total = sum(
        int.from_bytes((message + b"\0")[i : i + 2], "big") for i in range(0, len(message), 2)
    )
    assert total % 0xFFFF == 0


def test_an_error_too_large_for_its_link_is_cut():
    router = north_pier(sea_mtu=300)
    parts = give(router, datagram(bytes(1000), source=PLOVER, time_to_live=1), "sea")
    assert [seen(each).header.total_length for each in parts] == [300, 296]


def test_an_error_goes_back_to_the_one_who_sent_the_packet(router):
    (outgoing,) = give(router, datagram(time_to_live=1))
    assert seen(outgoing).ethernet.destination == OFFICE_MAC
    router.add_route(prefix("203.0.113.0/24"), None, "sea")
    assert seen(give(router, datagram(time_to_live=1))[0]).interface == "harbour"
