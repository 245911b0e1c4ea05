"""Paths, equal-cost next hops and convergence of whole networks, with networkx as the judge.

Networks are random but seeded. Costs are small, so that many paths tie. The two directions of a
link may cost differently.
"""

import functools
import pickle
import random
from collections.abc import Callable, Collection, Iterator
from itertools import pairwise
from typing import NamedTuple

import networkx as nx
import pytest

from course_lib.routing.distance_vector import DistanceVector, Settings
from course_lib.routing.link_state import LinkState
from course_lib.routing.loops import find_loop, routers_that_deliver
from course_lib.routing.protocol import link_between
from course_lib.routing.shortest_path_tree import shortest_paths
from networks.talking_routers import Talk, talk

Costs = dict[str, dict[str, int]]
Router = DistanceVector[str] | LinkState[str]

NETWORKS = 200
EVERY = 50  # networks in which each link and each router fails; in all others, one of each
CHUNKS = [range(start, start + 25) for start in range(0, NETWORKS, 25)]
HALF = CHUNKS[: len(CHUNKS) // 2]  # for the tests that only vary the first one


class Kind(NamedTuple):
    """A protocol under test, and how long it may take."""

    make_router: Callable[[str, dict[str, int]], Router]
    warm_up_s: float  # from cold start to agreement
    settle_s: float  # from a failure that is noticed at once to agreement
    silent_settle_s: float  # from a failure that nobody reports
    unreachable: int  # the lowest metric that means there is no route
    all_paths: bool  # True if every equal-cost next hop has to be found


KINDS = {
    "distance vector": Kind(
        lambda name, links: DistanceVector(name, links, {name: 1}, Settings(seed=3)),
        warm_up_s=100,
        settle_s=200,
        silent_settle_s=500,
        unreachable=16,
        all_paths=False,
    ),
    "link state": Kind(
        lambda name, links: LinkState(name, links, {name: 1}),
        warm_up_s=40,
        settle_s=20,
        silent_settle_s=60,
        unreachable=2**24,
        all_paths=True,
    ),
}


# --- networks -------------------------------------------------------------------------------------


def random_network(seed: int) -> Costs:
    """Return 5 to 8 routers, connected, with costs 1 to 3."""
    rng = random.Random(seed)
    size = rng.randint(5, 8)
    graph = nx.gnm_random_graph(size, size + rng.randint(0, 4), seed=seed)
    parts = [min(part) for part in nx.connected_components(graph)]
    graph.add_edges_from(pairwise(parts))
    return {f"r{a}": {f"r{b}": rng.randint(1, 3) for b in graph[a]} for a in graph}


def without_links(costs: Costs, links: Collection[str]) -> Costs:
    return {
        a: {b: cost for b, cost in arcs.items() if link_between(a, b) not in links}
        for a, arcs in costs.items()
    }


def without_router(costs: Costs, gone: str) -> Costs:
    return {
        a: {b: cost for b, cost in arcs.items() if b != gone}
        for a, arcs in costs.items()
        if a != gone
    }


def links_of(costs: Costs) -> list[str]:
    return sorted({link_between(a, b) for a, arcs in costs.items() for b in arcs})


def settled(costs: Costs, kind: Kind) -> Talk[Router]:
    """Return a network that has agreed."""
    bay = talk(costs, kind.make_router)
    bay.run_until(kind.warm_up_s)
    assert not any(router.complaints for router in bay.routers.values())
    bay.network.records.clear()  # nobody reads them here
    return bay


@functools.cache
def frozen_network(seed: int, kind: Kind) -> bytes:
    """Return a random network that has settled, frozen: many failures of many tests start here."""
    return pickle.dumps(settled(random_network(seed), kind))


# --- the judge ------------------------------------------------------------------------------------


def as_networkx(costs: Costs) -> nx.DiGraph:
    graph = nx.DiGraph()
    graph.add_nodes_from(costs)
    graph.add_weighted_edges_from((a, b, cost) for a in costs for b, cost in costs[a].items())
    return graph


def disagreements(bay: Talk[Router], costs: Costs, kind: Kind) -> list[str]:
    """Return everything in which the running routers differ from networkx, or send in circles."""
    lengths = dict(nx.all_pairs_dijkstra_path_length(as_networkx(costs)))
    next_hops = {destination: bay.next_hops(destination) for destination in costs}
    found = []
    for name in costs:
        router = bay.routers[name]
        metrics = {d: route.metric for d, route in router.routes().items()}
        expected = {d: n + 1 for d, n in lengths[name].items() if n + 1 < kind.unreachable}
        found += [] if metrics == expected else [f"{name}: {metrics}, expected {expected}"]
        for destination in metrics.keys() & expected.keys() - {name}:
            hops = next_hops[destination][name]
            best = {
                b
                for b, cost in costs[name].items()
                if cost + lengths[b].get(destination, 99) == lengths[name][destination]
            }
            right = hops == best if kind.all_paths else hops < best or hops == best
            found += [] if right else [f"{name} to {destination}: {hops}, expected {best}"]
    return found + list(forwarding_faults(next_hops, lengths, kind))


def forwarding_faults(
    next_hops: dict[str, dict[str, frozenset[str]]], lengths: dict[str, dict[str, int]], kind: Kind
) -> Iterator[str]:
    """Yield destinations for which packets go round, or do not arrive though they could."""
    for destination, hops in next_hops.items():
        loop = find_loop(hops)
        if loop is not None:
            yield f"loop towards {destination}: {loop}"
        able = {a for a in lengths if lengths[a].get(destination, 2**30) + 1 < kind.unreachable}
        if routers_that_deliver(hops, {destination}) != able:
            yield f"packets for {destination} are lost"


# --- shortest paths -------------------------------------------------------------------------------


def random_map(seed: int) -> tuple[Costs, frozenset[str]]:
    """Return routers, networks between them (arcs out of those cost 0) and stubs (from cost 0)."""
    rng = random.Random(seed)
    routers = [f"r{i}" for i in range(rng.randint(2, 8))]
    networks = [f"n{i}" for i in range(rng.randint(0, 4))]
    costs: Costs = {vertex: {} for vertex in routers + networks}
    for network in networks:
        for router in rng.sample(routers, min(len(routers), rng.randint(2, 4))):
            costs[router][network] = rng.randint(1, 2)
            costs[network][router] = 0
    for _ in range(rng.randint(0, 2 * len(routers))):
        one, other = rng.sample(routers, 2)
        costs[one][other] = rng.randint(1, 3)
    for i in range(rng.randint(0, 4)):
        costs[rng.choice(routers)][f"s{i}"] = rng.randint(0, 2)
        costs[rng.choice(routers)][f"s{i}"] = rng.randint(0, 2)
    return costs, frozenset(networks)


def first_hop(path: list[str], networks: frozenset[str]) -> str:
    """Return the first router of a path, or the network itself if the path ends there."""
    return path[2] if path[1] in networks and len(path) > 2 else path[1]


@pytest.mark.parametrize("seeds", [range(start, start + 100) for start in range(0, 400, 100)])
def test_distances_and_all_equal_cost_first_hops(seeds):
    several = 0
    for seed in seeds:
        costs, networks = random_map(seed)
        paths = shortest_paths(costs, "r0", networks=networks)
        graph = as_networkx(costs)
        assert {v: p.cost for v, p in paths.items()} == nx.single_source_dijkstra_path_length(
            graph, "r0"
        ), seed
        for vertex in paths.keys() - {"r0"}:
            ways = list(nx.all_shortest_paths(graph, "r0", vertex, weight="weight"))
            assert paths[vertex].first_hops == {first_hop(way, networks) for way in ways}, seed
            assert paths[vertex].previous == {way[-2] for way in ways}, seed
            several += len(paths[vertex].first_hops) > 1
    assert several > 50, "the maps hold too few ties to show anything"


# --- whole networks -------------------------------------------------------------------------------


def failing(seed: int, costs: Costs) -> tuple[list[str], list[str]]:
    """Return the links and the routers of a network that fail, each alone."""
    links, routers = links_of(costs), sorted(costs)
    if seed < EVERY:
        return links, routers
    rng = random.Random(seed)
    return [rng.choice(links)], [rng.choice(routers)]


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("seeds", CHUNKS, ids=str)
def test_any_single_link_or_router_can_fail(kind, seeds):
    """200 networks; in the first ones each link and each router fails once, else one of each."""
    for seed in seeds:
        costs = random_network(seed)
        frozen = frozen_network(seed, kind)
        links, routers = failing(seed, costs)
        assert disagreements(pickle.loads(frozen), costs, kind) == [], seed
        for link in links:
            bay = pickle.loads(frozen)
            bay.cut(link)
            bay.run_until(kind.warm_up_s + kind.settle_s)
            assert disagreements(bay, without_links(costs, {link}), kind) == [], (seed, link)
        for name in routers:
            bay = pickle.loads(frozen)
            bay.stop(name)
            bay.run_until(kind.warm_up_s + kind.settle_s)
            assert disagreements(bay, without_router(costs, name), kind) == [], (seed, name)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("seeds", HALF, ids=str)
def test_failures_that_nobody_reports_are_found_by_the_timers(kind, seeds):
    for seed in seeds:
        costs = random_network(seed)
        rng = random.Random(seed)
        link, name = rng.choice(links_of(costs)), rng.choice(sorted(costs))
        bay = pickle.loads(frozen_network(seed, kind))
        bay.cut(link, noticed=False)
        bay.stop(name, noticed=False)
        bay.run_until(kind.warm_up_s + kind.silent_settle_s)
        left = without_router(without_links(costs, {link}), name)
        assert disagreements(bay, left, kind) == [], seed


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("seeds", HALF, ids=str)
def test_what_is_repaired_is_used_again(kind, seeds):
    """A router forgets everything while it is off; the others remember it."""
    for seed in seeds:
        costs = random_network(seed)
        rng = random.Random(seed)
        link, name = rng.choice(links_of(costs)), rng.choice(sorted(costs))
        bay = pickle.loads(frozen_network(seed, kind))
        bay.cut(link)
        bay.stop(name)
        bay.run_until(kind.warm_up_s + kind.settle_s)
        bay.mend(link)
        costs_here = {link_between(name, other): cost for other, cost in costs[name].items()}
        bay.start(name, kind.make_router(name, costs_here))
        bay.run_until(bay.now_s + kind.settle_s + kind.warm_up_s)
        assert disagreements(bay, costs, kind) == [], seed


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("seeds", HALF, ids=str)
def test_a_network_falls_in_two_and_grows_together_again(kind, seeds):
    for seed in seeds:
        costs = random_network(seed)
        part = set(random.Random(seed).sample(sorted(costs), len(costs) // 2))
        between = {link_between(a, b) for a in part for b in costs[a] if b not in part}
        bay = pickle.loads(frozen_network(seed, kind))
        for link in between:
            bay.cut(link)
        bay.run_until(kind.warm_up_s + kind.settle_s)
        assert disagreements(bay, without_links(costs, between), kind) == [], seed
        for link in sorted(between):
            bay.mend(link)
        bay.run_until(bay.now_s + kind.settle_s + kind.warm_up_s)
        assert disagreements(bay, costs, kind) == [], seed


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_lost_messages_only_cost_time(kind):
    """One message in ten is lost, hellos and acknowledgements included.

    Where four hellos in a row are lost, a neighbour is given up until the next one comes through.
    """
    late = []
    for seed in range(40):
        costs = random_network(seed)
        bay = talk(costs, kind.make_router, loss_rate=0.1, seed=seed)
        bay.run_until(300)
        if disagreements(bay, costs, kind) != []:
            late.append(seed)
            bay.run_until(360)
            assert disagreements(bay, costs, kind) == [], seed
    assert len(late) <= 1, late


def test_metrics_beyond_fifteen_are_unreachable_for_distance_vector():
    """RFC 2453, section 3.4.1: what is 16 or more away does not exist."""
    names = [f"r{i}" for i in range(18)]
    costs: Costs = {name: {} for name in names}
    for one, other in pairwise(names):
        costs[one][other] = costs[other][one] = 1
    kind = KINDS["distance vector"]
    bay = settled(costs, kind)
    assert disagreements(bay, costs, kind) == []
    assert "r15" not in bay.routers["r0"].routes()
