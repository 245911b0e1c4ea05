"""The ferry company's network with the library's own routers, and with bad ones among them."""

from itertools import pairwise, permutations

import networkx
import pytest

from course_lib.ferry.network import BOATS, HOSTS, PIERS, Medium, ferry_links, ferry_network
from course_lib.forwarding.router import Router
from course_lib.network import (
    EchoRequests,
    Link,
    NetworkError,
    RoutingMessages,
    build_network,
    dead_ends,
    echo_requests,
    fill_in_routes,
    links_for_documentation,
    mistakes,
    stream,
    trace_path,
)
from course_lib.network.records import What
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.link_state import LinkState

# RFC 5737, section 3.
DOCUMENTATION = [parse_prefix(p) for p in ("192.0.2.0/24", "198.51.100.0/24", "203.0.113.0/24")]


def map_of(network):
    return networkx.Graph(
        [(e[0].place, e[1].place) for e in (w.ends for w in network.wires.values())]
    )


def books(network):
    return [sum(column) for column in zip(*network.traffic().values(), strict=True)]


# --- the plan


def test_the_network_is_whole_and_all_addresses_are_for_documentation():
    network = ferry_network()
    assert set(network.routers) == {*PIERS, *BOATS}
    assert set(network.hosts) == set(HOSTS)
    assert networkx.is_connected(map_of(network))
    for link in ferry_links():
        assert any(block.covers(link.prefix) for block in DOCUMENTATION)
    assert dead_ends(network) == []


def test_one_router_or_ring_wire_may_fail_without_cutting_off_another_pier():
    """The piers are joined in a ring."""
    ring = map_of(ferry_network()).subgraph(PIERS)
    assert all(networkx.is_connected(networkx.restricted_view(ring, [], [e])) for e in ring.edges)


# --- the library's routers


def test_every_host_reaches_every_other_one():
    network = ferry_network()
    for one, other in permutations(HOSTS, 2):
        assert None not in echo_requests(network, one, other, count=1)
    assert mistakes(network.records) == []
    sent, delivered, lost, dropped, in_flight = books(network)
    assert (lost, dropped, in_flight) == (0, 0, 0)
    assert sent == delivered > 30 * 4


def test_every_path_is_one_of_the_shortest_and_is_listed_hop_by_hop():
    """networkx knows all shortest paths; ours has to be one of them."""
    network = ferry_network()
    for one, other in permutations(HOSTS, 2):
        hops = trace_path(network, one, other)
        places = [one, *(hop.place for hop in hops)]
        assert places in list(networkx.all_shortest_paths(map_of(network), one, other))
        assert [hop.what for hop in hops[:-1]] == [What.TIME_EXCEEDED] * (len(hops) - 1)
        assert hops[-1].what is What.ECHO_REPLY


def test_the_time_of_a_ping_is_the_sum_of_its_hops():
    """98 octets of frame, there and back; cable, fibre, cable, without and with their delays."""
    network = ferry_network()
    one_way_s = 3 * 98 * 8 / 100e6 + 50e-6
    times_s = echo_requests(network, "Ticket Office", "Weather Mast", count=3)
    assert times_s[1:] == pytest.approx([2 * one_way_s] * 2)


def test_a_path_to_an_address_that_nobody_has_ends_at_the_last_router():
    """RFC 1812, section 5.2.7.1: no route is "net unreachable"; said by the first router here."""
    (hop,) = trace_path(ferry_network(), "Ticket Office", "198.51.100.200")
    assert (hop.place, hop.what) == ("North Pier", What.UNREACHABLE)


def test_a_loop_of_routes_ends_with_the_time_to_live():
    """Two routers send to each other what neither has; the packet dies after 64 hops."""
    network = ferry_network()
    north, gull = network.routers["North Pier"], network.routers["Gull Rock"]
    away = parse_prefix("203.0.113.128/25")
    north.add_route(away, parse_address("192.0.2.6"), "to Gull Rock")
    gull.add_route(away, parse_address("192.0.2.7"), "to North Pier")
    echo_requests(network, "Ticket Office", "Weather Mast", count=1)
    begun = len(network.records)
    assert echo_requests(network, "Ticket Office", "203.0.113.200", count=1) == [None]
    new = network.records[begun:]
    assert [r.what for r in new if r.place == "Ticket Office" and r.task] == [What.TIME_EXCEEDED]
    sent = [r for r in new if r.what is What.SENT and r.wire == "Gull Rock - North Pier"]
    lives = [r.frame[22] for r in sent if r.frame[34] == 8]  # of echo requests, by ICMP type
    assert lives == list(range(63, 0, -1))


