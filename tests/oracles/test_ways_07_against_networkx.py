"""Exercise 7.3 beside networkx, on random maps: costs, and the first hops of all cheapest ways."""

import random

import networkx as nx
import pytest

from instructor.units.items import item

ANSWERS = [pytest.param(one, id=one.__name__) for one in (item("7.3").answer, *item("7.3").others)]
SIZES = (3, 5, 7, 9)


def random_links(rng, places):
    """Draw links, some of them twice; those that cost nothing lead to lower numbers only."""
    links = []
    for _ in range(rng.randint(places, 3 * places)):
        start, end = rng.sample(range(places), 2)
        links.append((f"P{start}", f"P{end}", rng.randint(0 if start > end else 1, 4)))
    return links


def by_networkx(links, root):
    graph = nx.DiGraph()
    graph.add_node(root)
    for start, end, cost in links:
        known = graph.get_edge_data(start, end, {"weight": cost})["weight"]
        graph.add_edge(start, end, weight=min(cost, known))
    costs = nx.single_source_dijkstra_path_length(graph, root)
    ways = {
        place: nx.all_shortest_paths(graph, root, place, weight="weight")
        for place in costs
        if place != root
    }
    return {place: (costs[place], sorted({way[1] for way in some})) for place, some in ways.items()}


@pytest.mark.parametrize("answer", ANSWERS)
def test_costs_and_first_hops_are_those_of_networkx(answer):
    rng = random.Random(7)
    equal = free = 0
    for number in range(120):
        links = random_links(rng, SIZES[number % len(SIZES)])
        expected = by_networkx(links, "P0")
        assert answer(links, "P0") == expected
        equal += any(len(hops) > 1 for _, hops in expected.values())
        free += any(cost == 0 for _, _, cost in links)
    assert equal > 10
    assert free > 60
