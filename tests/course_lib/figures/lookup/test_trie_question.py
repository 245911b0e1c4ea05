"""The guess stands in its band, covers no words, and the question tells nothing of the answer."""

import pytest

from course_lib.figures.lookup.trie_diagram import trie_scene
from course_lib.figures.lookup.trie_question import NO_ROUTE, Question
from course_lib.figures.lookup.trie_words import way_of
from pages.words_in_figures import SIZE, boxes, covered

ROUTES = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Curlew"}
OFFERED = {**ROUTES, "011": "Sandpiper", "11001": "Gull"}
GUESSES = pytest.mark.parametrize("guess", [*ROUTES, NO_ROUTE])


def scene(question, address="01101111", routes=ROUTES):
    return trie_scene(routes, way_of(routes, address), offered=OFFERED, question=question)


@GUESSES
@pytest.mark.parametrize("is_open", [True, False], ids=["asked", "answered"])
def test_the_flag_covers_no_words_and_stays_in_the_picture(page, guess, is_open):
    found = boxes(page, scene(Question(guess, is_open)).figure())
    width, height = page.evaluate(SIZE)
    assert covered(found) == []
    assert [one["words"] for one in found if one["x"] < 0 or one["right"] > width] == []
    assert [one["words"] for one in found if one["y"] < 0 or one["bottom"] > height] == []


@GUESSES
def test_the_guess_is_drawn_and_said(guess):
    shown = scene(Question(guess))
    drawn = {part.key: part.markup for part in shown.parts}
    hop = ROUTES.get(guess, "no route")
    assert f"your guess: {hop}" in drawn["guess"]
    assert ("guessed band" in drawn) is (guess in ROUTES)
    for words in (shown.words.text, shown.words.alternative_text):
        assert f"Your guess: {hop}" in words


@pytest.mark.parametrize("address", ["00000000", "01101111", "01101011", "11111111"])
def test_an_open_question_is_the_same_picture_whatever_the_answer(address):
    """Only the address itself differs, as it is written and as it stands on its line."""
    one, other = (scene(Question("01"), each) for each in (address, "10000000"))
    pairs = zip(one.parts, other.parts, strict=True)
    differing = {mine.key for mine, its in pairs if mine != its}
    assert differing <= {"title", "bits", "handle"}
    assert one.touches == other.touches


def test_a_question_is_asked_of_routes_that_are_in_the_table():
    values = {touch.value: touch.is_on for touch in scene(Question("01")).touches}
    assert values == {prefix: prefix == "01" for prefix in ROUTES}
