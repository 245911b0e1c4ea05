"""The neighbour explorer asks for a guess, and then shows what the library's own hosts do."""

import random

import pytest

from course_lib.ferry.one_crossing import ERRANDS, HOST, NEXT_HOP, PLACES, ROUTER, crossing
from course_lib.tracing.exchange import follow_exchange
from course_lib.widgets.neighbour_explorer import explore_neighbours
from pages.touched_figure import said

RUN_S = 15.0


@pytest.fixture
def explorer():
    return explore_neighbours()


def last(explorer):
    return explorer.picture.scenes[-1]


def answered(explorer, errand="one echo"):
    explorer.act("errand", errand)
    explorer.act("guess", HOST)
    explorer.act("answer")
    return explorer


def test_it_begins_with_a_question_and_nothing_sent(explorer):
    assert len(explorer.picture.scenes) == 1
    assert "Whose hardware address" in said(explorer)
    assert [touch.value for touch in last(explorer).touches] == list(PLACES)


@pytest.mark.parametrize("errand", ERRANDS)
def test_before_the_answer_nothing_of_it_is_in_the_page(explorer, errand):
    explorer.act("errand", errand)
    explorer.act("guess", HOST)
    assert len(explorer.picture.scenes) == 1
    assert "answer" not in [part.key for part in last(explorer).parts]
    assert "The answer" not in said(explorer) + last(explorer).words.text
    explorer.act("errand", errand)
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]


def first_host_frame_for(moments):
    sent = [one.travel for one in moments if one.travel and one.travel.octets[12:14] == b"\x08\0"]
    return sent[0].target


def who_drops(moments):
    return next(place for one in moments for place, told in one.notes if "drops" in told)


def test_the_answers_are_what_the_network_does():
    for errand, facts in ERRANDS.items():
        moments = follow_exchange(crossing(facts), RUN_S)
        found = first_host_frame_for(moments) if errand == "one echo" else who_drops(moments)
        assert found == facts.answer, errand


@pytest.mark.parametrize("errand", ERRANDS)
def test_with_the_answer_every_moment_is_a_scene_played_from_the_first(explorer, errand):
    moments = follow_exchange(crossing(ERRANDS[errand]), RUN_S)
    answered(explorer, errand)
    assert explorer.moments == moments
    assert len(explorer.picture.scenes) == len(moments) + 1
    assert explorer.picture.plays
    assert ERRANDS[errand].answer in said(explorer)


def test_an_answer_that_is_dragged_back_is_lost_and_asked_for_again(explorer):
    answered(explorer).act("lose 1", 1)
    (slide, again) = last(explorer).touches
    assert (slide.key, slide.now, again.key, again.now) == ("answer 1", 1, "answer 2", 0)
    assert explorer.moments[-1].time_s > 1
    explorer.act("lose 1", 0)
    assert explorer.moments[-1].time_s < 1


def test_three_lost_answers_end_with_host_unreachable(explorer):
    answered(explorer)
    for number in (1, 2, 3):
        explorer.act(f"lose {number}", 1)
    assert last(explorer).words.title == f"{ROUTER} to {HOST}: host unreachable"
    explorer.act("nothing lost")
    assert last(explorer).words.title == f"{ROUTER} to {HOST}: echo reply"


def test_an_earlier_answer_that_arrives_leaves_no_later_one_to_lose(explorer):
    answered(explorer)
    for number in (1, 2):
        explorer.act(f"lose {number}", 1)
    explorer.act("lose 1", 0)
    explorer.act("lose 1", 1)
    assert [touch.now for touch in last(explorer).touches] == [1, 0]


def test_another_errand_begins_anew_with_a_question(explorer):
    answered(explorer).act("lose 1", 1)
    explorer.act("errand", "an echo to nobody")
    assert len(explorer.picture.scenes) == 1
    assert "guess" not in [part.key for part in last(explorer).parts]
    explorer.act("guess", NEXT_HOP)
    explorer.act("answer")
    assert "as you guessed" in said(explorer)


@pytest.mark.parametrize("seed", range(2))
def test_at_every_step_cards_and_text_tell_what_the_places_know(explorer, seed):
    rng = random.Random(seed)
    answered(explorer, rng.choice(list(ERRANDS)))
    for number in range(1, rng.randint(1, 4)):
        explorer.act(f"lose {number}", 1)
    for moment, scene in zip(explorer.moments, explorer.picture.scenes[1:], strict=True):
        drawn = {part.key: part.markup for part in scene.parts}
        for place, knowledge in moment.knowledge.items():
            assert drawn[f"waiting {place}"].count("<rect") == len(knowledge.waiting)
            assert drawn[f"card {place}"].count(" is :") == len(knowledge.known)
            assert f"{place} knows" in scene.words.text
