"""The trie explorer follows every touch, in picture and in words."""

import random

import pytest

from course_lib.figures.lookup.trie_diagram import trie_diagram
from course_lib.widgets.trie_explorer import explore_trie
from pages.touched_figure import said

ROUTES = {
    "": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Plover", "110": "Reed",
}  # fmt: skip
AT_FIRST = ("01", "011010")


@pytest.fixture
def explorer():
    return explore_trie(ROUTES, at_first=AT_FIRST, address="01100110")


def test_it_begins_with_the_routes_and_the_address_that_it_was_given(explorer):
    start = {prefix: ROUTES[prefix] for prefix in AT_FIRST}
    assert explorer.picture.scenes[-1].words.title == trie_diagram(start, "01100110").title
    assert "The trie has 2 routes and 7 nodes." in said(explorer)


def test_an_inserted_route_makes_nodes_and_marks_them(explorer):
    explorer.act("route", "110")
    assert "Inserted 110: 3 nodes made. The trie has 3 routes and 10 nodes." in said(explorer)
    assert explorer.routes == {"01": "Reed", "011010": "Lantern", "110": "Reed"}
    assert "New: 1, 11 and 110." in explorer.picture.scenes[-1].words.alternative_text
    explorer.act("address", 3)
    assert "New:" not in explorer.picture.scenes[-1].words.alternative_text


def test_a_prefix_on_a_branch_needs_no_node(explorer):
    explorer.act("route", "0110")
    assert "Inserted 0110: no node comes or goes." in said(explorer)
    assert "answer Gull, prefix 0110" in said(explorer)


def test_withdrawing_takes_the_mark_and_leaves_the_branch(explorer):
    explorer.act("route", "01")
    assert "Withdrew 01: no node comes or goes." in said(explorer)
    assert "5 nodes looked at, no route" in said(explorer)
    assert explorer.routes == {"011010": "Lantern"}


def test_withdrawing_the_end_of_a_branch_cuts_what_leads_nowhere(explorer):
    explorer.act("route", "011010")
    assert "Withdrew 011010: 4 nodes cut off. The trie has 1 route and 3 nodes." in said(explorer)


@pytest.mark.parametrize(
    ("typed", "address"),
    [("01101011", "01101011"), ("0x6b", "01101011"), ("107", "01101011"), (" 7", "00000111"),
     ("0b11", "00000011"), ("00000000", "00000000")],
)  # fmt: skip
def test_an_address_may_be_typed_as_people_write_it(explorer, typed, address):
    explorer.act("written", typed)
    assert explorer.address == address
    assert explorer.picture.controls[0].now == address
    assert explorer.view["problem"] == ""


@pytest.mark.parametrize("typed", ["2.7", "256", "-1", "", "seven", "0x1ff"])
def test_what_is_no_address_is_refused_with_a_word_and_nothing_changes(explorer, typed):
    before = explorer.picture
    explorer.act("written", typed)
    assert "Nothing has changed." in explorer.view["problem"]
    assert (typed.strip() or "nothing") in explorer.view["problem"]
    assert explorer.picture == before
    assert explorer.address == "01100110"


def test_a_dragged_address_is_drawn_where_it_is_and_one_that_was_typed_moves_there(explorer):
    explorer.act("address", 107)
    assert explorer.address == "01101011"
    assert not explorer.picture.moves
    explorer.act("written", "7")
    assert explorer.picture.moves


def test_each_step_of_the_way_is_a_scene_and_the_last_one_has_the_answer(explorer):
    explorer.act("address", 0b01101011)
    titles = [scene.words.title for scene in explorer.picture.scenes]
    assert len(titles) == 7
    assert titles[0] == "Address 01101011: 1 node looked at, no route so far"
    assert titles[3] == "Address 01101011: 4 nodes looked at, best so far Reed, prefix 01"
    assert titles[6] == "Address 01101011: 7 nodes looked at, answer Lantern, prefix 011010"


def test_start_again_brings_routes_and_address_back(explorer):
    explorer.act("route", "")
    explorer.act("route", "01")
    explorer.act("address", 1)
    explorer.act("again")
    assert explorer.routes == {prefix: ROUTES[prefix] for prefix in AT_FIRST}
    assert explorer.address == "01100110"


def test_an_empty_table_can_be_filled_and_emptied():
    explorer = explore_trie(ROUTES)
    assert "The trie has 0 routes and 1 node." in said(explorer)
    for prefix in ROUTES:
        explorer.act("route", prefix)
    assert explorer.routes == ROUTES
    for prefix in ROUTES:
        explorer.act("route", prefix)
    assert explorer.routes == {}


@pytest.mark.parametrize("seed", range(4))
def test_after_any_moves_picture_words_and_switches_agree_with_the_routes(explorer, seed):
    rng = random.Random(seed)
    for _ in range(40):
        explorer.act("route", rng.choice(list(ROUTES)))
        explorer.act("address", rng.randrange(256))
    scene = explorer.picture.scenes[-1]
    figure = trie_diagram(explorer.routes, explorer.address)
    assert scene.words.title == figure.title
    rows = "\nRows of the tree: "
    assert scene.words.text.partition(rows)[0] == figure.text.partition(rows)[0]
    absent = scene.words.text.partition("Not in the table: ")[2]
    for prefix, hop in ROUTES.items():
        assert (f"{prefix or 'no bits'} to {hop}" in absent) is (prefix not in explorer.routes)
    switches = {touch.value: touch.is_on for touch in scene.touches if touch.action == "route"}
    assert switches == {prefix: prefix in explorer.routes for prefix in ROUTES}
    assert explorer.view["problem"] == ""