def test_large_datagrams_pass_a_link_that_carries_only_small_ones():
    """The routers cut, the host puts together; what must not be cut is reported (RFC 791, 3.2)."""
    links = [
        Link(("North Pier", "Ticket Office"), parse_prefix("198.51.100.0/27")),
        Link(("North Pier", "Plover"), parse_prefix("192.0.2.0/31"), mtu=600),
        Link(("Plover", "Bridge Screen"), parse_prefix("203.0.113.0/28")),
    ]
    network = build_network(links, Router, hosts=["Ticket Office", "Bridge Screen"])
    fill_in_routes(network)
    assert None not in echo_requests(network, "Ticket Office", "Bridge Screen", payload_octets=1400)
    assert mistakes(network.records) == []
    begun, office = len(network.records), network.hosts["Ticket Office"]
    screen = network.hosts["Bridge Screen"].interface.address
    office.begin(network.now_s, EchoRequests(screen, payload_octets=1400, dont_fragment=True))
    network.run_until(network.now_s + 5)
    (error,) = (r for r in network.records[begun:] if r.what is What.UNREACHABLE)
    assert error.other == parse_address("198.51.100.1")
    assert error.frame[34:36] == bytes([3, 4])  # ICMP type and code: fragmentation needed


@pytest.mark.parametrize("loss_rate", [0.05, 0.3])
def test_lossy_radio_loses_its_share_of_a_stream_and_nothing_else_is_lost(loss_rate):
    """Between Ticket Office and Plover lies one radio link. Binomial, five deviations."""
    network = ferry_network(radio=Medium(10e6, 0.001, loss_rate), seed=4)
    count = 1500
    echo_requests(network, "Plover Bridge Screen", "Ticket Office", count=20)
    report = stream(network, "Ticket Office", "Plover Bridge Screen", count=count, interval_s=0.01)
    deviation = (count * loss_rate * (1 - loss_rate)) ** 0.5
    assert abs(count - report.received - count * loss_rate) < 5 * deviation + 60 * loss_rate
    wires = {record.wire for record in network.records if record.what is What.LOST}
    assert wires == {"North Pier - Plover"}


def test_frames_are_conserved_in_the_middle_of_much_traffic():
    network = ferry_network(radio=Medium(1e6, 0.005, 0.1), buffer_frames=4)
    for one, other in permutations(HOSTS, 2):
        target = network.hosts[other].interface.address
        network.hosts[one].begin(
            0.0, EchoRequests(target, count=40, interval_s=0.003, payload_octets=400)
        )
    some_in_flight = 0
    for step in range(1, 60):
        network.run_until(0.005 * step)
        sent, delivered, lost, dropped, in_flight = books(network)
        assert sent == delivered + lost + dropped + in_flight
        some_in_flight = max(some_in_flight, in_flight)
    assert min(lost, dropped, some_in_flight) > 10


# --- routing protocols


def speaking(network, protocol):
    """Let every router speak a routing protocol in which all links and prefixes cost 1."""
    routing = RoutingMessages(network)
    for name, router in network.routers.items():
        links = dict.fromkeys(routing.links_of(name), 1)
        own = dict.fromkeys(routing.own_prefixes(name), 1)
        routing.attach(name, protocol(name, links, own), router)
    return routing


@pytest.mark.parametrize("protocol", [DistanceVector, LinkState])
def test_routing_protocols_find_the_routes_and_go_around_a_cut_wire(protocol):
    network = ferry_network(with_routes=False)
    routing = speaking(network, protocol)
    assert echo_requests(network, "Ticket Office", "Weather Mast", count=1) == [None]
    routing.start()
    network.run_until(100)
    assert dead_ends(network) == []
    assert [hop.place for hop in trace_path(network, "Ticket Office", "Weather Mast")] == [
        "North Pier",
        "Gull Rock",
        "Weather Mast",
    ]
    network.cut("Gull Rock - North Pier")
    network.run_until(network.now_s + 200)
    hops = trace_path(network, "Ticket Office", "Weather Mast")
    assert [hop.place for hop in hops] == [
        "North Pier", "Reed Pier", "Lantern Pier", "Gull Rock", "Weather Mast",
    ]  # fmt: skip
    assert mistakes(network.records) == []


# --- somebody else's router


class Raising(Router):
    """A router that forgets to look whether there is anything in a header."""

    def receive(self, now_s, interface, frame):
        if frame[12:14] == b"\x08\x00":
            raise IndexError("index out of range")
        return super().receive(now_s, interface, frame)


