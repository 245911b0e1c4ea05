"""Networks from a list of links, routes from the shortest paths, and questions in one call."""

import itertools

import networkx
import pytest

from course_lib.forwarding.router import Router
from course_lib.ip.packets import Interface
from course_lib.network import (
    Host,
    Link,
    Network,
    NetworkError,
    Stream,
    build_network,
    dead_ends,
    echo_requests,
    fill_in_routes,
    links_for_documentation,
    mistakes,
    stream,
    trace_path,
)
from course_lib.network.probes import address_of
from course_lib.network.records import What
from course_lib.network.wires import End, Wire
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from networks.network_stand_ins import Relay, interface

LINKS = (
    Link(("North Pier", "Ticket Office"), parse_prefix("198.51.100.0/27")),
    Link(("North Pier", "Reed Pier"), parse_prefix("192.0.2.0/31")),
    Link(("Reed Pier", "Plover"), parse_prefix("192.0.2.2/31"), rate_bits_per_s=1e6, delay_s=0.02),
    Link(("Plover", "Bridge Screen"), parse_prefix("203.0.113.0/28")),
)
HOSTS = ("Ticket Office", "Bridge Screen")


def coast(**settings):
    network = build_network(LINKS, Router, hosts=HOSTS, **settings)
    fill_in_routes(network)
    return network


# --- building


def test_addresses_names_and_gateways_are_filled_in():
    network = coast()
    assert list(network.routers) == ["North Pier", "Reed Pier", "Plover"]
    assert network.hosts["Ticket Office"].gateway == parse_address("198.51.100.1")
    assert network.hosts["Ticket Office"].interface.address == parse_address("198.51.100.2")
    assert network.plan.owner(parse_address("192.0.2.0")) == End("North Pier", "to Reed Pier")
    assert list(network.wires)[2] == "Plover - Reed Pier"


def test_a_link_keeps_its_settings():
    wire = coast().wires["Plover - Reed Pier"]
    assert (wire.rate_bits_per_s, wire.delay_s) == (1e6, 0.02)


def test_another_router_can_stand_at_a_place():
    network = build_network(
        LINKS, Router, hosts=HOSTS, others={"Reed Pier": lambda name, own: Relay(own)}
    )
    kinds = {name: type(router).__name__ for name, router in network.routers.items()}
    assert kinds == {"North Pier": "Router", "Reed Pier": "Relay", "Plover": "Router"}


def test_hardware_addresses_are_for_documentation_and_differ_on_every_wire():
    """RFC 9542: 00-00-5E-00-53-00 to -FF. There are more interfaces than that."""
    places = [f"Buoy {number}" for number in range(200)]
    pairs = list(itertools.pairwise(places))
    network = build_network(links_for_documentation(pairs), Router)
    interfaces = [network.plan.interface(e) for w in network.wires.values() for e in w.ends]
    assert len({each.hardware_address for each in interfaces}) == 256
    for wire in network.wires.values():
        one, other = (network.plan.interface(end).hardware_address for end in wire.ends)
        assert one[:5] == other[:5] == bytes.fromhex("00005e0053")
        assert one != other


def test_links_for_documentation_use_the_three_ranges_and_no_more():
    """RFC 5737: three times 256 addresses, two for each link."""
    pairs = [("Plover", f"Buoy {number}") for number in range(384)]
    links = links_for_documentation(pairs)
    assert len({link.prefix for link in links}) == 384
    blocks = [parse_prefix(b) for b in ("192.0.2.0/24", "198.51.100.0/24", "203.0.113.0/24")]
    assert all(any(block.covers(link.prefix) for block in blocks) for link in links)
    with pytest.raises(NetworkError, match="no addresses are left"):
        links_for_documentation([*pairs, ("Plover", "one too many")])


SEA = parse_prefix("192.0.2.8/31")


