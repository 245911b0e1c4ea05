"""A scene holds picture and words together, and knows what of it can be touched."""

import json

import pytest

from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide
from course_lib.figures.drawing.svg import Words, box, drawing

WORDS = Words("Title", "text", "spoken")
PARTS = (Part("low", box("box", 0, 0, 9, 9)), Part("high", box("calm", 1, 1, 5, 5)))
SLIDE = Slide("high", "Address", "address", 10, 90, 0, 255, 7, "seven")


def test_the_still_picture_is_the_parts_in_order():
    figure = Scene(WORDS, (100, 50), PARTS).figure()
    assert figure == drawing(WORDS, (100, 50), *(part.markup for part in PARTS))


def test_as_data_it_is_all_that_the_page_needs_and_can_be_sent():
    scene = Scene(WORDS, (100, 50), PARTS, (SLIDE, Press("low", "Route", "route", "01", True)))
    data = json.loads(json.dumps(scene.as_data()))
    assert data["parts"]["order"] == [key for key, _ in data["parts"]["new"]] == ["low", "high"]
    (slid, slide), (pressed, press) = data["touches"]["new"]
    assert (slid, pressed) == ("high", "low")
    assert slide == {
        "kind": "slide", "key": "high", "name": "Address", "action": "address", "left": 10,
        "right": 90, "low": 0, "high": 255, "now": 7, "words": "seven",
    }  # fmt: skip
    assert press["kind"] == "press"
    assert (data["title"], data["text"], data["spoken"]) == WORDS


@pytest.mark.parametrize(
    ("parts", "touches", "words"),
    [((*PARTS, PARTS[0]), (), "same key"), (PARTS[:1], (SLIDE,), "no part 'high'")],
)
def test_what_can_not_be_told_apart_or_found_is_refused(parts, touches, words):
    with pytest.raises(ValueError, match=words):
        Scene(WORDS, (100, 50), parts, touches)


def test_words_are_placed_where_nothing_is():
    room = Room(0, 200)
    places = [(10, 20, "start"), (190, 20, "end")]
    assert room.place("Gull", places, 12) == (10, 20, "start")
    assert room.place("Gull", places, 12) == (190, 20, "end")
    assert room.place("Gull", places, 12) is None


def test_words_do_not_leave_the_picture_or_cover_what_is_drawn():
    room = Room(0, 100)
    room.take(0, 0, 50, 50)
    assert room.place("Gull", [(40, 20, "start")], 12) is None
    assert room.place("a long word", [(60, 20, "start")], 12) is None
    assert room.place("Gull", [(60, 20, "start")], 12) is not None


def test_what_is_as_in_the_scene_before_is_left_out_of_the_data():
    before = Scene(WORDS, (100, 50), PARTS, (SLIDE,))
    higher = Part("high", box("calm", 1, 2, 5, 5))
    moved, stayed = (
        Scene(WORDS, (100, 50), parts, (SLIDE,)).as_data(before)
        for parts in ((PARTS[0], higher, Part("new", "")), PARTS)
    )
    assert moved["parts"] == {
        "order": ["low", "high", "new"],
        "new": [["high", f"<g>{higher.markup}</g>"], ["new", "<g><g/></g>"]],
    }
    as_before = {"order": None, "new": []}
    assert stayed["parts"] == stayed["touches"] == moved["touches"] == as_before
    assert Scene(WORDS, (100, 50), PARTS).as_data(before)["touches"] == {"order": [], "new": []}
