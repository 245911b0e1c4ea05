"""Where a packet goes: the longest prefix, the router itself, or nowhere.

RFC 1812, sections 5.2.3 (is it for us?), 5.2.4 (next hop), 5.2.7.2 (redirects) and 5.3.5
(broadcasts); RFC 2644 (directed broadcasts).
"""

import pytest

from course_lib.forwarding.router import Router
from course_lib.headers.errors import Reason
from course_lib.ip.packets import Interface
from course_lib.lookup import BinaryTrie, DirectIndex, LinearList
from networks.forwarding_scene import (
    BROADCAST,
    ISLAND,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    PLOVER_MAC,
    address,
    datagram,
    error,
    give,
    interfaces,
    learn,
    north_pier,
    only_drop,
    only_error,
    prefix,
    seen,
    station,
)

CURLEW, CURLEW_MAC = address("198.51.100.3"), station(0x13)
REED, REED_MAC = address("192.0.2.9"), station(9)


@pytest.fixture
def router():
    return north_pier()


@pytest.mark.parametrize("table", [LinearList, BinaryTrie, DirectIndex])
def test_the_longest_prefix_decides_in_every_table(table):
    router = north_pier(table=table())
    router.add_route(prefix("203.0.113.9/32"), CURLEW, "sea")
    learn(router, "sea", CURLEW_MAC, CURLEW)
    chosen = [give(router, datagram(destination=ISLAND + step))[0] for step in (0, 1)]
    assert [seen(each).ethernet.destination for each in chosen] == [CURLEW_MAC, PLOVER_MAC]


def test_a_neighbour_is_reached_without_a_next_hop(router):
    (outgoing,) = give(router, datagram(source=PLOVER, destination=OFFICE), "sea")
    assert (seen(outgoing).interface, seen(outgoing).ethernet.destination) == (
        "harbour",
        OFFICE_MAC,
    )


def test_without_a_route_the_net_is_unreachable(router):
    """RFC 1812, section 5.2.7.1: code 0. The packet is not sent back, nor to everybody."""
    _, icmp, _ = only_error(give(router, datagram(destination=address("10.9.9.9"))))
    assert (icmp.type, icmp.code, icmp.rest_of_header) == (3, 0, 0)
    assert only_drop(router) is Reason.NO_ROUTE


def test_a_withdrawn_route_is_gone(router):
    router.withdraw_route(prefix("203.0.113.0/24"))
    assert only_error(give(router, datagram())).icmp.code == 0
    with pytest.raises(KeyError, match="203"):
        router.withdraw_route(prefix("203.0.113.0/24"))


def test_a_route_can_be_replaced(router):
    router.add_route(prefix("203.0.113.0/24"), CURLEW, "sea")
    learn(router, "sea", CURLEW_MAC, CURLEW)
    assert seen(give(router, datagram())[0]).ethernet.destination == CURLEW_MAC
    assert router.routes()[prefix("203.0.113.0/24")] == ("sea", CURLEW)


def test_a_next_hop_that_is_not_on_the_link_is_refused(router):
    """A frame can only be addressed to a neighbour; somebody has to look up the rest of the way."""
    with pytest.raises(ValueError, match=r"10\.9\.9\.9 is not on the link of sea"):
        router.add_route(prefix("203.0.113.0/25"), address("10.9.9.9"), "sea")
    with pytest.raises(ValueError, match="no interface 'attic'"):
        router.add_route(prefix("203.0.113.0/25"), None, "attic")


@pytest.mark.parametrize("destination", ["224.0.0.1", "224.0.0.5", "239.1.2.3"])
def test_multicast_is_not_forwarded(router, destination):
    """Multicast forwarding (RFC 1812, section 5.3.10) is left out of this course."""
    group = bytes.fromhex("01005e000001")
    assert give(router, datagram(destination=address(destination)), destination=group) == []
    assert only_drop(router) is Reason.MULTICAST