def test_parts_stay_where_they_are_when_routes_come_and_go(explorer):
    """What moves should be what has changed: the page can only show that if places are kept."""
    before = {part.key: part.markup for part in explorer.picture.scenes[-1].parts}
    explorer.act("route", "110")
    explorer.act("route", "110")
    assert {part.key: part.markup for part in explorer.picture.scenes[-1].parts} == before


def test_everything_that_can_be_touched_has_a_name(explorer):
    touches = explorer.picture.scenes[-1].touches
    names = [touch.name for touch in touches]
    assert len(set(names)) == len(names) == 1 + len(ROUTES)
    slider = touches[0]
    assert (slider.low, slider.now, slider.high) == (0, 102, 255)
    assert slider.words == "102, in bits 01100110"


def test_all_of_it_fits_a_laptop_with_room_for_the_controls(explorer):
    _, height = explorer.picture.scenes[-1].size
    assert height <= 640 - 110  # a row above, two lines of words


@pytest.mark.parametrize(
    ("routes", "options"),
    [
        ({}, {}),
        ({"0": "Reed"}, {"at_first": ["1"]}),
        ({"0": "Reed"}, {"address": ""}),
        ({"010": "Reed"}, {"address": "01"}),
        ({"2": "Reed"}, {}),
    ],
)
def test_what_makes_no_trie_is_refused(routes, options):
    with pytest.raises(ValueError, match=r"must be|longer"):
        explore_trie(routes, **options)


@pytest.fixture
def asking():
    return explore_trie(ROUTES, at_first=("", "01", "011010"), address="01100110", ask=True)


def keys(explorer):
    return [{part.key for part in scene.parts} for scene in explorer.picture.scenes]


@pytest.mark.parametrize("guess", [None, "", "01", "011010"])
def test_nothing_tells_the_answer_before_the_reader_has_guessed(asking, guess):
    if guess is not None:
        asking.act("guess", guess)
    (scene,) = asking.picture.scenes
    assert not keys(asking)[0] & {"plumb", "pocket", "missing"}
    assert [one.action for one in asking.picture.controls] == ["answer"]
    assert {touch.value for touch in scene.touches} == {"", "01", "011010"}
    assert {touch.action for touch in scene.touches} == {"guess"}
    assert scene.words.title == "Address 01100110: which next hop answers?"
    for words in (said(asking), *scene.words):
        assert "looked at, " not in words
        assert "leads over" not in words
        assert "The answer" not in words
    assert 'class="calm"' not in "".join(
        part.markup for part in scene.parts if part.key.startswith("band")
    )


@pytest.mark.parametrize(
    ("guess", "words"),
    [
        ("", "North, prefix no bits"),
        ("01", "Reed, prefix 01"),
        ("011010", "Lantern, prefix 011010"),
    ],
)
def test_a_guess_is_a_flag_in_its_band_and_the_answer_comes_beside_it(asking, guess, words):
    asking.act("answer")
    assert "Guess first. Which next hop answers 01100110?" in asking.view["problem"]
    asking.act("guess", guess)
    assert f"Your guess: {words}." in said(asking)
    assert f"Your guess: {words}." in asking.picture.scenes[-1].words.text
    asking.act("answer")
    same = ", as you guessed" if guess == "01" else ""
    assert f"Your guess: {words}. The answer: Reed, prefix 01{same}." in said(asking)
    assert all({"guess", "guessed band"} <= each for each in keys(asking))
    assert "pocket" in keys(asking)[-1]
    assert f"Your guess: {words}." in asking.picture.scenes[-1].words.alternative_text


def test_where_no_default_route_is_there_one_can_guess_that_none_answers(asking):
    explorer = explore_trie(ROUTES, at_first=AT_FIRST, address="10000000", ask=True)
    assert [one.action for one in explorer.picture.controls] == ["guess", "answer"]
    explorer.act("guess", None)
    explorer.act("answer")
    assert "Your guess: no route. The answer: no route, as you guessed." in said(explorer)


@pytest.mark.parametrize(("action", "value"), [("address", 3), ("written", "7"), ("route", "01"),
                                               ("again", None)])  # fmt: skip
def test_the_flag_is_taken_away_when_the_question_is_no_longer_the_same(asking, action, value):
    asking.act("guess", "01")
    asking.act("answer")
    asking.act(action, value)
    assert "guess" not in keys(asking)[-1]
    assert "Your guess" not in said(asking)


def test_being_asked_again_and_again_leads_to_every_address(explorer):
    met = set()
    for _ in range(256):
        explorer.act("ask")
        assert "Which next hop answers" in said(explorer)
        met.add(explorer.address)
    assert len(met) == 256
    assert explorer.routes == {prefix: ROUTES[prefix] for prefix in AT_FIRST}
