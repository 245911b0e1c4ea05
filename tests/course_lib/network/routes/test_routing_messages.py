"""Routing protocols on a network: messages take time and get lost, routes end up in the routers.

A square of routers Plover - Curlew - Sandpiper - Reed - Plover, each with a protocol.
"""

import math
from collections import Counter

import pytest

from course_lib.network import (
    NetworkError,
    RoutingMessages,
    build_network,
    links_for_documentation,
    mistakes,
)
from course_lib.network.records import What
from course_lib.prefixes.prefix import parse_prefix
from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.link_state import LinkState
from course_lib.routing.loops import find_loop
from course_lib.routing.protocol import NextHop, Outgoing, Route, link_between
from networks.network_stand_ins import Script
from networks.talking_routers import Silent, talk

PAIRS = (
    ("Plover", "Curlew"), ("Curlew", "Sandpiper"), ("Sandpiper", "Reed"), ("Reed", "Plover"),
)  # fmt: skip
NAMES = ("Plover", "Curlew", "Sandpiper", "Reed")
MESSAGE_S = 100 * 8 / 1e6 + 0.01  # as long as 100 octets at 1 Mb/s, and the delay


class Table(Script):
    """A router that forwards nothing and keeps the routes that it is given."""

    def __init__(self, name, interfaces):
        super().__init__()
        self.table = {}

    def add_route(self, prefix, next_hop, interface):
        self.table[prefix] = (interface, next_hop)

    def withdraw_route(self, prefix):
        del self.table[prefix]


def square(make, loss_rate=0.0, **settings):
    """Return network and routing; `make` gets name, costs of links and own networks."""
    links = links_for_documentation(PAIRS, rate_bits_per_s=1e6, delay_s=0.01)
    links = [link._replace(loss_rate=loss_rate) for link in links]
    network = build_network(links, Table, seed=2)
    routing = RoutingMessages(network, **settings)
    for name in NAMES:
        costs = dict.fromkeys(routing.links_of(name), 1)
        own = dict.fromkeys(routing.own_prefixes(name), 1)
        routing.attach(name, make(name, costs, own), network.routers[name])
    routing.start()
    return network, routing


def gone_to(network, name, prefix):
    """Return the interface to which a router sends what lies in `prefix`."""
    way = network.routers[name].table.get(parse_prefix(prefix))
    return None if way is None else way[0]


# --- routes


@pytest.mark.parametrize("protocol", [DistanceVector, LinkState])
def test_routes_are_found_and_put_into_the_routers(protocol):
    """The links are 192.0.2.0/31, .2/31, .4/31, .6/31, in the order in which they are named."""
    network, _ = square(protocol)
    network.run_until(60)
    assert gone_to(network, "Plover", "192.0.2.2/31") == "to Curlew"
    assert gone_to(network, "Plover", "192.0.2.4/31") == "to Reed"
    assert gone_to(network, "Sandpiper", "192.0.2.0/31") == "to Curlew"
    assert mistakes(network.records) == []


@pytest.mark.parametrize("protocol", [DistanceVector, LinkState])
def test_when_a_wire_is_cut_the_routers_learn_the_other_way(protocol):
    network, _ = square(protocol)
    network.run_until(60)
    network.cut("Curlew - Plover")
    network.run_until(200)
    assert gone_to(network, "Plover", "192.0.2.2/31") == "to Reed"
    network.mend("Curlew - Plover")
    network.run_until(400)
    assert gone_to(network, "Plover", "192.0.2.2/31") == "to Curlew"


def test_prefixes_of_a_router_itself_are_left_alone():
    network, _ = square(DistanceVector)
    network.run_until(60)
    own = {parse_prefix("192.0.2.0/31"), parse_prefix("192.0.2.6/31")}
    assert not own & set(network.routers["Plover"].table)
    assert len(network.routers["Plover"].table) == 2


def test_the_next_hop_is_the_address_at_the_other_end_of_the_wire():
    network, routing = square(DistanceVector)
    network.run_until(60)
    (gateway,) = (
        way for prefix, way in routing.installed("Plover").items() if str(prefix) == "192.0.2.2/31"
    )
    assert str(gateway) == "192.0.2.1 on to Curlew"


def test_what_was_mirrored_is_what_the_protocol_knows_with_its_own_left_out():
    speakers = {}
    network, routing = square(
        lambda name, costs, own: speakers.setdefault(name, DistanceVector(name, costs, own))
    )
    network.run_until(60)
    for name, speaker in speakers.items():
        known = {p for p, route in speaker.routes().items() if route.next_hops}
        assert set(routing.installed(name)) == known == set(network.routers[name].table)


