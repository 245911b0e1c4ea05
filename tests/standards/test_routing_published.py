"""Routing against the worked examples, tables and constants of RFC 2328 and RFC 2453."""

import networkx as nx
import pytest

from course_lib.routing import advertisements, distance_vector, flooding, link_state
from course_lib.routing import distance_vector_messages as messages
from course_lib.routing import neighbour_discovery as discovery
from course_lib.routing.distance_vector import DistanceVector, Settings, SplitHorizon
from course_lib.routing.shortest_path_tree import shortest_paths
from networks.talking_routers import Talk, talk

# RFC 2328, section 2.1.2, figure 3: the cost of each arc that leaves a router.
FIGURE_3_ROUTERS = """
    RT1-N1 3  RT1-N3 1  RT2-N2 3  RT2-N3 1  RT3-N3 1  RT3-N4 2  RT3-RT6 8  RT4-N3 1  RT4-RT5 8
    RT5-RT4 8  RT5-RT6 7  RT5-RT7 6  RT6-RT3 6  RT6-RT5 6  RT6-RT10 7  RT7-RT5 6  RT7-N6 1
    RT8-N6 1  RT8-N7 4  RT9-N9 1  RT9-N11 3  RT10-RT6 5  RT10-N6 1  RT10-N8 3
    RT11-N8 2  RT11-N9 1  RT12-N9 1  RT12-N10 2  RT12-H1 10
"""
# Figure 3, columns N3 to N9: networks with several routers; their arcs cost 0.
FIGURE_3_NETWORKS = """
    N3-RT1 0  N3-RT2 0  N3-RT3 0  N3-RT4 0  N6-RT7 0  N6-RT8 0  N6-RT10 0
    N8-RT10 0  N8-RT11 0  N9-RT9 0  N9-RT11 0  N9-RT12 0
"""
# Figure 5 draws the two interface addresses of the line between RT6 and RT10 as well.
FIGURE_5_INTERFACES = "RT6-Ib 7  RT10-Ia 5"
# Figure 3, rows N12 to N15: external destinations, taken as type 1 metrics (section 2.3).
FIGURE_3_EXTERNAL = "RT5-N12 8  RT5-N13 8  RT5-N14 8  RT7-N12 2  RT7-N15 9"
# RFC 2328, section 3.4, figure 8: the backbone, and nothing else. (Through area 1, which the rules
# for areas do not let them use here, RT3 and RT4 would be closer to each other.)
FIGURE_8_BACKBONE = """
    RT3-RT6 8  RT6-RT3 6  RT4-RT5 8  RT5-RT4 8  RT5-RT6 7  RT6-RT5 6  RT5-RT7 6  RT7-RT5 6
    RT6-RT10 7  RT10-RT6 5  RT10-RT11 3  RT11-RT10 2  RT10-Ia 5  RT6-Ib 7
"""
# RFC 2328, section 2.2, table 2, and section 2.3, table 3. The star there, "attached", is here the
# destination itself.
TABLES_2_AND_3 = """
    N1 RT3 10  N2 RT3 10  N3 RT3 7  N4 RT3 8  Ib Ib 7  Ia RT10 12  N6 RT10 8  N7 RT10 12
    N8 RT10 10  N9 RT10 11  N10 RT10 13  N11 RT10 14  H1 RT10 21  RT5 RT5 6  RT7 RT10 8
    N12 RT10 10  N13 RT5 14  N14 RT5 14  N15 RT10 17
"""
# RFC 2328, section 3.4, table 5: to, distance from RT3, distance from RT4.
TABLE_5 = """
    RT3 0 21  RT4 22 0  RT7 20 14  RT10 15 22  RT11 18 25  Ia 20 27  Ib 15 22  RT5 14 8
"""
# RFC 2328, section 2.2, figure 5: where each edge of the tree starts, for the ends further out.
FIGURE_5_EDGES = """
    RT3-N3  RT3-N4  N3-RT4  N3-RT1  N3-RT2  RT1-N1  RT2-N2  RT10-Ia  RT10-N6  RT10-N8  N6-RT7
    N6-RT8  RT8-N7  RT7-N12  RT7-N15  N8-RT11  RT11-N9  N9-RT9  N9-RT12  RT9-N11  RT12-N10  RT12-H1
"""


