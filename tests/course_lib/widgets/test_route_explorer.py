"""The route explorer asks first, then plays a change, and every touch changes what it says."""

import pytest

from course_lib.ferry.changed_line import LINES, WAYS
from course_lib.widgets.route_explorer import explore_routes
from course_lib.widgets.touch.strict_mode import CallbackFailed
from pages.touched_figure import said


@pytest.fixture
def explorer():
    """Return one whose answer is out."""
    explorer = explore_routes()
    explorer.act("guess", 40)
    explorer.act("answer")
    return explorer


def last(explorer):
    return explorer.picture.scenes[-1].words


def test_it_asks_first_and_tells_nothing_of_the_answer():
    explorer = explore_routes()
    assert len(explorer.picture.scenes) == 1
    assert "For how long" in said(explorer)
    assert not [one for one in explorer.picture.scenes[0].touches if one.action == "line"]
    assert "Datagrams lost so far: 0." in last(explorer).text
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]


def test_the_guess_is_drawn_and_kept():
    explorer = explore_routes()
    explorer.act("guess", 40)
    assert "Your guess: 10 s." in last(explorer).text
    explorer.act("answer")
    assert "Your guess: 10 s. The answer: 16.5 s." in said(explorer)
    assert "Your guess: 10 s." in last(explorer).text


def test_the_change_is_played_from_before_it_to_long_after(explorer):
    scenes = explorer.picture.scenes
    assert explorer.picture.plays
    assert scenes[0].words.title == "Before the line Gull Rock - Lantern Pier is cut"
    assert "no more news" in scenes[-1].words.title
    dots = [sum(" message " in part.key for part in scene.parts) for scene in scenes]
    assert dots[0] == dots[-1] == 0
    assert max(dots) > 10


def test_a_message_moves_along_its_line_and_then_is_gone(explorer):
    keys = [
        {part.key for part in scene.parts if " message " in part.key}
        for scene in explorer.picture.scenes
    ]
    for key in set().union(*keys):
        seen = [number for number, own in enumerate(keys) if key in own]
        assert seen == list(range(seen[0], seen[-1] + 1))
        assert len(seen) >= 2


def test_a_line_is_cut_and_mended_by_pressing_it(explorer):
    explorer.act("line", "North Pier - Plover")
    assert "Cut: Gull Rock - Lantern Pier, North Pier - Plover." in last(explorer).text
    explorer.act("line", "Gull Rock - Lantern Pier")
    assert "mended" in last(explorer).title
    assert "Cut: North Pier - Plover." in last(explorer).text
    on = {
        one.value: one.is_on for one in explorer.picture.scenes[-1].touches if one.action == "line"
    }
    assert on == {line: line != "North Pier - Plover" for line in LINES}


def test_where_no_way_is_left_it_says_so(explorer):
    explorer.act("destination", "Plover Bridge Screen")
    explorer.act("line", "North Pier - Plover")
    assert last(explorer).text.count("No way is left, and none is believed in after") == len(WAYS)


def test_the_table_of_the_router_that_is_pressed_is_shown(explorer):
    explorer.act("place", "Sandpiper")
    assert last(explorer).text.count("Table of Sandpiper: ") == len(WAYS)
    assert "Sandpiper Bridge Screen 1 here" in last(explorer).text


def test_packets_that_go_round_are_seen(explorer):
    explorer.act("destination", "Plover Bridge Screen")
    explorer.act("told back", "the metric, nothing at once")
    explorer.act("line", "North Pier - Plover")
    around = [scene for scene in explorer.picture.scenes
              if any(part.key == "distance vector loop" for part in scene.parts)]  # fmt: skip
    assert len(around) > 10
    assert all("Packets go round: " in scene.words.text for scene in around)
    assert not any(part.key == "link state loop" for scene in explorer.picture.scenes
                   for part in scene.parts)  # fmt: skip


def test_what_does_not_exist_changes_nothing(explorer):
    before = explorer.change
    with pytest.raises(CallbackFailed):
        explorer.act("line", "North Pier - Moon")
    assert explorer.change == before