def test_a_bad_router_hurts_those_behind_it_and_nobody_else():
    network = ferry_network(routers={"Reed Pier": Raising})
    assert None not in echo_requests(network, "Ticket Office", "Weather Mast")
    assert echo_requests(network, "Ticket Office", "Curlew Bridge Screen", count=2) == [None, None]
    assert None not in echo_requests(network, "Ticket Office", "Plover Bridge Screen")
    found = mistakes(network.records)
    assert {(record.place, record.what) for record in found} == {("Reed Pier", What.FAILED)}
    assert network.counts()["Reed Pier", What.FAILED] == 2
    assert "198.51.100.2 to 203.0.113.18: ICMP type 8" in found[0].text


def test_a_bad_router_shows_as_a_gap_in_the_path():
    class WithoutErrors(Router):
        """Discards in silence what has lived too long."""

        def receive(self, now_s, interface, frame):
            too_old = frame[12:14] == b"\x08\x00" and frame[22] == 1
            return [] if too_old else super().receive(now_s, interface, frame)

    network = ferry_network(routers={"Gull Rock": WithoutErrors})
    hops = trace_path(network, "Ticket Office", "Weather Mast", wait_s=0.5)
    assert [hop.place for hop in hops] == ["North Pier", None, "Weather Mast"]
    assert [hop.what for hop in hops] == [
        What.TIME_EXCEEDED,
        What.NO_ANSWER,
        What.ECHO_REPLY,
    ]


def test_a_router_stands_where_there_is_a_place_for_it():
    with pytest.raises(NetworkError, match="no link leads to 'South Pier'; there are North Pier"):
        ferry_network(routers={"South Pier": Router})


# --- a hundred routers and more


def torus(side):
    """Return a map without edges: at most `side` hops from anywhere to anywhere."""
    grid = networkx.grid_2d_graph(side, side, periodic=True)
    return networkx.relabel_nodes(grid, lambda node: f"Buoy {node[0]} {node[1]}")


def large(map_, first, last, **settings):
    pairs = [*map_.edges, (first, "Ticket Office"), (last, "Weather Mast")]
    links = links_for_documentation(pairs, delay_s=0.001)
    hosts = ["Ticket Office", "Weather Mast"]
    return build_network(links, Router, hosts=hosts, **settings)


EVENTS_OF_100 = {DistanceVector: 40_000, LinkState: 150_000}  # a flood reaches all from each


@pytest.mark.parametrize("protocol", EVENTS_OF_100)
def test_a_hundred_routers_find_their_routes_and_carry_echo_requests(protocol):
    """Routing messages over 200 wires, then a path as short as networkx says."""
    map_ = torus(10)
    # Our own routers need no limit, and a slow machine may stand still in any one call.
    network = large(map_, "Buoy 0 0", "Buoy 5 5", call_limit_s=None)
    speaking(network, protocol).start()
    network.run_until(60)
    assert len(network.routers) == 100
    assert None not in echo_requests(network, "Ticket Office", "Weather Mast")
    hops = trace_path(network, "Ticket Office", "Weather Mast")
    assert len(hops) == networkx.shortest_path_length(map_, "Buoy 0 0", "Buoy 5 5") + 2
    assert mistakes(network.records) == []
    assert network.clock.events < EVENTS_OF_100[protocol]


def row(count):
    names = [f"Buoy {number}" for number in range(count)]
    return networkx.Graph(pairwise(names))


def test_a_ping_over_150_routers_costs_two_events_for_each_wire():
    """And two for the host's own timers: when it asks, and when the answer is there in time."""
    network = large(row(150), "Buoy 0", "Buoy 149", time_to_live=255)
    fill_in_routes(network)
    echo_requests(network, "Ticket Office", "Weather Mast", count=1)
    events = network.clock.events
    (time_s,) = echo_requests(network, "Ticket Office", "Weather Mast", count=1)
    assert time_s == pytest.approx(2 * 151 * (98 * 8 / 100e6 + 0.001))
    assert 2 * 151 <= network.clock.events - events <= 2 * 151 + 4


def test_64_hops_are_not_enough_for_a_hundred_routers():
    """RFC 791: a datagram is destroyed when its time to live is used up, at the 64th router."""
    network = large(row(100), "Buoy 0", "Buoy 99")
    fill_in_routes(network)
    assert echo_requests(network, "Ticket Office", "Weather Mast", count=1) == [None]
    (record,) = (r for r in network.records if r.what is What.TIME_EXCEEDED)
    owner = network.plan.owner(record.other)
    assert owner.place == "Buoy 63"