def read_graph(*texts: str) -> dict[str, dict[str, int]]:
    words = " ".join(texts).split()
    graph: dict[str, dict[str, int]] = {}
    for arc, cost in zip(words[::2], words[1::2], strict=True):
        start, end = arc.split("-")
        graph.setdefault(start, {})[end] = int(cost)
    return graph


def in_threes(text: str) -> list[tuple[str, str, str]]:
    words = text.split()
    return list(zip(words[::3], words[1::3], words[2::3], strict=True))


SAMPLE_SYSTEM = read_graph(
    FIGURE_3_ROUTERS, FIGURE_3_NETWORKS, FIGURE_5_INTERFACES, FIGURE_3_EXTERNAL
)
SAMPLE_NETWORKS = frozenset({"N3", "N6", "N8", "N9"})
BACKBONE = read_graph(FIGURE_8_BACKBONE)


# --- RFC 2328: shortest paths ---------------------------------------------------------------------


@pytest.mark.parametrize(("destination", "next_hop", "distance"), in_threes(TABLES_2_AND_3))
def test_routes_of_rt6_are_those_of_tables_2_and_3(destination, next_hop, distance):
    path = shortest_paths(SAMPLE_SYSTEM, "RT6", networks=SAMPLE_NETWORKS)[destination]
    assert (path.first_hops, path.cost) == ({next_hop}, int(distance))


@pytest.mark.parametrize("edge", FIGURE_5_EDGES.split())
def test_the_tree_of_rt6_is_that_of_figure_5(edge):
    start, end = edge.split("-")
    paths = shortest_paths(SAMPLE_SYSTEM, "RT6", networks=SAMPLE_NETWORKS)
    assert paths[end].previous == {start}


@pytest.mark.parametrize("root", [f"RT{number}" for number in range(1, 13)])
def test_distances_in_the_sample_system_agree_with_networkx(root):
    """The RFC prints RT6 only; networkx is the second opinion on the other eleven roots."""
    graph = nx.DiGraph()
    graph.add_weighted_edges_from(
        (a, b, c) for a in SAMPLE_SYSTEM for b, c in SAMPLE_SYSTEM[a].items()
    )
    expected = nx.single_source_dijkstra_path_length(graph, root)
    paths = shortest_paths(SAMPLE_SYSTEM, root, networks=SAMPLE_NETWORKS)
    assert {vertex: path.cost for vertex, path in paths.items()} == expected


@pytest.mark.parametrize(("destination", "from_rt3", "from_rt4"), in_threes(TABLE_5))
def test_backbone_distances_are_those_of_table_5(destination, from_rt3, from_rt4):
    found = [shortest_paths(BACKBONE, root)[destination].cost for root in ("RT3", "RT4")]
    assert found == [int(from_rt3), int(from_rt4)]


def test_table_5_holds_on_the_backbone_only():
    """On the whole system RT4 gets to Ia through network N6, inside area 2, and for 20."""
    path = shortest_paths(SAMPLE_SYSTEM, "RT4", networks=SAMPLE_NETWORKS)["Ia"]
    assert (path.cost, path.first_hops) == (20, {"RT5"})


def test_a_cost_belongs_to_the_sending_side():
    """RFC 2328, section 2.1.2, figure 3: from RT5 to RT6 it is 7, the other way 6."""
    there = shortest_paths(SAMPLE_SYSTEM, "RT5", networks=SAMPLE_NETWORKS)["RT6"].cost
    back = shortest_paths(SAMPLE_SYSTEM, "RT6", networks=SAMPLE_NETWORKS)["RT5"].cost
    assert (there, back) == (7, 6)