def test_every_change_of_a_route_is_a_record():
    network, _ = square(DistanceVector)
    network.run_until(60)
    changes = Counter(r.place for r in network.records if r.what is What.ROUTE_CHANGED)
    assert changes == dict.fromkeys(NAMES, 2)
    texts = [r.text for r in network.records if r.place == "Plover" and r.what.startswith("route")]
    assert "192.0.2.2/31: from no route to 192.0.2.1 on to Curlew" in texts


def test_a_burst_of_news_is_installed_at_once():
    network, _ = square(DistanceVector, install_after_s=1.0)
    network.run_until(60)
    times = {r.time_s for r in network.records if r.what is What.ROUTE_CHANGED}
    assert min(times) >= 1.0
    assert len(times) <= 2 * len(NAMES)


def test_the_same_routes_as_among_protocols_that_write_no_table():
    graph = {name: {} for name in NAMES}
    for one, other in PAIRS:
        graph[one][other] = graph[other][one] = 1
    network, routing = square(LinkState)
    own = {name: dict.fromkeys(routing.own_prefixes(name), 1) for name in NAMES}
    talking = talk(graph, lambda name, costs: LinkState(name, costs, own[name]))
    talking.run_until(60)
    network.run_until(60)
    for name in NAMES:
        routes = talking.routers[name].routes()
        expected = {p: min(r.next_hops).router for p, r in routes.items() if r.next_hops}
        found = {p: w.interface for p, w in routing.installed(name).items()}
        assert found == {prefix: f"to {router}" for prefix, router in expected.items()}


def test_all_equal_next_hops_of_all_routers_are_told_and_owners_left_out():
    network, routing = square(LinkState)
    network.run_until(60)
    hops = routing.next_hops(parse_prefix("192.0.2.2/31"))  # between Curlew and Sandpiper
    assert hops == {"Plover": {"Curlew"}, "Reed": {"Sandpiper"}}
    assert find_loop(hops) is None
    assert routing.next_hops("nowhere") == {}


def test_a_protocol_without_a_router_only_speaks():
    """Its destinations need not be prefixes, and none of its routes is taken over or refused."""
    graph = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}
    talking = talk(graph, lambda name, costs: DistanceVector(name, costs, {f"{name} quay": 1}))
    talking.run_until(60)
    assert talking.next_hops("Curlew quay") == {"Plover": {"Curlew"}}
    assert What.ROUTE_CHANGED not in {record.what for record in talking.network.records}


def test_a_network_that_a_protocol_is_told_to_give_up_is_given_up_by_all():
    network, routing = square(DistanceVector)
    network.run_until(60)
    routing.tell("Curlew", "detach", parse_prefix("192.0.2.2/31"))
    routing.tell("Sandpiper", "detach", parse_prefix("192.0.2.2/31"))
    network.run_until(80)
    assert gone_to(network, "Plover", "192.0.2.2/31") is None
    assert mistakes(network.records) == []


# --- messages


def speak_once(now_s):
    return [Outgoing("Curlew - Plover", "ahoy")]


def test_a_message_takes_the_time_of_100_octets_and_the_delay():
    protocols = {}

    def make(name, costs, own):
        calls = {"start": speak_once} if name == "Plover" else {}
        return protocols.setdefault(name, Silent(**calls))

    network, _ = square(make)
    network.run_until(1)
    assert protocols["Curlew"].heard == [(pytest.approx(MESSAGE_S), "ahoy", "Curlew - Plover")]
    assert protocols["Reed"].heard == []
    (record,) = (r for r in network.records if r.what is What.MESSAGE_DELIVERED)
    assert (record.place, record.delay_s) == ("Curlew", pytest.approx(MESSAGE_S))


def test_messages_are_lost_at_the_rate_of_the_wire():
    """A binomial count; five standard deviations."""
    ticks = 400

    def make(name, costs, own):
        clock = iter(range(1, ticks + 1))
        due = [next(clock)]

        def tick(now_s):
            due[0] = next(clock, math.inf)
            return [Outgoing("Curlew - Plover", "ahoy")]

        calls = {"tick": tick, "next_tick_s": lambda: due[0]} if name == "Plover" else {}
        return Silent(**calls)

    network, _ = square(make, loss_rate=0.25)
    network.run_until(ticks + 1)
    counts = Counter(record.what for record in network.records)
    sent, lost = counts[What.MESSAGE_SENT], counts[What.MESSAGE_LOST]
    assert sent == ticks == lost + counts[What.MESSAGE_DELIVERED]
    assert abs(lost - ticks / 4) < 5 * math.sqrt(ticks * 0.25 * 0.75)


