"""The picture of a trie shows every node once, and the way of an address as the tables take it."""

import itertools
import random
import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.figures.lookup.trie_diagram import trie_diagram, trie_scene
from course_lib.figures.lookup.trie_words import nodes_of, way_of
from course_lib.lookup import BinaryTrie
from course_lib.prefixes.prefix import Prefix
from pages.drawn_shapes import SVG, is_told, shapes, tips, tree_of, words

ROUTES = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Plover"}
BITS = st.text("01", max_size=8)
TABLES = st.dictionaries(BITS, st.sampled_from(["Reed", "Gull", "North"]), max_size=9)
ADDRESSES = st.text("01", min_size=8, max_size=8)


def scene_of(routes, address=None):
    return trie_scene(routes, way_of(routes, address))


def drawn_nodes(scene):
    """Return every node as (left, right, middle) on the page."""
    found = []
    for part in scene.parts:
        if part.key.startswith("node "):
            tree = ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{part.markup}</svg>')
            circle, square = shapes(tree, "circle"), shapes(tree, "rect")
            assert bool(circle) != bool(square)
            if circle:
                x, y, half = (float(circle[0].get(name)) for name in ("cx", "cy", "r"))
            else:
                half = float(square[0].get("width")) / 2
                x, y = float(square[0].get("x")) + half, float(square[0].get("y")) + half
            found.append((x - half, x + half, round(y, 3)))
    return found


@given(TABLES)
def test_there_is_a_node_for_every_beginning_of_a_prefix(routes):
    beginnings = {prefix[:length] for prefix in routes for length in range(len(prefix) + 1)}
    assert set(nodes_of(routes)) == beginnings | {""}
    assert len(drawn_nodes(scene_of(routes))) == len(nodes_of(routes))
    told = tips(trie_diagram(routes))
    assert len(told) == len(set(told))


@given(TABLES)
def test_no_two_nodes_touch(routes):
    nodes = sorted(drawn_nodes(scene_of(routes)), key=lambda node: (node[2], node[0]))
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
    nodes = drawn_nodes(scene_of(routes, address))
    assert all(left >= 0 and right <= width for left, right, _ in nodes)


def test_the_nodes_of_the_way_are_outlined_and_numbered():
    parts = {part.key: part.markup for part in scene_of(ROUTES, "01100110").parts}
    way = way_of(ROUTES, "01100110").nodes
    assert way == ("", "0", "01", "011", "0110")
    for name in nodes_of(ROUTES):
        markup = parts[f"node {name}"]
        assert ('class="chosen"' in markup) == (name in way)
        assert (f">{len(name) + 1}</text>" in markup) == (name in way)
    assert [key for key in parts if key.startswith("edge ") and "chosen" in parts[key]] == [
        "edge 0", "edge 01", "edge 011", "edge 0110",
    ]  # fmt: skip


@given(TABLES, ADDRESSES)
def test_the_topmost_band_that_the_plumb_line_meets_is_the_answer(routes, address):
    scene, way = scene_of(routes, address), way_of(routes, address)
    lit = {}
    for part in scene.parts:
        tree = ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{part.markup}</svg>')
        if part.key == "plumb":
            x, _, up = (float(number) for number in re.findall(r"[\d.]+", tree[0].get("d")))
        if part.key.startswith("band "):
            outer = shapes(tree, "rect")[0]
            lit[part.key[5:]] = [float(outer.get(name)) for name in ("x", "y", "width", "height")]
    met = {one: place for one, place in lit.items() if place[0] <= x <= place[0] + place[2]}
    assert set(met) == {one for one in routes if address.startswith(one)}
    if met:
        topmost = min(met, key=lambda one: met[one][1])
        assert topmost == way.answer
        assert up == pytest.approx(met[topmost][1] + met[topmost][3])


@given(TABLES, ADDRESSES)
def test_every_number_of_the_picture_is_in_its_text(routes, address):
    figure = trie_diagram(routes, address)
    told = set(re.findall(r"\d+", f"{figure.text} {figure.alternative_text}"))
    drawn = [one for one in words(figure) if not re.fullmatch(r"\d+ bits?|[01]|no [01]", one)]
    assert set(re.findall(r"\d+", " ".join(drawn))) <= told


def test_a_way_seen_from_a_node_on_it_tells_what_is_best_so_far():
    whole = way_of(ROUTES, "01100110")
    seen = [whole.until(count, ROUTES) for count in range(1, 6)]
    assert [one.answer for one in seen] == ["", "", "01", "01", "0110"]
    assert [one.ended for one in seen] == [False] * 4 + [True]
    figure = trie_scene(ROUTES, seen[2]).figure()
    assert figure.title == "Address 01100110: 3 nodes looked at, best so far Reed, prefix 01"
    assert "best so far" in words(figure)
    assert "answer" not in words(figure)


def test_new_nodes_are_named_in_picture_and_text():
    scene = trie_scene(ROUTES, way_of(ROUTES, "00"), fresh=("1",))
    figure = scene.figure()
    assert "new Plover" in words(figure)
    assert "New: 1." in figure.alternative_text
    row = next(line for line in figure.text.splitlines() if line.startswith("  1 "))
    assert row.split()[-1] == "new"


def test_the_answer_carries_a_word_and_not_colour_alone():
    answered = words(trie_diagram(ROUTES, "01100110"))
    assert answered[answered.index("answer") + 1] == "0110 → Gull"
    unanswered = words(trie_diagram({"1": "Reed"}, "0"))
    assert unanswered[unanswered.index("answer") + 1] == "no route"
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


@given(TABLES)
def test_zero_stands_left_and_one_right_of_the_node_above_also_where_it_is_alone(routes):
    middles = {
        name: (left + right) / 2
        for name, (left, right, _) in zip(
            nodes_of(routes), drawn_nodes(scene_of(routes)), strict=True
        )
    }
    for name in middles:
        if name:
            assert (middles[name] < middles[name[:-1]]) == (name[-1] == "0")


def test_text_twin_and_alternative_text_tell_the_whole_way():
    figure = trie_diagram(ROUTES, "01100110")
    row = next(line for line in figure.text.splitlines() if line.strip().startswith("0110 "))
    assert row.split() == ["0110", "Gull", "96", "to", "111", "5", "answer"]
    assert "The way ends at 0110, which has no child 0." in figure.text
    assert "each route: no bits to North, 01 to Reed" in figure.alternative_text
    assert "leads over the root, 0, 01, 011 and 0110" in figure.alternative_text
    assert "5 nodes looked at, answer Gull, prefix 0110" in figure.alternative_text


def test_an_empty_trie_has_a_root_and_no_route():
    figure = trie_diagram({}, "0110")
    assert figure.title == "Address 0110: 1 node looked at, no route"
    assert "a band for each route: there is none." in figure.alternative_text


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
    nodes = drawn_nodes(scene_of(routes))
    assert len(nodes) == len(nodes_of(routes)) > 100
