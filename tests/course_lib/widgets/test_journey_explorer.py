"""The journey explorer follows every control, in picture and in words."""

import random
import xml.etree.ElementTree as ET

import pytest

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.packet_journey import packet_journey
from course_lib.forwarding.verdicts import Drop
from course_lib.headers.errors import Reason
from course_lib.tracing.journey import follow
from course_lib.widgets.journey_explorer import explore_journey


@pytest.fixture
def explorer():
    return explore_journey()


def to_the_end(explorer):
    while not explorer.next_step.disabled:
        explorer.next_step.click()
    return explorer


def place_behind(explorer, stage):
    explorer.place.value = next(
        value for name, value in explorer.place.options if name.endswith(f" behind {stage}")
    )
    return explorer


def test_it_begins_with_a_packet_that_has_just_arrived(explorer):
    told = follow(north_pier(), 0.0, *ARRIVALS["plain"])
    assert explorer.picture.value == packet_journey(told, 0).svg
    assert "A frame of 68 octets arrives on the interface" in explorer.words.value
    assert "Next: receive." in explorer.words.value


def test_a_button_goes_on_step_by_step_until_the_end(explorer):
    for number, stage in enumerate(("receive", "validate", "decide", "rewrite"), start=1):
        explorer.next_step.click()
        assert explorer.step.value == number
        assert f"Step {number}. {stage}: " in explorer.words.value
    assert "time to live 64 → 63" in explorer.words.value
    assert "That was the last step." in to_the_end(explorer).words.value
    assert explorer.step.value == 6


def test_number_and_slider_of_the_step_move_together(explorer):
    explorer.slider.value = 3
    assert explorer.step.value == 3
    assert "Leaves on: to Reed Pier" in explorer.words.value
    explorer.step.value = 1
    assert explorer.slider.value == 1


@pytest.mark.parametrize("name", ARRIVALS)
def test_every_packet_can_be_followed_to_its_end(explorer, name):
    explorer.packet.value = name
    told = follow(north_pier(), 0.0, *ARRIVALS[name])
    assert explorer.step.value == 0
    assert explorer.slider.max == explorer.step.max == len(told.steps)
    assert to_the_end(explorer).picture.value == packet_journey(told).svg


def test_another_packet_begins_at_its_beginning(explorer):
    to_the_end(explorer).packet.value = "wrong checksum"
    assert (explorer.step.value, explorer.step.max) == (0, 2)
    assert "Next: receive." in explorer.words.value
    assert "Dropped: wrong checksum." in to_the_end(explorer).words.value


def test_the_filter_refuses_what_is_for_boats_and_nothing_else(explorer):
    place_behind(explorer, "validate").packet.value = "too large"
    assert to_the_end(explorer).journey.end == (
        "left the fast path",
        "no_boats",
        "refused: filtered",
    )
    assert "error sent: type 3, code 13" in str(explorer.journey.counted)
    explorer.packet.value = "plain"
    assert to_the_end(explorer).journey.end.kind == "sent"


def test_the_filter_can_be_taken_out_again(explorer):
    place_behind(explorer, "decide")
    assert "no_boats" in explorer.journey.stages
    explorer.place.value = explorer.place.options[0][1]
    assert "no_boats" not in explorer.journey.stages


def drops_everything(packet):
    return Drop(Reason.FILTERED)


def forgets(packet):
    """A beginner's mistake."""


def test_a_stage_of_the_reader_s_own_takes_the_place_of_the_filter():
    explorer = place_behind(explore_journey(drops_everything), "receive")
    assert to_the_end(explorer).journey.end == ("dropped", "drops_everything", Reason.FILTERED)
    assert "Dropped: filtered." in explorer.words.value


def test_a_stage_that_fails_is_told_and_not_raised():
    explorer = to_the_end(place_behind(explore_journey(forgets), "rewrite"))
    assert "did it forget to return the packet?" in explorer.words.value
    assert explorer.notice.value == ""


def test_each_journey_has_a_router_of_its_own():
    made = []
    explorer = explore_journey(make_router=lambda: made.append(1) or north_pier())
    before = len(made)
    explorer.packet.value = "unknown neighbour"
    explorer.packet.value = "plain"
    assert len(made) == before + 2
    assert dict(to_the_end(explorer).journey.counted) == {"received": 1, "sent": 1}


def test_from_the_start_shows_the_arrival_again(explorer):
    first = explorer.picture.value
    to_the_end(explorer).restart.click()
    assert explorer.picture.value == first
    explorer.restart.click()
    assert explorer.picture.value == first


@pytest.mark.parametrize("seed", range(3))
def test_after_any_moves_picture_and_words_agree_with_the_journey(explorer, seed):
    rng = random.Random(seed)
    for _ in range(25):
        explorer.packet.value = rng.choice(explorer.packet.options)
        explorer.place.value = rng.choice(explorer.place.options)[1]
        explorer.slider.value = rng.randint(0, explorer.slider.max)
    figure = packet_journey(explorer.journey, explorer.step.value)
    assert explorer.picture.value == figure.svg
    assert ET.fromstring(f"<a>{explorer.twin.value}</a>")[0].text == figure.text
    assert 'role="status"' in explorer.words.value


def test_every_control_has_a_name(explorer):
    named = (explorer.packet, explorer.place, explorer.step, explorer.next_step, explorer.restart)
    assert all(control.description for control in named)
    assert explorer.slider.tooltip  # has no name in ipywidgets; the number beside it has


def test_without_packets_there_is_nothing_to_explore():
    with pytest.raises(ValueError, match="at least one packet"):
        explore_journey(arrivals={})
