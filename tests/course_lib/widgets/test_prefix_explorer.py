"""The explorer of prefixes follows every touch, in picture, words and what is announced."""

import ipaddress
import random

import pytest

from course_lib.ferry.address_plan import NETS
from course_lib.prefixes.text import format_address, parse_address
from course_lib.widgets.prefix_explorer import explore_prefixes
from pages.touched_figure import said

PLAN = {prefix: name for name, prefix in NETS.items()}
ADDRESS = "198.51.100.77"
LANTERN = "198.51.100.64/27"


@pytest.fixture
def explorer():
    return explore_prefixes(PLAN, address=ADDRESS, length=24)


@pytest.fixture
def asking():
    return explore_prefixes(PLAN, address=ADDRESS, length=22, ask=True)


def scene(explorer):
    return explorer.picture.scenes[-1]


def keys(explorer):
    return {part.key for part in scene(explorer).parts}


def announced(explorer):
    return [str(one) for one in explorer.announced]


def place(prefix):
    """Return the number of a place, as the slide of an assignment counts them."""
    address, _, length = prefix.partition("/")
    return parse_address(address) >> (32 - int(length))


def test_it_begins_with_what_it_was_given(explorer):
    assert scene(explorer).words.title == f"{ADDRESS} is in {LANTERN}: Lantern Pier"
    assert "7 assignments, 3 prefixes announced." in said(explorer)
    assert announced(explorer) == ["198.51.100.0/25", "203.0.113.0/27", "203.0.113.32/28"]


def test_splitting_announces_nothing_new(explorer):
    explorer.act("choose", LANTERN)
    explorer.act("split")
    assert "Lantern Pier, 198.51.100.64/27 is now two halves." in said(explorer)
    assert "8 assignments, 3 prefixes announced." in said(explorer)
    assert "Withdrawn" not in scene(explorer).words.text


def test_a_moved_assignment_takes_the_common_prefix_apart_and_back_again_mends_it(explorer):
    explorer.act("choose", LANTERN)
    explorer.act("move", place("198.51.100.160/27"))
    text = scene(explorer).words.text
    assert "New: 198.51.100.0/26, 198.51.100.96/27 and 198.51.100.160/27." in text
    assert "Withdrawn: 198.51.100.0/25." in text
    explorer.act("move", place(LANTERN))
    assert "New: 198.51.100.0/25." in scene(explorer).words.text
    assert announced(explorer)[0] == "198.51.100.0/25"


def test_a_taken_place_is_passed_and_where_none_is_left_nothing_changes(explorer):
    explorer.act("choose", "198.51.100.0/27")
    explorer.act("move", place("198.51.100.32/27"))
    assert "North Pier, 198.51.100.128/27: moved from 198.51.100.0/27." in said(explorer)
    explorer.act("choose", "198.51.100.32/27")
    explorer.act("zoom", 25)
    before = explorer.picture
    explorer.act("move", place("198.51.100.64/27"))
    problem = explorer.view["problem"]
    assert problem.startswith("Nothing has changed. Reed Pier stays: further on there is no free")
    assert explorer.picture == before


def test_a_moved_assignment_keeps_its_part_so_that_the_hand_keeps_hold_of_it(explorer):
    explorer.act("choose", LANTERN)
    before = explorer.plan.keys[explorer.plan.chosen]
    explorer.act("move", place("198.51.100.160/27"))
    assert explorer.plan.keys[explorer.plan.chosen] == before
    assert not explorer.picture.moves
    (slide,) = [one for one in scene(explorer).touches if one.action == "move"]
    assert (slide.key, slide.now) == (before, place("198.51.100.160/27"))


@pytest.mark.parametrize(
    ("chosen", "why"),
    [
        (LANTERN, "joins only with 198.51.100.96/27, and that belongs to Gull Rock."),
        ("203.0.113.32/28", "joins only with 203.0.113.48/28, and that is not assigned"),
    ],
)
def test_what_cannot_be_joined_says_why_and_nothing_changes(explorer, chosen, why):
    explorer.act("choose", chosen)
    before = explorer.picture
    explorer.act("join")
    assert why in explorer.view["problem"]
    assert explorer.picture == before


def test_halves_of_one_holder_are_joined_again(explorer):
    explorer.act("choose", LANTERN)
    explorer.act("split")
    explorer.act("join")
    assert "Lantern Pier, 198.51.100.64/27 is one again." in said(explorer)
    assert {str(prefix): name for prefix, name in explorer.plan.assigned.items()} == PLAN


def test_there_is_an_end_to_splitting(explorer):
    for _ in range(6):  # from /27 to /32, and once more
        explorer.act("split")
    assert "is one address, and has no halves" in explorer.view["problem"]
    for prefix in ("198.51.100.32/27", LANTERN, "198.51.100.96/27"):
        explorer.act("choose", prefix)
        for _ in range(5):
            explorer.act("split")
    assert "There are 24 assignments" in explorer.view["problem"]
    assert len(explorer.plan.assigned) == 24


def test_what_was_pressed_too_late_is_refused(explorer):
    explorer.act("choose", LANTERN)
    explorer.act("split")
    explorer.act("choose", LANTERN)
    assert f"{LANTERN} is no longer assigned." in explorer.view["problem"]


@pytest.mark.parametrize("length", [*range(32), *reversed(range(33))])
def test_zoom_goes_from_all_addresses_to_one_and_keeps_the_address_in_sight(explorer, length):
    explorer.act("zoom", length)
    assert explorer.view_now.prefix.length == length
    assert explorer.view_now.prefix.contains(parse_address(ADDRESS))
    assert explorer.picture.moves