# --- constants ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "published"),
    [
        pytest.param(link_state.REFRESH_S, 1800, id="LSRefreshTime"),
        pytest.param(link_state.MIN_INTERVAL_S, 5, id="MinLSInterval"),
        pytest.param(flooding.MIN_ARRIVAL_S, 1, id="MinLSArrival"),
        pytest.param(advertisements.MAX_AGE_S, 3600, id="MaxAge"),
        pytest.param(advertisements.MAX_AGE_DIFFERENCE_S, 900, id="MaxAgeDiff"),
        pytest.param(advertisements.FIRST_SEQUENCE, 0x80000001 - 2**32, id="InitialSequenceNumber"),
        pytest.param(advertisements.LAST_SEQUENCE, 0x7FFFFFFF, id="MaxSequenceNumber"),
        pytest.param(discovery.HELLO_INTERVAL_S, 10, id="HelloInterval, sample for a LAN"),
        pytest.param(discovery.DEAD_INTERVAL_S, 4 * 10, id="RouterDeadInterval, say 4 hellos"),
        pytest.param(flooding.RETRANSMIT_INTERVAL_S, 5, id="RxmtInterval, sample for a LAN"),
        pytest.param(flooding.TRANSMIT_DELAY_S, 1, id="InfTransDelay, sample for a LAN"),
    ],
)
def test_constants_of_rfc_2328_appendices_b_and_c(value, published):
    assert value == published


@pytest.mark.parametrize(
    ("value", "published"),
    [
        pytest.param(messages.INFINITY, 16, id="section 3.4.1, infinity"),
        pytest.param(messages.MAX_ENTRIES, 25, id="section 3.6, entries in a message"),
        pytest.param(distance_vector.UPDATE_INTERVAL_S, 30, id="section 3.8, update"),
        pytest.param(distance_vector.UPDATE_JITTER_S, 5, id="section 3.8, random offset"),
        pytest.param(distance_vector.TIMEOUT_S, 180, id="section 3.8, timeout"),
        pytest.param(distance_vector.GARBAGE_COLLECTION_S, 120, id="section 3.8, garbage"),
        pytest.param(distance_vector.TRIGGERED_PAUSE_S, (1, 5), id="section 3.10.1, pause"),
    ],
)
def test_constants_of_rfc_2453(value, published):
    assert value == published


# --- RFC 2453: counting up ------------------------------------------------------------------------

# RFC 2453, section 3.4.2: all networks cost 1, but the one between C and D costs 10. "All routers
# send updates at the same time" leaves open in which order they are read; this order of the
# routers gives the printed next hops as well as the printed metrics.
COUNT_UP_GRAPH = {
    "B": {"A": 1, "C": 1, "D": 1},
    "C": {"A": 1, "B": 1, "D": 10},
    "A": {"B": 1, "C": 1},
    "D": {"B": 1, "C": 10},
}
NO_REMEDY = Settings(SplitHorizon.OFF, triggered_updates=False, jitter_s=0)


def counting_up(graph: dict[str, dict[str, int]], settings: Settings) -> Talk[DistanceVector[str]]:
    """Return the RFC's network at the moment after the line between B and D has failed."""

    def make_router(name: str, links: dict[str, int]) -> DistanceVector[str]:
        return DistanceVector(name, links, {"target": 1} if name == "D" else {}, settings)

    bay = talk(graph, make_router)
    bay.run_until(100)
    bay.cut("B - D")
    return bay


def chart_column(bay: Talk[DistanceVector[str]], round_number: int) -> str:
    """Return next hop and metric of D, B, C and A after so many rounds, as in the chart."""
    bay.run_until(100 + 30 * round_number)
    entries = {name: router.table()["target"] for name, router in bay.routers.items()}
    hops = {
        name: "dir" if entry.next_hop is None else entry.next_hop.router
        for name, entry in entries.items()
    }
    return "  ".join(
        "unreach" if entries[name].metric == 16 else f"{hops[name]} {entries[name].metric}"
        for name in "DBCA"
    )


def test_before_the_failure_the_routes_are_the_printed_ones():
    bay = talk(
        COUNT_UP_GRAPH,
        lambda name, links: DistanceVector(
            name, links, {"target": 1} if name == "D" else {}, NO_REMEDY
        ),
    )
    assert chart_column(bay, 0) == "dir 1  D 2  B 3  B 3"


@pytest.mark.parametrize(
    ("round_number", "column"),
    [
        (0, "dir 1  unreach  B 3  B 3"),
        (1, "dir 1  C 4  A 4  C 4"),
        (2, "dir 1  C 5  A 5  C 5"),
        (3, "dir 1  C 6  A 6  C 6"),
        (8, "dir 1  C 11  A 11  C 11"),
        (9, "dir 1  C 12  D 11  C 12"),
        (20, "dir 1  C 12  D 11  C 12"),
    ],
)
def test_without_remedies_the_metrics_count_up_as_in_the_chart(round_number, column):
    """RFC 2453, section 3.4.2. That it takes nine rounds follows from the chart's last column."""
    assert chart_column(counting_up(COUNT_UP_GRAPH, NO_REMEDY), round_number) == column