@pytest.mark.parametrize(
    ("links", "settings", "says"),
    [
        ([*LINKS, Link(("Plover", "Plover"), SEA)], {}, "a link joins 'Plover' to itself"),
        ([*LINKS, Link(("Plover", "Gull"), parse_prefix("192.0.2.8/32"))], {}, "no address for a"),
        ([*LINKS, Link(("Plover", "Ticket Office"), SEA)], {}, "host 'Ticket Office' has 2 links"),
        ([*LINKS, Link(("Plover", "Gull"), LINKS[1].prefix)], {}, "192.0.2.0, and so has"),
        (
            [*LINKS, Link(("Plover", "Gull"), parse_prefix("192.0.2.0/25"))],
            {},
            "and so has Reed Pier",
        ),
        ([*LINKS, Link(("A", "B"), parse_prefix("203.0.113.0/26"))], {}, "and so has Plover"),
        ([*LINKS, Link(("A", "B"), parse_prefix("203.0.113.8/29"))], {}, "overlaps 203.0.113.0/28"),
        (LINKS, {"hosts": ["Gull Rock"]}, "no link leads to 'Gull Rock'; there are North Pier"),
        (LINKS, {"others": {"Gull Rock": Router}}, "no link leads to 'Gull Rock'"),
        (LINKS, {"others": {"Ticket Office": Router}}, "'Ticket Office' is a host, so no router"),
        (
            [LINKS[0]._replace(delay_s=-1)],
            {"hosts": ["Ticket Office"]},
            "delay_s must be 0 or more",
        ),
    ],
)
def test_links_that_cannot_be_are_refused_by_name(links, settings, says):
    with pytest.raises(NetworkError, match=says):
        build_network(links, Router, **({"hosts": HOSTS} | settings))


# --- routes


def test_routes_follow_shortest_paths_between_all_routers():
    """networkx finds the lengths; the path through our tables must be as long."""
    map_ = networkx.convert_node_labels_to_integers(networkx.grid_2d_graph(4, 4, periodic=True))
    pairs = [(f"Buoy {one}", f"Buoy {other}") for one, other in map_.edges]
    pairs += [("Buoy 0", "Ticket Office"), ("Buoy 10", "Bridge Screen")]
    network = build_network(links_for_documentation(pairs), Router, hosts=HOSTS)
    fill_in_routes(network)
    assert dead_ends(network) == []
    hops = trace_path(network, "Ticket Office", "Bridge Screen")
    assert len(hops) == networkx.shortest_path_length(map_, 0, 10) + 2


def test_a_wire_is_reached_by_its_nearer_end():
    """In a square, the wire on the other side of a neighbour lies behind that neighbour."""
    names = ("Plover", "Curlew", "Sandpiper", "Reed")
    pairs = [(names[n], names[(n + 1) % 4]) for n in range(4)]
    network = build_network(links_for_documentation(pairs), Router)
    fill_in_routes(network)
    ways = {
        str(prefix): way.interface for prefix, way in network.routers["Plover"].routes().items()
    }
    assert ways["192.0.2.2/31"] == "to Curlew"  # Curlew - Sandpiper
    assert ways["192.0.2.4/31"] == "to Reed"  # Sandpiper - Reed


@pytest.mark.parametrize(
    ("costs", "way"), [({"fibre": 9}, "by radio"), ({"radio": 9}, "by fibre"), ({}, "by radio")]
)
def test_the_cheaper_of_two_wires_between_the_same_routers_is_taken(costs, way):
    network = Network()
    plover = [interface("by radio", 0xC0000200, 0), interface("by fibre", 0xC0000202, 2)]
    reed = [interface("by radio", 0xC0000201, 1), interface("by fibre", 0xC0000203, 3)]
    reed += [interface("to Screen", 0xC0000204, 4)]
    network.add_router("Plover", Router("Plover", plover), plover)
    network.add_router("Reed", Router("Reed", reed), reed)
    network.add_host(Host("Screen", interface("wired", 0xC0000205, 5), 0xC0000204))
    for name in ("radio", "fibre"):
        network.connect(Wire(name, (End("Plover", f"by {name}"), End("Reed", f"by {name}"))))
    network.connect(Wire("cable", (End("Reed", "to Screen"), End("Screen", "wired"))))
    fill_in_routes(network, costs)
    assert network.routers["Plover"].routes()[parse_prefix("192.0.2.4/31")].interface == way


def test_costs_of_wires_are_kept():
    pairs = [("Plover", "Curlew"), ("Curlew", "Reed"), ("Plover", "Reed"), ("Reed", "Screen")]
    for costs, middle in ((None, []), ({"Plover - Reed": 5}, ["Curlew"])):
        links = links_for_documentation([("Plover", "Office"), *pairs])
        network = build_network(links, Router, hosts=["Office", "Screen"])
        fill_in_routes(network, costs)
        places = [hop.place for hop in trace_path(network, "Office", "Screen")]
        assert places == ["Plover", *middle, "Reed", "Screen"]


