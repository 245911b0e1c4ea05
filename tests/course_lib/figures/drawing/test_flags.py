"""The reader's guess and the answer are told apart, stay in the picture, and cover nothing."""

import itertools
import re

import pytest

from course_lib.figures.drawing.flags import FLAGS_HEIGHT, flags
from course_lib.figures.drawing.svg import Words, drawing
from pages.words_in_figures import SIZE, boxes, covered

LINE = (10.0, 500.0)
FOOT = 60.0
PLACES = (10.0, 140.0, 250.0, 260.0, 499.0)


def shown(guess, answer):
    parts = flags(FOOT, LINE, guess=(guess, "your guess: 1,480"), answer=(answer, "answer: 35"))
    return drawing(Words("t", "", "d"), (510, 70), *(part.markup for part in parts))


@pytest.mark.parametrize(
    ("given", "keys"),
    [
        ({}, []),
        ({"guess": (20, "your guess: 3")}, ["guess"]),
        ({"answer": (20, "answer: 3")}, ["answer"]),
        ({"guess": (20, "your guess: 3"), "answer": (20, "answer: 3")}, ["guess", "answer"]),
    ],
)
def test_only_what_is_there_is_drawn(given, keys):
    parts = flags(FOOT, LINE, **given)
    assert [part.key for part in parts] == keys
    assert all(given[part.key][1] in part.markup for part in parts)


def test_a_guess_and_an_answer_have_looks_of_their_own():
    guess, answer = flags(FOOT, LINE, guess=(20, "a"), answer=(20, "a"))
    assert 'class="guess"' in guess.markup
    assert "<circle" in guess.markup
    assert "guess" not in answer.markup
    assert "<rect" in answer.markup


def test_a_guess_flies_lower_where_no_answer_is_to_stand_below_it():
    (part,) = flags(FOOT, LINE, guess=(20, "a"), up=26)
    (pole,) = re.findall(r'd="M20 60V([\d.]+)"', part.markup)
    assert float(pole) == FOOT - 26


@pytest.mark.parametrize(("guess", "answer"), list(itertools.product(PLACES, PLACES)))
def test_words_stay_in_the_picture_and_never_cover_each_other(browser_page, guess, answer):
    found = boxes(browser_page, shown(guess, answer))
    width, _ = browser_page.evaluate(SIZE)
    assert covered(found) == []
    assert [one["words"] for one in found if one["x"] < 0 or one["right"] > width] == []
    assert [one["words"] for one in found if one["y"] < FOOT - FLAGS_HEIGHT] == []


@pytest.fixture(scope="module")
def browser_page(browser):
    page = browser.new_page()
    yield page
    page.close()
