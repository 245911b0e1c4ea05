"""What is seen from above: circles, and who gets packets through."""

import pytest

from course_lib.routing.loops import find_loop, routers_that_deliver


@pytest.mark.parametrize(
    ("next_hops", "loop"),
    [
        pytest.param({}, None, id="nobody sends"),
        pytest.param({"a": ["b"], "b": ["c"]}, None, id="a line"),
        pytest.param({"a": ["b", "c"], "b": ["d"], "c": ["d"]}, None, id="two ways, no circle"),
        pytest.param({"a": ["b"], "b": ["a"]}, ("a", "b"), id="two routers"),
        pytest.param({"a": ["a"]}, ("a",), id="to itself"),
        pytest.param({"a": ["b"], "b": ["c"], "c": ["b"]}, ("b", "c"), id="only the end circles"),
        pytest.param(
            {"a": ["z", "b"], "b": ["c"], "c": ["a"]}, ("a", "b", "c"), id="one choice of two"
        ),
        pytest.param(
            {"x": ["d"], "a": ["b", "c"], "b": ["d"], "c": ["a"]}, ("a", "c"), id="after dead ends"
        ),
    ],
)
def test_a_circle_is_found_if_there_is_one(next_hops, loop):
    assert find_loop(next_hops) == loop


@pytest.mark.parametrize(
    ("next_hops", "delivering"),
    [
        ({"a": ["b"], "b": ["home"]}, {"a", "b", "home"}),
        ({"a": ["b"], "b": ["a"]}, {"home"}),
        ({"a": ["b", "home"], "b": []}, {"home"}),
        ({"a": ["b", "home"], "b": ["home"]}, {"a", "b", "home"}),
    ],
)
def test_a_router_delivers_only_if_each_of_its_choices_does(next_hops, delivering):
    assert routers_that_deliver(next_hops, {"home"}) == delivering


def test_many_ways_are_not_walked_one_by_one():
    """Forty pairs of equal ways in a row make 2**40 paths; each router is visited once."""
    next_hops = {f"r{i}": [f"a{i}", f"b{i}"] for i in range(40)}
    next_hops |= {f"{side}{i}": [f"r{i + 1}"] for i in range(40) for side in "ab"}
    assert find_loop(next_hops) is None
    assert len(routers_that_deliver(next_hops, {"r40"})) == 121
