"""Which source's route is chosen, and what that choice does not decide."""

from itertools import permutations

import pytest

from course_lib.routing.protocol import NextHop, Route
from course_lib.routing.routing_table import USUAL_POLICY, RoutingTable

SOURCES = ("by hand", "link state", "distance vector")


def via(router: str, metric: int = 1) -> Route:
    return Route(metric, frozenset({NextHop(f"to {router}", router)}))


@pytest.mark.parametrize("policy", list(permutations(SOURCES)))
def test_the_policy_decides_and_any_order_is_a_policy(policy):
    """RFC 1812, section 5.2.4.3 (5): which source is preferred is a local matter."""
    table = RoutingTable(policy)
    for source in sorted(policy):
        table.replace(source, {"quay": via(source)})
    assert [c.source for c in table.candidates("quay")] == list(policy)
    assert table.best("quay").route == via(policy[0])


def test_metrics_of_different_sources_are_not_compared():
    """RFC 1812, section 5.2.4.3 (4): metrics mean something within one routing domain only."""
    table = RoutingTable(USUAL_POLICY)
    table.replace("distance vector", {"quay": via("Plover", 2)})
    table.replace("link state", {"quay": via("Curlew", 300)})
    assert table.best("quay") == ("link state", via("Curlew", 300))


def test_a_longer_prefix_is_another_destination_and_not_weighed_here():
    """RFC 1812, section 5.2.4.3 (2): the longest match is found at the lookup, before all this."""
    wide, narrow = ("198.51.100.0", 24), ("198.51.100.128", 25)
    table = RoutingTable(USUAL_POLICY)
    table.replace("by hand", {wide: via("Plover")})
    table.replace("link state", {narrow: via("Curlew", 90)})
    assert table.next_hops() == {wide: via("Plover").next_hops, narrow: via("Curlew").next_hops}


def test_when_the_best_source_is_silent_the_next_one_counts():
    table = RoutingTable(USUAL_POLICY)
    table.replace("link state", {"quay": via("Curlew")})
    table.replace("by hand", {"quay": via("Plover"), "buoy": via("Plover")})
    assert {d: c.source for d, c in table.chosen().items()} == {
        "quay": "by hand",
        "buoy": "by hand",
    }
    table.replace("by hand", {})
    assert table.chosen() == {"quay": ("link state", via("Curlew"))}
    table.replace("link state", {})
    assert (table.best("quay"), table.chosen()) == (None, {})


def test_a_source_has_one_route_to_a_destination():
    table = RoutingTable(USUAL_POLICY)
    table.replace("by hand", {"quay": via("Plover")})
    table.replace("by hand", {"quay": via("Curlew")})
    assert table.candidates("quay") == [("by hand", via("Curlew"))]


def test_what_the_source_does_afterwards_does_not_reach_into_the_table():
    offered = {"quay": via("Plover")}
    table = RoutingTable(USUAL_POLICY)
    table.replace("by hand", offered)
    offered.clear()
    assert table.best("quay") is not None


def test_best_and_chosen_agree():
    table = RoutingTable(("a", "b", "c"))
    table.replace("c", {n: via("c") for n in range(6)})
    table.replace("b", {n: via("b") for n in range(0, 6, 2)})
    table.replace("a", {n: via("a") for n in range(0, 6, 3)})
    assert table.chosen() == {n: table.best(n) for n in range(6)}
    assert [table.best(n).source for n in range(6)] == ["a", "c", "b", "a", "b", "c"]


def test_an_unknown_source_is_refused_and_the_known_ones_are_named():
    with pytest.raises(ValueError, match=r"'rumour' is not in the policy \['by hand'\]"):
        RoutingTable(["by hand"]).replace("rumour", {})


def test_a_policy_names_each_source_once():
    with pytest.raises(ValueError, match="stands twice"):
        RoutingTable(["by hand", "link state", "by hand"])