def test_a_protocol_that_changes_its_mind_is_called_at_the_new_time_only():
    due, ticked = [1.0], []

    def tick(now_s):
        ticked.append(now_s)
        due[0] = math.inf
        return []

    def make(name, costs, own):
        calls = {"tick": tick, "next_tick_s": lambda: due[0]} if name == "Plover" else {}
        return Silent(**calls)

    network, _ = square(make)
    network.at(0.5, lambda: due.__setitem__(0, 3.0))
    network.at(0.6, lambda: network.cut("Curlew - Plover"))  # after which it is asked again
    network.run_until(10)
    assert ticked == [3.0]


def test_at_the_same_time_messages_go_before_timers():
    """Both speak at 1 s; what they say arrives at 2 s, when both want to speak again."""
    heard_before_each_tick = []

    def make(name, costs):
        times_s = iter([1.0, 2.0, math.inf])
        due, speaker = [next(times_s)], Silent(next_tick_s=lambda: due[0])

        def tick(now_s):
            due[0] = next(times_s)
            heard_before_each_tick.append(len(speaker.heard))
            return [Outgoing("Curlew - Plover", "ahoy")]

        speaker.tick = tick
        return speaker

    takes_s = 100 * 8 / 100e6
    graph = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}
    talk(graph, make, delay_s=1.0 - takes_s).run_until(2)
    assert heard_before_each_tick == [0, 0, 1, 1]


def test_a_stopped_router_neither_hears_nor_speaks_and_its_neighbour_knows():
    """The tests of the protocols lean on it, so `networks.talking_routers` has tests too."""
    graph = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}
    link = "Curlew - Plover"
    first, second = Silent(start=lambda now_s: [Outgoing(link, "ahoy")]), Silent()
    talking = talk(graph, lambda name, costs: second if name == "Curlew" else first)
    talking.run_until(3)
    talking.stop("Plover")
    assert [what for _, what, _ in second.heard] == ["ahoy", "down"]
    talking.run_until(7)
    talking.start("Plover", Silent(start=lambda now_s: [Outgoing(link, "back")]))
    talking.run_until(8)
    assert second.heard[2] == (7, "up", link)
    assert talking.routers["Plover"].heard == [(7, "up", link)]
    assert first.heard == []


def test_a_started_router_is_told_which_of_its_links_are_cut():
    graph = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}
    talking = talk(graph, lambda name, costs: Silent())
    talking.cut("Curlew - Plover")
    talking.stop("Plover")
    talking.start("Plover", Silent())
    assert talking.routers["Plover"].heard == [(0, "down", "Curlew - Plover")]


def test_both_ends_know_a_link_under_the_same_name():
    _network, routing = square(lambda *_: Silent())
    assert routing.links_of("Plover")["Curlew - Plover"] == "Curlew"
    assert routing.links_of("Curlew")["Curlew - Plover"] == "Plover"
    assert link_between("Reed Pier", "Plover") == link_between("Plover", "Reed Pier")


def test_a_wire_can_fail_without_anybody_being_told():
    graph = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}
    talking = talk(graph, lambda name, costs: Silent())
    talking.cut("Curlew - Plover", noticed=False)
    talking.stop("Plover", noticed=False)
    talking.run_until(1)
    assert talking.routers["Curlew"].heard == talking.routers["Plover"].heard == []


def test_a_message_on_a_wire_that_is_cut_is_lost_even_if_it_is_mended_at_once():
    protocols = {}

    def make(name, costs, own):
        calls = {"start": speak_once} if name == "Plover" else {}
        return protocols.setdefault(name, Silent(**calls))

    network, _ = square(make)
    network.at(0.005, lambda: network.cut("Curlew - Plover"))
    network.at(0.006, lambda: network.mend("Curlew - Plover"))
    network.run_until(1)
    link = "Curlew - Plover"
    assert protocols["Curlew"].heard == [(0.005, "down", link), (0.006, "up", link)]
    assert [r.place for r in network.records if r.what is What.MESSAGE_LOST] == ["Plover"]


def fates_of_frames(make):
    """Return what becomes of 50 frames on a lossy wire after 100 s of routing."""
    network, _ = square(make, loss_rate=0.5)
    network.run_until(100)
    direction = network.direction(network.wires["Curlew - Plover"].ends[0])
    return [direction.offer(100.0 + n, bytes(60)).fate for n in range(50)]


def test_routing_changes_nothing_for_frames():
    """The chances of messages come from a generator of their own."""
    assert fates_of_frames(DistanceVector) == fates_of_frames(lambda *_: Silent())


# --- what goes wrong


def square_with(**calls):
    network, routing = square(
        lambda name, costs, own: Silent(**calls) if name == "Curlew" else Silent()
    )
    network.run_until(1)
    found = mistakes(network.records)
    assert {record.place for record in found} <= {"Curlew"}
    return network, routing, [(record.what, record.text) for record in found]


def raising(*arguments):
    raise ValueError("no idea")


def route_by(hop, metric=2):
    return {parse_prefix("198.51.100.0/24"): Route(metric, frozenset({hop}))}


