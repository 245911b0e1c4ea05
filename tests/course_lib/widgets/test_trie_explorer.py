"""The trie explorer follows every control, in picture and in words."""

import random
import xml.etree.ElementTree as ET

import pytest

from course_lib.figures.lookup.trie_diagram import trie_diagram
from course_lib.widgets.trie_explorer import explore_trie

ROUTES = {
    "": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Plover", "110": "Reed",
}  # fmt: skip
AT_FIRST = ("01", "011010")


@pytest.fixture
def explorer():
    return explore_trie(ROUTES, at_first=AT_FIRST, address="01100110")


def choose(explorer, prefix):
    explorer.prefix.value = prefix
    return explorer


def test_it_begins_with_the_routes_and_the_address_that_it_was_given(explorer):
    start = {prefix: ROUTES[prefix] for prefix in AT_FIRST}
    assert explorer.picture.value == trie_diagram(start, "01100110").svg
    assert "The trie has 2 routes and 7 nodes." in explorer.words.value
    assert "in bits: 01100110" in explorer.bits.value


def test_an_inserted_prefix_grows_the_trie(explorer):
    choose(explorer, "110").insert.click()
    assert "Inserted 110: 3 nodes made." in explorer.words.value
    assert "3 routes and 10 nodes" in explorer.words.value
    assert explorer.routes == {"01": "Reed", "011010": "Lantern", "110": "Reed"}


def test_a_prefix_on_a_branch_needs_no_node(explorer):
    choose(explorer, "0110").insert.click()
    assert "Inserted 0110: no node comes or goes." in explorer.words.value
    assert "answer Gull, prefix 0110" in explorer.words.value


def test_withdrawing_takes_the_mark_and_leaves_the_branch(explorer):
    choose(explorer, "01").withdraw.click()
    assert "Withdrew 01: no node comes or goes." in explorer.words.value
    assert "5 nodes looked at, no route" in explorer.words.value
    assert explorer.routes == {"011010": "Lantern"}


def test_withdrawing_the_end_of_a_branch_cuts_what_leads_nowhere(explorer):
    choose(explorer, "011010").withdraw.click()
    assert "Withdrew 011010: 4 nodes cut off." in explorer.words.value
    assert "1 route and 3 nodes" in explorer.words.value


def test_a_change_that_changes_nothing_says_so(explorer):
    before = explorer.picture.value
    choose(explorer, "01").insert.click()
    assert "01 is in the table already: nothing has changed." in explorer.words.value
    choose(explorer, "").withdraw.click()
    assert "no bits is not in the table: nothing to withdraw." in explorer.words.value
    assert explorer.picture.value == before


def test_slider_and_number_of_the_address_move_together(explorer):
    explorer.slider.value = 255
    assert explorer.address.value == 255
    assert "Address 11111111: 1 node looked at, no route." in explorer.words.value
    explorer.address.value = 0b01101011
    assert explorer.slider.value == 0b01101011
    assert "7 nodes looked at, answer Lantern, prefix 011010" in explorer.words.value


def test_start_again_brings_the_first_routes_back(explorer):
    choose(explorer, "").insert.click()
    choose(explorer, "01").withdraw.click()
    explorer.start_again.click()
    assert explorer.routes == {prefix: ROUTES[prefix] for prefix in AT_FIRST}
    assert "Choose a prefix" in explorer.words.value


def test_an_empty_table_can_be_filled_and_emptied():
    explorer = explore_trie(ROUTES)
    assert "The trie has 0 routes and 1 node." in explorer.words.value
    for prefix in ROUTES:
        choose(explorer, prefix).insert.click()
    assert explorer.routes == ROUTES
    for prefix in ROUTES:
        choose(explorer, prefix).withdraw.click()
    assert explorer.routes == {}


@pytest.mark.parametrize("seed", range(4))
def test_after_any_moves_picture_and_words_agree_with_the_routes(explorer, seed):
    rng = random.Random(seed)
    for _ in range(40):
        choose(explorer, rng.choice(list(ROUTES)))
        rng.choice([explorer.insert, explorer.withdraw]).click()
        explorer.address.value = rng.randrange(256)
    figure = trie_diagram(explorer.routes, f"{explorer.address.value:08b}")
    assert explorer.picture.value == figure.svg
    assert ET.fromstring(f"<a>{explorer.twin.value}</a>")[0].text == figure.text
    assert explorer.notice.value == ""


def test_every_control_has_a_name(explorer):
    named = (explorer.prefix, explorer.insert, explorer.withdraw, explorer.start_again)
    assert all(control.description for control in (*named, explorer.address))
    assert explorer.slider.tooltip  # has no name in ipywidgets; the number beside it has


@pytest.mark.parametrize(
    ("routes", "options"),
    [
        ({}, {}),
        ({"0": "Reed"}, {"at_first": ["1"]}),
        ({"0": "Reed"}, {"address": ""}),
        ({"0110": "Reed"}, {"address": "011"}),
        ({"0x": "Reed"}, {}),
    ],
)
def test_what_makes_no_sense_is_refused(routes, options):
    with pytest.raises(ValueError, match=r"must be|may be longer"):
        explore_trie(routes, **options)