@pytest.mark.parametrize("to_all", [BROADCAST, None])
@pytest.mark.parametrize("destination", ["255.255.255.255", "192.0.2.255", "192.0.2.0"])
def test_a_broadcast_on_the_own_link_stays_there(router, destination, to_all):
    """RFC 1812, sections 5.3.5.1 and 4.2.3.1: taken in, never forwarded, never answered."""
    assert give(router, datagram(destination=address(destination)), destination=to_all) == []
    assert only_drop(router) is Reason.NO_SUCH_PROTOCOL
    assert router.counters.errors_sent.total() == 0


@pytest.mark.parametrize("destination", ["198.51.100.255", "198.51.100.0"])
def test_directed_broadcasts_are_not_forwarded(router, destination):
    """RFC 2644, section 3: off by default."""
    assert give(router, datagram(destination=address(destination))) == []
    assert only_drop(router) is Reason.DIRECTED_BROADCAST


def test_directed_broadcasts_go_to_all_where_somebody_wants_that():
    """RFC 1812, section 5.3.5.2: the last router sends a link-layer broadcast."""
    router = north_pier(directed_broadcasts=True)
    (outgoing,) = give(router, datagram(destination=address("198.51.100.255")))
    assert (seen(outgoing).interface, seen(outgoing).ethernet.destination) == ("sea", BROADCAST)
    assert (
        give(router, datagram(destination=address("198.51.100.255")), destination=BROADCAST) == []
    )


def test_a_link_of_two_has_no_broadcasts():
    """RFC 3021, section 2.2: both addresses of a /31 are hosts."""
    last = Interface("jetty", station(3), address("192.0.2.200"), prefix("192.0.2.200/31"))
    router = Router("North Pier", [*interfaces(), last])
    learn(router, "jetty", station(0x21), address("192.0.2.201"))
    (outgoing,) = give(router, datagram(source=PLOVER, destination=address("192.0.2.201")), "sea")
    assert seen(outgoing).interface == "jetty"


def hairpin(router, **fields):
    """Give the router a packet that has to leave by the interface on which it came."""
    router.add_route(prefix("203.0.113.128/25"), REED, "harbour")
    learn(router, "harbour", REED_MAC, REED)
    return give(router, datagram(destination=address("203.0.113.200"), **fields))


def test_a_better_first_hop_is_told_and_the_packet_still_goes(router):
    """RFC 1812, section 5.2.7.2: code 1, and the neighbour's address in octets 4 to 7."""
    redirect, forwarded = hairpin(router)
    _, icmp, quoted = error(redirect)
    assert (icmp.type, icmp.code, icmp.rest_of_header) == (5, 1, REED)
    assert quoted == datagram(destination=address("203.0.113.200"))
    assert seen(forwarded).ethernet.destination == REED_MAC


@pytest.mark.parametrize(
    "fields",
    [
        pytest.param({"source": address("10.0.0.1")}, id="the-sender-is-not-on-this-link"),
        pytest.param({"options": bytes.fromhex("830704c000020900")}, id="source-route"),
        pytest.param({"time_to_live": 1}, id="it-is-not-forwarded"),
    ],
)
def test_no_redirect_is_sent_unless_all_conditions_hold(router, fields):
    hairpin(router, **fields)
    assert router.counters.errors_sent[5, 1] == 0


def test_redirects_can_be_switched_off():
    (outgoing,) = hairpin(north_pier(redirects=False))
    assert seen(outgoing).ethernet.destination == REED_MAC


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ([], "at least one interface"),
        ([interfaces()[0]] * 2, "a name of its own"),
        ([interfaces()[0]._replace(address=PLOVER)], "cannot be the address"),
        ([interfaces()[0]._replace(address=address("192.0.2.255"))], "cannot be the address"),
        ([interfaces()[0]._replace(mtu=67)], "at least 68"),
        ([interfaces()[0]._replace(hardware_address=BROADCAST)], "one station"),
        ([interfaces()[0]._replace(hardware_address=b"")], "six octets"),
    ],
)
def test_interfaces_that_make_no_sense_are_refused(wrong, message):
    with pytest.raises(ValueError, match=message):
        Router("North Pier", wrong)


def test_a_table_that_somebody_else_has_filled_is_refused():
    table = BinaryTrie()
    table.insert(prefix("203.0.113.0/24"), 0)
    with pytest.raises(ValueError, match="must be empty"):
        north_pier(table=table)