def test_with_no_other_way_the_metrics_rise_by_one_until_sixteen():
    """RFC 2453, section 3.4.2, the worst case: the network becomes completely inaccessible."""
    graph = {a: {b: c for b, c in arcs.items() if c != 10} for a, arcs in COUNT_UP_GRAPH.items()}
    bay = counting_up(graph, NO_REMEDY)
    columns = [chart_column(bay, number) for number in range(1, 14)]
    counting = [f"dir 1  C {metric}  A {metric}  C {metric}" for metric in range(4, 16)]
    assert columns == [*counting, "dir 1  unreach  unreach  unreach"]


def metrics_of_b(settings: Settings) -> list[int]:
    """Return the different metrics of B in the order in which they appear after the failure."""
    bay = counting_up(COUNT_UP_GRAPH, settings)
    metrics: list[int] = []
    for tenth_of_a_second in range(4000):
        bay.run_until(100 + tenth_of_a_second / 10)
        metrics.append(bay.routers["B"].table()["target"].metric)
    return [metric for i, metric in enumerate(metrics) if i == 0 or metric != metrics[i - 1]]


def test_split_horizon_alone_does_not_cure_three_routers():
    """RFC 2453, section 3.4.4: three can still deceive each other, each believing the next."""
    metrics = metrics_of_b(NO_REMEDY._replace(split_horizon=SplitHorizon.POISONED_REVERSE))
    assert (metrics[0], metrics[-1]) == (16, 12)
    assert len(metrics) > 4


@pytest.mark.parametrize("split_horizon", SplitHorizon)
def test_triggered_updates_cure_it_if_nobody_speaks_meanwhile(split_horizon):
    """RFC 2453, section 3.4.4: if the system sits still during the cascade, nobody counts."""
    settings = NO_REMEDY._replace(split_horizon=split_horizon, triggered_updates=True)
    assert metrics_of_b(settings) == [16, 12]


# --- RFC 2453, section 3.9.2: what a received metric does -----------------------------------------


@pytest.mark.parametrize(
    ("known", "wait_s", "sender", "offered", "result"),
    [
        pytest.param(None, 0, "X", 5, ("X", 6), id="new"),
        pytest.param(None, 0, "X", 15, None, id="new-but-16-with-our-cost"),
        pytest.param(None, 0, "X", 16, None, id="new-but-unreachable"),
        pytest.param(5, 0, "X", 3, ("X", 4), id="same-source-better"),
        pytest.param(5, 0, "X", 9, ("X", 10), id="same-source-worse-is-believed"),
        pytest.param(5, 0, "X", 16, ("X", 16), id="same-source-unreachable-is-believed"),
        pytest.param(5, 0, "Y", 4, ("Y", 5), id="other-source-better"),
        pytest.param(5, 0, "Y", 5, ("X", 6), id="other-source-equal-is-ignored"),
        pytest.param(5, 0, "Y", 9, ("X", 6), id="other-source-worse-is-ignored"),
        pytest.param(5, 0, "Y", 16, ("X", 6), id="other-source-unreachable-is-ignored"),
        pytest.param(5, 89, "Y", 5, ("X", 6), id="other-source-equal-still-fresh"),
        pytest.param(5, 90, "Y", 5, ("Y", 6), id="other-source-equal-half-expired"),
    ],
)
def test_update_rule(known, wait_s, sender, offered, result):
    router = DistanceVector("Lantern Pier", {"to X": 1, "to Y": 1}, {}, NO_REMEDY)
    router.start(0)
    before = [] if known is None else [("X", known, 0)]
    for who, metric, at_s in [*before, (sender, offered, wait_s)]:
        update = messages.Update(who, (messages.RouteEntry("Gull Rock", metric),))
        router.receive(at_s, update, f"to {who}")
    entry = router.table().get("Gull Rock")
    assert (entry and (entry.next_hop.router, entry.metric)) == result
