"""The right answers to exercise 9.3 agree with networkx, and no question has two right paths."""

import itertools
import random

import networkx as nx
import pytest

from instructor.quality.gate import cases_of_seeds
from instructor.units.items import item

ONE = item("9.3")
RIGHT = [pytest.param(one, id=one.__name__) for one in (ONE.answer, *ONE.others)]


def graph_of(waiting):
    """Return inputs and outputs with an edge for each pair that has cells."""
    ports = range(len(waiting))
    graph = nx.Graph()
    graph.add_nodes_from([("in", one) for one in ports], bipartite=0)
    graph.add_nodes_from([("out", one) for one in ports], bipartite=1)
    graph.add_edges_from((("in", i), ("out", j)) for i in ports for j in ports if waiting[i][j])
    return graph


def edges_of(matched):
    return {(("in", i), ("out", j)) for i, j in enumerate(matched) if j is not None}


def drawn(rng):
    """Draw a table, and a matching of which many are legal."""
    ports = rng.randint(1, 6)
    waiting = [[rng.choice((0, 0, 3)) for _ in range(ports)] for _ in range(ports)]
    matched = [None] * ports
    for i in rng.sample(range(ports), ports):
        free = [j for j in range(ports) if waiting[i][j] and j not in matched]
        if free and rng.random() < 0.9:
            matched[i] = rng.choice(free)
    if rng.random() < 0.2:
        matched[rng.randrange(ports)] = rng.randrange(ports)
    return waiting, matched


def has_witness(graph, matched, word, witness):
    """Tell whether a witness shows what it has to, whichever of several it is."""
    edges = edges_of(matched)
    if word == "not legal":
        (number,) = witness
        edge = ("in", number), ("out", matched[number])
        return not graph.has_edge(*edge) or matched[number] in matched[:number]
    if word == "maximum":
        return witness == [] and len(edges) == len(largest(graph))
    places = ["in", "out"] * (len(witness) // 2)
    path = list(zip(places, witness, strict=True))
    steps = {tuple(sorted(pair)) for pair in itertools.pairwise(path)}
    more = edges ^ steps  # what sends is given up, and the others of the path send
    return (
        (word == "not maximal") == (len(path) == 2)
        and len(more) == len(edges) + 1
        and nx.is_matching(graph, more)
    )


def largest(graph):
    inputs = [node for node in graph if node[0] == "in"]
    return {
        tuple(sorted(pair))
        for pair in nx.bipartite.maximum_matching(graph, top_nodes=inputs).items()
    }


@pytest.mark.parametrize("judge", RIGHT)
def test_verdicts_are_those_of_networkx_and_each_witness_shows_it(judge):
    rng, seen = random.Random(9), set()
    for _ in range(400):
        waiting, matched = drawn(rng)
        graph = graph_of(waiting)
        word, witness = judge(waiting, matched)
        edges = edges_of(matched)
        legal = len(edges) == len({j for _, j in edges}) and all(graph.has_edge(*e) for e in edges)
        assert (word == "not legal") == (not legal)
        if legal:
            assert (word in ("not maximum", "maximum")) == nx.is_maximal_matching(graph, edges)
            assert (word == "maximum") == (len(edges) == len(largest(graph)))
        assert has_witness(graph, matched, word, witness), (waiting, matched, word, witness)
        seen.add(word)
    assert seen == {"not legal", "not maximal", "not maximum", "maximum"}


def test_no_question_has_two_right_paths():
    """The contract says so; else another right answer might find another path."""
    for case in itertools.chain(*cases_of_seeds(ONE, [str(seed) for seed in range(20)], [])):
        waiting, matched = case.arguments
        word, witness = case.expected.value
        if word != "not maximum":
            continue
        ways = nx.DiGraph()
        for i, j in graph_of(waiting).edges:
            ways.add_edge(*((j, i) if (i, j) in edges_of(matched) else (i, j)))
        ports = range(len(waiting))
        paths = [
            path
            for i in ports
            for j in ports
            if matched[i] is None and j not in matched and ways.has_node(("out", j))
            if ways.has_node(("in", i))
            for path in nx.all_simple_paths(ways, ("in", i), ("out", j))
        ]
        assert [[number for _, number in path] for path in paths] == [witness]
