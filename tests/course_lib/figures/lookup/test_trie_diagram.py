"""The picture of a trie shows every node once, and the way of an address as the tables take it."""

import itertools
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.figures.lookup.trie_diagram import trie_diagram
from course_lib.figures.lookup.trie_words import nodes_of, way_of
from course_lib.lookup import BinaryTrie
from course_lib.prefixes.prefix import Prefix
from pages.drawn_shapes import is_told, shapes, tips, tree_of, words

ROUTES = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Plover"}
BITS = st.text("01", max_size=8)
TABLES = st.dictionaries(BITS, st.sampled_from(["Reed", "Gull", "North"]), max_size=9)
ADDRESSES = st.text("01", min_size=8, max_size=8)


def drawn_nodes(figure):
    """Every circle and box but the two of the legend, as (left, right, middle) on the page."""
    circles = [
        (float(one.get("cx")) - 8, float(one.get("cx")) + 8, float(one.get("cy")))
        for one in shapes(figure, "circle", "neither")[:-1]
    ]
    boxes = [
        (float(one.get("x")), float(one.get("x")) + 72, float(one.get("y")) + 18)
        for one in shapes(figure, "rect", "box")[:-1]
    ]
    return circles + boxes


@given(TABLES)
def test_there_is_a_node_for_every_beginning_of_a_prefix(routes):
    beginnings = {prefix[:length] for prefix in routes for length in range(len(prefix) + 1)}
    figure = trie_diagram(routes)
    assert set(nodes_of(routes)) == beginnings | {""}
    assert len(drawn_nodes(figure)) == len(nodes_of(routes))
    assert len(tips(figure)) == len(set(tips(figure)))


@given(TABLES)
def test_no_two_nodes_touch(routes):
    nodes = sorted(drawn_nodes(trie_diagram(routes)), key=lambda node: (node[2], node[0]))
    rows = [pair for pair in itertools.pairwise(nodes) if pair[0][2] == pair[1][2]]
    assert all(left[1] < right[0] for left, right in rows)


@given(TABLES, ADDRESSES)
def test_the_answer_is_that_of_the_library_s_trie(routes, address):
    hops, table = sorted(set(routes.values())), BinaryTrie()
    for bits, hop in routes.items():
        network = int(bits.ljust(32, "0"), 2)
        table.insert(Prefix(network, len(bits)), hops.index(hop))
    found, way = table.lookup(int(address, 2) << 24), way_of(routes, address)
    assert (way.answer is None) == (found is None)
    assert way.answer is None or routes[way.answer] == hops[found]


@given(TABLES, ADDRESSES)
def test_any_trie_makes_a_well_formed_image_with_a_twin(routes, address):
    figure = trie_diagram(routes, address)
    assert is_told(figure)
    assert figure.text.count("\n") >= len(nodes_of(routes)) + 1
    width = float(tree_of(figure).get("width"))
    assert all(left >= 0 and right <= width for left, right, _ in drawn_nodes(figure))


def test_the_nodes_of_the_way_are_outlined_and_numbered():
    figure = trie_diagram(ROUTES, "01100110")
    assert way_of(ROUTES, "01100110").nodes == ("", "0", "01", "011", "0110")
    assert len(shapes(figure, "circle", "chosen")) == 2
    assert len(shapes(figure, "rect", "chosen")) == 3
    strong = [
        one for one in shapes(figure, "text", "ink strong") if one.get("text-anchor") == "end"
    ]
    assert [one.text for one in strong] == ["1", "2", "3", "4", "5"]


def test_the_answer_carries_a_word_and_not_colour_alone():
    assert words(trie_diagram(ROUTES, "01100110")).count("answer") == 1
    assert "answer" not in words(trie_diagram({"1": "Reed"}, "0"))
    assert "answer" not in words(trie_diagram(ROUTES))


@pytest.mark.parametrize(
    ("address", "missing"),
    [("01100110", "0"), ("011010", None), ("00", "0"), ("1", None), ("10", "0")],
)
def test_a_missing_child_is_a_dashed_line_with_its_bit(address, missing):
    figure = trie_diagram(ROUTES, address)
    assert way_of(ROUTES, address).missing == missing
    assert len(shapes(figure, "path", "expected")) == (missing is not None)
    assert (f"no {missing}" in words(figure)) == (missing is not None)


def test_without_an_address_nothing_is_told_of_a_look_up():
    figure = trie_diagram(ROUTES)
    assert figure.title == "A trie of 5 routes: 8 nodes"
    assert "looked at" not in figure.alternative_text
    assert shapes(figure, "path", "chosen") == []


def test_zero_stands_left_of_one():
    figure = trie_diagram({"0": "Reed", "1": "Gull"})
    places = {one.text: one.get("x") for one in shapes(figure, "text")}
    assert float(places["Reed"]) < float(places["Gull"])


def test_text_twin_and_alternative_text_tell_the_whole_way():
    figure = trie_diagram(ROUTES, "01100110")
    row = next(line for line in figure.text.splitlines() if line.strip().startswith("0110 "))
    assert row.split() == ["0110", "Gull", "5", "answer"]
    assert "The way ends at 0110, which has no child 0." in figure.text
    assert "Routes: no bits to North, 01 to Reed" in figure.alternative_text
    assert "leads over the root, 0, 01, 011 and 0110" in figure.alternative_text
    assert "5 nodes looked at, answer Gull, prefix 0110" in figure.alternative_text


def test_an_empty_trie_has_a_root_and_no_route():
    figure = trie_diagram({}, "0110")
    assert figure.title == "Address 0110: 1 node looked at, no route"
    assert "It holds no route" in figure.alternative_text


@pytest.mark.parametrize("bits", ["2", "01 ", "0" * 33])
def test_what_is_not_bits_is_refused(bits):
    with pytest.raises(ValueError, match="must be bits"):
        trie_diagram({bits: "Reed"})
    with pytest.raises(ValueError, match="must be bits"):
        trie_diagram(ROUTES, bits)


def test_names_that_look_like_markup_stay_words():
    figure = trie_diagram({"0": "<b>Reed</b> & Gull"})
    assert "<b>Reed</b> & Gull" in words(figure)


def test_a_large_trie_keeps_its_nodes_apart():
    rng = random.Random(4)
    routes = {f"{rng.getrandbits(10):010b}"[: rng.randint(3, 10)]: "Reed" for _ in range(40)}
    nodes = drawn_nodes(trie_diagram(routes))
    assert len(nodes) == len(nodes_of(routes)) > 100
