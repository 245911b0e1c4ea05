"""What shortest paths promise, on small maps (tests/oracles compares random ones)."""

from itertools import pairwise

import pytest

from course_lib.routing.shortest_path_tree import shortest_paths, walk_back


def test_the_root_reaches_itself_for_nothing():
    root = shortest_paths({"Plover": {}}, "Plover")["Plover"]
    assert (root.cost, root.first_hops, root.previous) == (0, frozenset(), frozenset())


def test_two_cheap_hops_beat_one_dear_hop():
    graph = {"Plover": {"Gull Rock": 10, "Reed Pier": 1}, "Reed Pier": {"Gull Rock": 1}}
    path = shortest_paths(graph, "Plover")["Gull Rock"]
    assert (path.cost, path.first_hops) == (2, {"Reed Pier"})


def test_the_first_hop_is_next_to_the_root_however_long_the_path():
    names = ["Plover", "Reed Pier", "Curlew", "Lantern Pier", "Gull Rock"]
    graph = {one: {other: 1} for one, other in pairwise(names)}
    paths = shortest_paths(graph, "Plover")
    assert {paths[name].first_hops for name in names[1:]} == {frozenset({"Reed Pier"})}
    assert walk_back(paths, "Gull Rock") == names


def test_all_first_hops_of_equal_cost_are_kept_and_handed_on():
    graph = {
        "Plover": {"North Pier": 1, "Reed Pier": 2, "Lantern Pier": 3},
        "North Pier": {"Gull Rock": 3},
        "Reed Pier": {"Gull Rock": 2},
        "Lantern Pier": {"Gull Rock": 2},
        "Gull Rock": {"Curlew": 1},
    }
    paths = shortest_paths(graph, "Plover")
    assert paths["Gull Rock"].first_hops == {"North Pier", "Reed Pier"}
    assert paths["Curlew"].first_hops == {"North Pier", "Reed Pier"}
    assert paths["Gull Rock"].previous == {"North Pier", "Reed Pier"}


def test_the_first_hop_across_an_attached_network_is_the_router_behind_it():
    graph = {
        "Plover": {"harbour": 2},
        "harbour": {"Plover": 0, "Reed Pier": 0, "Curlew": 0},
        "Reed Pier": {"harbour": 1, "Gull Rock": 1},
        "Curlew": {"harbour": 1, "Gull Rock": 1},
    }
    paths = shortest_paths(graph, "Plover", networks={"harbour"})
    assert paths["harbour"].first_hops == {"harbour"}
    assert paths["Gull Rock"].first_hops == {"Reed Pier", "Curlew"}
    assert (paths["Reed Pier"].cost, paths["Gull Rock"].cost) == (2, 3)


def test_a_network_of_equal_cost_is_finished_before_a_router():
    """Otherwise Curlew would be passed on before its second path, over the harbour, is known."""
    graph = {
        "Plover": {"Curlew": 2, "Reed Pier": 1},
        "Reed Pier": {"harbour": 1},
        "harbour": {"Reed Pier": 0, "Curlew": 0},
        "Curlew": {"Gull Rock": 1, "harbour": 1},
    }
    paths = shortest_paths(graph, "Plover", networks={"harbour"})
    assert paths["Gull Rock"].first_hops == {"Curlew", "Reed Pier"}


def test_what_cannot_be_reached_is_left_out():
    paths = shortest_paths({"Plover": {"Reed Pier": 1}, "Curlew": {"Plover": 1}}, "Plover")
    assert "Curlew" not in paths
    with pytest.raises(ValueError, match="no path leads to 'Curlew'"):
        walk_back(paths, "Curlew")


def test_vertices_need_no_order_among_themselves():
    graph = {"Plover": {("pier", 1): 1, 7: 1}, 7: {None: 1}, ("pier", 1): {None: 1}}
    assert shortest_paths(graph, "Plover")[None].first_hops == {7, ("pier", 1)}


@pytest.mark.parametrize(
    ("graph", "message"),
    [
        ({"Plover": {"Plover": 1}}, "'Plover' has a link to itself"),
        ({"Plover": {"Reed": 0}, "Reed": {"Plover": 1}}, "from 'Plover' to 'Reed' has cost 0"),
        ({"Plover": {"Reed": -1}}, "from 'Plover' to 'Reed' has cost -1; .* at least 0"),
        ({"Plover": {"Reed": 1.5}}, "cost 1.5; it must be a whole number"),
        ({"Plover": {"Reed": True}}, "cost True"),
        ({"Plover": {"sea": 1}, "sea": {"Reed": 2}}, "network 'sea' to 'Reed' has cost 2"),
        ({"Plover": {"sea": 1}, "sea": {"bay": 0}}, "network 'sea' to network 'bay'"),
        ({"Reed": {}}, "root 'Plover' is not in the graph"),
    ],
)
def test_a_bad_map_is_refused_and_the_place_is_named(graph, message):
    with pytest.raises(ValueError, match=message):
        shortest_paths(graph, "Plover", networks={"sea", "bay"})


def test_the_map_is_not_changed():
    graph = {"Plover": {"Reed Pier": 1}, "Reed Pier": {"Plover": 2}}
    shortest_paths(graph, "Plover")
    assert graph == {"Plover": {"Reed Pier": 1}, "Reed Pier": {"Plover": 2}}