def test_a_router_that_takes_no_routes_is_named():
    network = build_network(
        LINKS, Router, hosts=HOSTS, others={"Reed Pier": lambda name, own: Relay(own)}
    )
    with pytest.raises(NetworkError, match="router 'Reed Pier' has no add_route"):
        fill_in_routes(network)


@pytest.mark.parametrize(
    ("next_hop", "interface", "says"),
    [
        ("192.0.2.2", "to Plover", "192.0.2.2 is Reed Pier, interface 'to Plover', and wire"),
        ("198.51.100.9", "to the sea", "there is no wire at interface 'to the sea'"),
        (None, "to North Pier", "on interface 'to North Pier' all addresses are in 192.0.2.0/31"),
    ],
)
def test_a_route_to_nowhere_is_found(next_hop, interface, says):
    class WithSea(Router):
        def __init__(self, name, own):
            sea = Interface("to the sea", bytes(6), 0xC6336441, parse_prefix("198.51.100.64/26"))
            super().__init__(name, [*own, sea])

    network = build_network(LINKS, Router, hosts=HOSTS, others={"Reed Pier": WithSea})
    fill_in_routes(network)
    network.routers["Reed Pier"].withdraw_route(parse_prefix("198.51.100.64/26"))
    assert dead_ends(network) == []
    address = None if next_hop is None else parse_address(next_hop)
    router = network.routers["Reed Pier"]
    router.interfaces["to the sea"] = router.interfaces["to the sea"]._replace(
        prefix=parse_prefix("198.51.100.0/24")
    )
    router.add_route(parse_prefix("203.0.113.128/25"), address, interface)
    (found,) = dead_ends(network)
    assert found.startswith("'Reed Pier': the route to 203.0.113.128/25 leads nowhere: ")
    assert says in found


def test_routes_to_nobody_and_to_hosts_are_dead_ends():
    network = coast()
    north = network.routers["North Pier"]
    north.add_route(
        parse_prefix("203.0.113.64/26"), parse_address("198.51.100.2"), "to Ticket Office"
    )
    north.add_route(
        parse_prefix("203.0.113.128/26"), parse_address("198.51.100.9"), "to Ticket Office"
    )
    to_host, to_nobody = dead_ends(network)
    assert to_host.endswith("198.51.100.2 is the host 'Ticket Office', and hosts forward nothing")
    assert to_nobody.endswith("nobody has the address 198.51.100.9")


# --- questions


def test_a_ping_takes_the_sum_of_all_its_hops():
    """98 octets: Ethernet 14, IPv4 20, ICMP 8, data 56. Three wires of 100 Mb/s, one of 1 Mb/s."""
    one_way_s = 98 * 8 * (3 / 100e6 + 1 / 1e6) + 0.02
    times_s = echo_requests(coast(), "Ticket Office", "Bridge Screen", count=3)
    assert times_s[1:] == pytest.approx([2 * one_way_s] * 2, rel=1e-9)
    assert times_s[0] > 2 * one_way_s  # hardware addresses had to be found out first


def test_a_path_lists_the_routers_by_name_and_address():
    hops = trace_path(coast(), "Ticket Office", "Bridge Screen")
    assert [(hop.time_to_live, hop.place, hop.what) for hop in hops] == [
        (1, "North Pier", What.TIME_EXCEEDED),
        (2, "Reed Pier", What.TIME_EXCEEDED),
        (3, "Plover", What.TIME_EXCEEDED),
        (4, "Bridge Screen", What.ECHO_REPLY),
    ]
    assert [hop.address for hop in hops] == list(
        map(parse_address, ("198.51.100.1", "192.0.2.1", "192.0.2.3", "203.0.113.2"))
    )


def test_a_hop_prints_as_one_line():
    hops = trace_path(coast(), "Ticket Office", "198.51.100.1")
    assert str(hops[0]).split(maxsplit=3)[2:] == ["ms", "198.51.100.1     North Pier  (echo reply)"]
    network = coast()
    network.cut("North Pier - Reed Pier")
    silent = trace_path(network, "Ticket Office", "Bridge Screen", most_hops=2, wait_s=0.5)
    assert str(silent[1]) == "  2  no answer"


