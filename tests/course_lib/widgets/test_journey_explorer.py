"""The journey explorer asks for a guess, and then shows what a router of its own does."""

import random

import pytest

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.journey_places import end_of
from course_lib.figures.tracing.packet_journey import packet_journey
from course_lib.forwarding.verdicts import Drop
from course_lib.headers.errors import Reason
from course_lib.tracing.journey import follow
from course_lib.widgets.journey_explorer import explore_journey, explore_recorded
from pages.touched_figure import said

OUT = 6


@pytest.fixture
def explorer():
    return explore_journey()


def scene(explorer, place=-1):
    return explorer.picture.scenes[place]


def answered(explorer, guess=0):
    explorer.act("guess", guess)
    explorer.act("answer")
    return explorer


def placed_behind(explorer, stage):
    (place,) = (words for words in explorer.picture.controls[1].options if words.endswith(stage))
    explorer.act("place", place)
    return explorer


def test_it_begins_with_a_packet_at_the_door_and_a_question(explorer):
    told = follow(north_pier(), 0.0, *ARRIVALS["plain"])
    assert [one.words.title for one in explorer.picture.scenes] == [packet_journey(told, 0).title]
    assert "Where does its way on the fast path end?" in said(explorer)
    assert {touch.action for touch in scene(explorer).touches} == {"guess"}


def test_the_answer_has_to_wait_for_a_guess(explorer):
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]
    assert len(explorer.picture.scenes) == 1


def test_a_guess_is_a_flag_that_may_be_moved_until_the_answer_is_out(explorer):
    for guess, name in ((2, "decide"), (OUT, "out")):
        explorer.act("guess", guess)
        assert f"Your guess: {name}." in said(explorer)
        assert [part.key for part in scene(explorer).parts].count("guess") == 1
    explorer.act("answer")
    before = explorer.picture
    explorer.act("guess", 1)
    assert "The answer is out already." in explorer.view["problem"]
    assert explorer.picture == before


@pytest.mark.parametrize("name", ARRIVALS)
@pytest.mark.parametrize("guess", [None, 3])
def test_before_the_answer_nothing_of_it_is_in_the_page(explorer, name, guess):
    explorer.act("packet", name)
    if guess is not None:
        explorer.act("guess", guess)
    told = follow(north_pier(), 0.0, *ARRIVALS[name])
    sent = repr(
        {key: value for key, value in explorer.view.items() if key not in ("style", "controls")}
    )
    assert told.end.words not in sent
    assert "ends here" not in sent
    assert explorer.journey == told


@pytest.mark.parametrize("name", ARRIVALS)
def test_with_the_answer_every_step_is_a_scene_played_from_the_first(explorer, name):
    explorer.act("packet", name)
    answered(explorer, 1)
    told = follow(north_pier(), 0.0, *ARRIVALS[name])
    assert len(explorer.picture.scenes) == len(told.steps) + 1
    assert explorer.picture.plays
    for until, one in enumerate(explorer.picture.scenes):
        assert one.words.title == packet_journey(told, until).title
    end = [*told.stages, "outside"][end_of(told)]
    assert f"It ends {'' if end == 'outside' else 'in '}{end}." in scene(explorer).words.text
    assert all(not one.touches for one in explorer.picture.scenes)


def test_another_packet_begins_at_the_door_without_a_guess(explorer):
    answered(explorer).act("packet", "wrong checksum")
    assert len(explorer.picture.scenes) == 1
    assert "guess" not in [part.key for part in scene(explorer).parts]
    assert not explorer.picture.plays
    assert "validate drops the packet: wrong checksum" in scene(answered(explorer)).words.title


def test_the_filter_refuses_what_is_for_boats_and_nothing_else(explorer):
    placed_behind(explorer, "validate").act("packet", "too large")
    assert explorer.journey.end == ("left the fast path", "no_boats", "refused: filtered")
    assert "error sent: type 3, code 13" in str(explorer.journey.counted)
    explorer.act("packet", "plain")
    assert explorer.journey.end.kind == "sent"
    explorer.act("guess", 7)
    assert "Your guess: out." in said(explorer)


def test_the_filter_can_be_taken_out_again(explorer):
    placed_behind(explorer, "decide")
    assert "no_boats" in explorer.journey.stages
    explorer.act("place", "none")
    assert "no_boats" not in explorer.journey.stages


def drops_everything(packet):
    return Drop(Reason.FILTERED)


def forgets(packet):
    """A beginner's mistake."""


def test_a_stage_of_the_reader_s_own_takes_the_place_of_the_filter():
    explorer = answered(placed_behind(explore_journey(drops_everything), "receive"))
    assert explorer.journey.end == ("dropped", "drops_everything", Reason.FILTERED)
    assert "Dropped: filtered." in scene(explorer).words.text


def test_a_stage_that_fails_is_told_and_not_raised():
    explorer = answered(placed_behind(explore_journey(forgets), "rewrite"))
    assert "did it forget to return the packet?" in scene(explorer).words.text
    assert explorer.view["problem"] == ""


def test_each_journey_has_a_router_of_its_own():
    made = []
    explorer = explore_journey(make_router=lambda: made.append(1) or north_pier())
    before = len(made)
    explorer.act("packet", "unknown neighbour")
    explorer.act("packet", "plain")
    assert len(made) == before + 2
    assert dict(explorer.journey.counted) == {"received": 1, "sent": 1}


@pytest.mark.parametrize("seed", range(3))
def test_after_any_moves_picture_and_words_agree_with_the_journey(explorer, seed):
    rng = random.Random(seed)
    for _ in range(25):
        packets, places = (control.options for control in explorer.picture.controls[:2])
        explorer.act("packet", rng.choice(packets))
        explorer.act("place", rng.choice(places))
        answered(explorer, rng.randrange(len(explorer.journey.stages) + 1))
    figure = packet_journey(explorer.journey)
    text = scene(explorer).words.text
    assert scene(explorer).words.title == figure.title
    assert text.startswith(figure.text)
    assert f"Your guess: {explorer.guess.given}." in said(explorer)
    assert explorer.view["problem"] == ""


def test_the_still_picture_of_a_workbook_that_was_saved_unanswered_asks(explorer):
    explorer.act("packet", "no route")
    data, _ = explorer._repr_mimebundle_()
    assert "the packet has just arrived" in data["text/html"]
    assert "refused" not in data["text/html"]


def test_there_are_at_most_four_controls_and_all_fits_a_laptop(explorer):
    for name in ARRIVALS:
        explorer.act("packet", name)
        assert [control.action for control in explorer.picture.controls] == [
            "packet", "place", "answer",
        ]  # fmt: skip
        answered(explorer)
        assert len(explorer.picture.controls) == 2
        assert {one.size[1] for one in explorer.picture.scenes} == {scene(explorer).size[1]}
        assert scene(explorer).size[1] <= 640 - 160


def test_everything_that_can_be_touched_has_a_name(explorer):
    names = [touch.name for touch in scene(explorer).touches]
    assert len(set(names)) == len(names) == OUT + 1


def test_without_packets_there_is_nothing_to_explore():
    with pytest.raises(ValueError, match="at least one packet"):
        explore_journey(arrivals={})


def test_journeys_that_were_written_down_can_be_explored():
    written = {"an echo": follow(north_pier(), 0.0, *ARRIVALS["plain"])}
    shown = explore_recorded(written)
    assert shown.journey is written["an echo"]
    assert [control.action for control in shown.picture.controls] == ["packet", "answer"]
    with pytest.raises(ValueError, match="at least one packet"):
        explore_recorded({})