def test_a_box_leads_to_its_prefix_and_takes_the_address_along(explorer):
    explorer.act("into", "198.51.100.64/26")
    assert str(explorer.view_now.prefix) == "198.51.100.64/26"
    assert format_address(explorer.view_now.address) == ADDRESS
    explorer.act("into", "198.51.100.112/28")
    assert format_address(explorer.view_now.address) == "198.51.100.112"
    assert scene(explorer).words.title == "198.51.100.112 is in 198.51.100.96/27: Gull Rock"


@pytest.mark.parametrize(
    ("typed", "seen", "address"),
    [
        ("203.0.113.17", "203.0.113.0/24", "203.0.113.17"),
        (" 203.0.113.17/28 ", "203.0.113.16/28", "203.0.113.17"),
        ("0.0.0.0/0", "0.0.0.0/0", "0.0.0.0"),
        ("0xc0000201", "192.0.2.0/24", "192.0.2.1"),
    ],
)
def test_an_address_or_a_prefix_may_be_typed_and_the_way_there_is_played(
    explorer, typed, seen, address
):
    explorer.act("written", typed)
    assert explorer.view["problem"] == ""
    assert str(explorer.view_now.prefix) == seen
    assert format_address(explorer.view_now.address) == address
    assert explorer.picture.plays
    assert 2 <= len(explorer.picture.scenes) <= 8


@pytest.mark.parametrize(
    "typed", ["", "pier", "198.51.100", "256.0.0.1", "192.0.2.0/33", "192.0.2.0/x", "192.0.2.0/"]
)
def test_what_is_neither_is_refused_with_a_word_and_nothing_changes(explorer, typed):
    before = explorer.picture
    explorer.act("written", typed)
    assert explorer.view["problem"].startswith("Nothing has changed. ")
    assert "Error" not in explorer.view["problem"]
    assert (typed or "nothing") in explorer.view["problem"]
    assert explorer.picture == before


def test_a_dragged_address_is_drawn_where_the_hand_is(explorer):
    explorer.act("address", parse_address("198.51.100.200"))
    assert not explorer.picture.moves
    assert scene(explorer).words.title == "198.51.100.200 is nobody's"


@pytest.mark.parametrize("guess", [None, "3", "7"])
def test_nothing_tells_the_answer_before_the_reader_has_guessed(asking, guess):
    if guess:
        asking.act("guess", guess)
    asking.act("zoom", 24)
    assert not {key for key in keys(asking) if key.startswith(("announced", "list"))}
    assert [one.action for one in asking.picture.controls] == ["written", "guess", "answer"]
    assert {one.action for one in scene(asking).touches} == {"into", "zoom", "address"}
    for words in (said(asking), *scene(asking).words):
        assert "announced." not in words
        assert "Announced" not in words
        assert "The answer" not in words
        assert "198.51.100.0/25, 203" not in words


def test_the_guess_is_a_flag_and_the_answer_comes_behind_it(asking):
    asking.act("answer")
    assert "Guess first. How many prefixes does the router announce" in asking.view["problem"]
    asking.act("guess", "4")
    assert "guess" in keys(asking)
    assert "Your guess: 4." in scene(asking).words.text
    asking.act("answer")
    assert "Your guess: 4. The answer: 3." in said(asking)
    assert {"list", "announced 198.51.100.0/25"} <= keys(asking)
    assert "Your guess: 4." in scene(asking).words.text


@pytest.mark.parametrize("typed", ["8", "-1", "three"])
def test_a_guess_is_a_number_that_can_be(asking, typed):
    asking.act("guess", typed)
    assert asking.view["problem"].startswith("Nothing has changed.")


def test_start_again_brings_all_of_it_back_and_asks_again(asking):
    asking.act("guess", "4")
    asking.act("answer")
    asking.act("split")
    assert "Your guess" not in said(asking)
    asking.act("again")
    assert asking.guess is not None
    assert asking.guess.is_open
    assert {str(prefix): name for prefix, name in asking.plan.assigned.items()} == PLAN
    assert str(asking.view_now.prefix) == "198.51.100.0/22"


@pytest.mark.parametrize("seed", range(3))
def test_after_any_moves_what_is_announced_is_what_is_assigned(explorer, seed):
    rng = random.Random(seed)
    for _ in range(40):
        touch = rng.choice(scene(explorer).touches)
        value = touch.value if hasattr(touch, "value") else rng.randint(touch.low, touch.high)
        explorer.act(touch.action, value)
        explorer.act(rng.choice(["split", "join", "zoom"]), rng.randrange(20, 30))
    assigned = [ipaddress.ip_network(str(one)) for one in explorer.plan.assigned]
    collapsed = [str(one) for one in ipaddress.collapse_addresses(assigned)]
    assert announced(explorer) == collapsed
    text = scene(explorer).words.text
    assert all(prefix in text for prefix in collapsed)


@pytest.mark.parametrize("length", range(33))
def test_all_of_it_fits_a_laptop_and_everything_has_a_name(explorer, length):
    explorer.act("zoom", length)
    _, height = scene(explorer).size
    assert height <= 640 - 110
    names = [touch.name for touch in scene(explorer).touches]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("assigned", "options", "why"),
    [
        ({}, {}, "1 to 24"),
        ({"192.0.2.0/24": "Reed", "192.0.2.0/25": "Gull"}, {}, "lies in"),
        ({"192.0.2.1/24": "Reed"}, {}, "host bits"),
        ({"192.0.2.0/24": "Reed"}, {"length": 33}, "0 to 32"),
        ({"192.0.2.0/24": "Reed"}, {"address": "pier"}, "must have 4"),
    ],
)
def test_what_makes_no_plan_is_refused(assigned, options, why):
    with pytest.raises(ValueError, match=why):
        explore_prefixes(assigned, **{"address": ADDRESS, **options})