WHO = "routing protocol 'Curlew' at 0"


@pytest.mark.parametrize(
    ("calls", "what", "says"),
    [
        ({"start": raising}, What.FAILED, "start() raised ValueError: no idea"),
        ({"next_tick_s": raising}, What.FAILED, "next_tick_s() raised ValueError"),
        ({"routes": raising}, What.FAILED, "routes() raised ValueError"),
        ({"start": lambda now_s: None}, What.REFUSED, "start() gave NoneType, must be a list"),
        ({"start": lambda now_s: ["ahoy"]}, What.REFUSED, "start() gave an entry that is not"),
        (
            {"start": lambda now_s: [Outgoing("reef", 1)]},
            What.REFUSED,
            "start(): no wire 'reef' leads here, only 'Curlew - Plover', 'Curlew - Sandpiper'",
        ),
        ({"next_tick_s": lambda: 0.0}, What.STOPPED, "wants tick() at this time again and again"),
        ({"next_tick_s": lambda: "soon"}, What.REFUSED, "next_tick_s() gave a value of type str"),
        ({"routes": lambda: [1]}, What.REFUSED, "routes() gave list, must be a mapping"),
        ({"routes": lambda: {"x": 1}}, What.REFUSED, "an entry is str and int, must be Prefix and"),
        (
            {"routes": lambda: {parse_prefix("198.51.100.0/24"): Route(1, 5)}},
            What.FAILED,
            "routes could not be taken over: TypeError",
        ),
        (
            {"routes": lambda: route_by(NextHop("reef", "Plover"))},
            What.REFUSED,
            "198.51.100.0/24 leads to 'Plover' on link 'reef', where no such router is; "
            "there are 'Plover' on 'Curlew - Plover', 'Sandpiper' on 'Curlew - Sandpiper'",
        ),
        (
            {"routes": lambda: route_by(NextHop("Curlew - Plover", "Gull Rock"))},
            What.REFUSED,
            "leads to 'Gull Rock' on link 'Curlew - Plover', where no such router is",
        ),
    ],
)
def test_a_mistake_of_a_protocol_is_named_and_the_others_go_on(calls, what, says):
    network, _, found = square_with(**calls)
    assert found[0][0] is what
    assert found[0][1].startswith(WHO)
    assert says in found[0][1]
    assert network.now_s == 1
    assert network.routers["Curlew"].table == {}


def test_good_routes_are_taken_over_beside_a_bad_one():
    good = {
        parse_prefix("203.0.113.0/24"): Route(1, frozenset({NextHop("Curlew - Plover", "Plover")}))
    }
    _network, routing, found = square_with(routes=lambda: route_by(NextHop("reef", "x")) | good)
    assert [str(prefix) for prefix in routing.installed("Curlew")] == ["203.0.113.0/24"]
    assert len(found) == 1


def test_a_router_keeps_its_own_networks_whatever_a_protocol_says():
    """Curlew is told that its own link to Plover lies behind Sandpiper."""
    hop = NextHop("Curlew - Sandpiper", "Sandpiper")
    network, _, found = square_with(
        routes=lambda: {parse_prefix("192.0.2.0/31"): Route(1, frozenset({hop}))}
    )
    assert network.routers["Curlew"].table == {}
    assert found == []


def test_of_equal_next_hops_the_first_in_the_alphabet_is_taken():
    hops = {NextHop("Curlew - Sandpiper", "Sandpiper"), NextHop("Curlew - Plover", "Plover")}
    routes = {parse_prefix("203.0.113.0/24"): Route(1, frozenset(hops))}
    network, _, found = square_with(routes=lambda: routes)
    assert gone_to(network, "Curlew", "203.0.113.0/24") == "to Plover"
    assert found == []


def test_a_table_that_takes_no_route_is_told():
    class Full(Table):
        def add_route(self, prefix, next_hop, interface):
            raise MemoryError("the table is full")

    links = links_for_documentation(PAIRS)
    network = build_network(links, Table, others={"Curlew": Full})
    routing = RoutingMessages(network)
    hop = NextHop("Curlew - Plover", "Plover")
    routing.attach("Curlew", Silent(routes=lambda: route_by(hop)), network.routers["Curlew"])
    routing.start()
    network.run_until(1)
    (record,) = mistakes(network.records)
    assert "routes could not be taken over: MemoryError: the table is full" in record.text


def test_a_protocol_speaks_where_there_is_a_router_and_once():
    _network, routing = square(lambda *_: Silent())
    with pytest.raises(NetworkError, match="no router 'Gull Rock' at which a protocol could speak"):
        routing.attach("Gull Rock", Silent(), Table("", []))
    with pytest.raises(NetworkError, match="a routing protocol speaks at 'Reed' already"):
        routing.attach("Reed", Silent(), Table("", []))
