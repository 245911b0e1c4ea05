"""The board asks first, fills up while clauses are tried, and tells what is pressed."""

import pytest

from course_lib.conformance import SCENARIOS, Outcome
from course_lib.conformance.playing import play_on_object
from course_lib.runner.time_limit import CallLimit
from course_lib.widgets.conformance_explorer import watch_conformance
from networks.broken_routers import BROKEN
from networks.spoiled_frames import library_router
from pages.touched_figure import controls, pictures_of, said


def untried(explorer):
    return explorer.board.count(Outcome.NOT_TRIED)


def test_it_asks_first_and_tries_nothing():
    explorer = watch_conformance()
    assert f"How many of the {len(SCENARIOS)} clauses" in said(explorer)
    assert untried(explorer) == len(SCENARIOS)
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]
    assert untried(explorer) == len(SCENARIOS)


def test_before_the_answer_a_clause_tells_what_it_wants():
    explorer = watch_conformance()
    explorer.act("clause", "time to live lowered")
    text = explorer.picture.scenes[-1].words.text
    assert "time to live lowered: not tried" in text
    assert "had to come: a forwarded packet" in text
    assert "came: " not in text


def test_it_fills_up_while_it_runs():
    explorer = watch_conformance(guess=3)
    titles = [picture.scenes[-1].words.title for picture in pictures_of(explorer, "answer")]
    left = [int(title.split(" not tried")[0].split()[-1]) for title in titles[:-1]]
    assert len(left) > 10
    assert left == sorted(left, reverse=True)
    assert "not tried" not in titles[-1]
    assert "Your guess: 3. The answer: 0." in said(explorer)


def test_it_turns_to_the_first_failure_and_leaves_what_was_chosen():
    explorer = watch_conformance(BROKEN["carry forgotten"].make, guess=1)
    explorer.act("answer")
    assert "checksum with a carry: failed" in explorer.picture.scenes[-1].words.text
    assert "The answer: 1, as you guessed." in said(explorer)
    explorer.act("clause", "an echo")
    assert "Shown:\nan echo: passed" in explorer.picture.scenes[-1].words.text


def test_the_router_is_made_anew_when_all_is_tried_again():
    faulty = [True]

    def make(interfaces, routes):
        name = "sends twice" if faulty[0] else None
        return (BROKEN[name].make if name else library_router)(interfaces, routes)

    explorer = watch_conformance(make, guess=0)
    explorer.act("answer")
    assert explorer.board.count(Outcome.FAILED) > 0
    faulty[0] = False
    explorer.act("again")
    assert explorer.board.count(Outcome.FAILED) == 0
    assert list(controls(explorer)) == []


def test_a_router_elsewhere_is_asked_by_another_thread():
    def play(scenario):
        return play_on_object(library_router, scenario, CallLimit(None))

    explorer = watch_conformance(play=play, guess=0)
    explorer.act("answer")
    assert explorer.board.count(Outcome.PASSED) == len(SCENARIOS)


@pytest.mark.parametrize("guess", [-1, len(SCENARIOS) + 1])
def test_a_guess_that_is_not_possible_is_refused(guess):
    with pytest.raises(ValueError, match="guess must be 0 to"):
        watch_conformance(guess=guess)