def test_a_stream_reports_delay_and_loss():
    """188 octets of datagram and 14 of Ethernet; the delay is that of four wires."""
    network = coast()
    echo_requests(network, "Ticket Office", "Bridge Screen", count=1)
    report = stream(network, "Ticket Office", "Bridge Screen", count=50, interval_s=0.02)
    delay_s = 202 * 8 * (3 / 100e6 + 1 / 1e6) + 0.02
    assert (report.sent, report.received, report.lost_share) == (50, 50, 0.0)
    assert list(report.delays_s.values()) == pytest.approx([delay_s] * 50)


def test_a_stream_that_is_too_fast_for_a_wire_fills_its_buffer():
    """202 octets every 1 ms are 1.6 Mb/s on a wire of 1 Mb/s: 1/1.6 pass, in the long run."""
    network = coast()
    echo_requests(network, "Ticket Office", "Bridge Screen", count=1)
    report = stream(network, "Ticket Office", "Bridge Screen", count=2000, interval_s=0.001)
    assert report.received == pytest.approx(2000 / 1.616 + 100, abs=3)
    assert max(report.delays_s.values()) == pytest.approx(0.02 + 100 * 1.616e-3, rel=0.02)
    dropped = network.traffic()["Plover - Reed Pier", "Reed Pier"].dropped
    assert dropped == 2000 - report.received


def test_two_streams_at_a_time_are_kept_apart():
    network = coast()
    echo_requests(network, "Ticket Office", "Bridge Screen", count=1)
    host, screen = network.hosts["Ticket Office"], address_of(network, "Bridge Screen")
    tasks = [
        host.begin(network.now_s, Stream(screen, count=count, interval_s=0.01)) for count in (5, 7)
    ]
    network.run_until(10)
    arrived = [record.task for record in network.records if record.what is What.DATAGRAM]
    assert [arrived.count(task) for task in tasks] == [5, 7]


def test_a_report_counts_its_own_stream_alone():
    """Another one goes from the same host to the same place at the same time."""
    network = coast()
    echo_requests(network, "Ticket Office", "Bridge Screen", count=1)
    other = Stream(address_of(network, "Bridge Screen"), count=9, interval_s=0.05)
    network.hosts["Ticket Office"].begin(network.now_s, other)
    report = stream(network, "Ticket Office", "Bridge Screen", count=4, interval_s=0.05)
    assert list(report.delays_s) == [1, 2, 3, 4]


def test_a_stream_may_go_to_any_port():
    report = stream(coast(), "Ticket Office", "Bridge Screen", count=3, interval_s=0.5, port=40_000)
    assert report.received == 3


def test_a_port_that_nobody_listens_on_is_reported_to_the_sender():
    network = coast()
    host = network.hosts["Ticket Office"]
    task = Stream(address_of(network, "Bridge Screen"), count=1, interval_s=1, port=9)
    host.begin(network.now_s, task)
    network.run_until(1)
    (record,) = (r for r in network.records if r.what is What.UNREACHABLE)
    assert (record.place, record.other) == ("Ticket Office", parse_address("203.0.113.2"))


@pytest.mark.parametrize(
    ("ask", "error", "says"),
    [
        (
            lambda n: echo_requests(n, "Gull Rock", "Ticket Office"),
            NetworkError,
            "no host 'Gull Rock'",
        ),
        (
            lambda n: echo_requests(n, "Ticket Office", "Gull Rock"),
            ValueError,
            "'Gull Rock' has 1 parts",
        ),
        (
            lambda n: stream(n, "Ticket Office", "198.51.100.1", count=1, interval_s=1),
            NetworkError,
            "no host has the address 198.51.100.1",
        ),
    ],
)
def test_a_question_that_cannot_be_asked_is_refused(ask, error, says):
    with pytest.raises(error, match=says):
        ask(coast())


def test_nothing_of_this_is_a_mistake_of_a_router():
    network = coast()
    echo_requests(network, "Ticket Office", "Bridge Screen")
    trace_path(network, "Ticket Office", "198.51.100.30")
    assert mistakes(network.records) == []
