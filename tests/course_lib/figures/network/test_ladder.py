"""The ladder draws a row for each moment, in time, with the same packets as everywhere."""

import itertools
import re

import pytest

from course_lib.ferry.one_crossing import ERRANDS, NEXT_HOP, PLACES, crossing
from course_lib.figures.network.ladder import Guess, ladder_scene
from course_lib.figures.network.ladder_words import read_frame, time_words
from course_lib.tracing.exchange import follow_exchange

OWN = {
    place: ((0xC0000200 + n, bytes([0, 0, 0x5E, 0, 0x53, n])),) for n, place in enumerate(PLACES)
}
LOST = tuple((NEXT_HOP, number) for number in (1, 2))


def moments(errand="one echo", lost=()):
    return follow_exchange(crossing(ERRANDS[errand]), 15.0, lost)


def parts(told, until=None, **more):
    scene = ladder_scene(told, len(told) if until is None else until, OWN, **more)
    return {part.key: part.markup for part in scene.parts}


def height(markup):
    return float(re.search(r' y="([\d.]+)"', markup)[1])


@pytest.mark.parametrize("errand", ERRANDS)
def test_time_runs_down_and_rows_never_meet(errand):
    told = moments(errand, LOST)
    drawn = parts(told)
    places = [height(drawn[f"time {row}"]) for row in range(len(told))]
    assert all(below - above >= 15 for above, below in itertools.pairwise(places))
    assert [one.time_s for one in told] == sorted(one.time_s for one in told)


@pytest.mark.parametrize("until", range(13))
def test_what_comes_later_is_not_there_yet(until):
    told = moments()
    drawn = parts(told, until)
    assert {key for key in drawn if key.startswith("time ")} == {f"time {n}" for n in range(until)}
    text = ladder_scene(told, until, OWN).words.text
    assert sum(f"{time_words(one.time_s)}: " in text for one in told) == until


def test_a_frame_runs_from_its_sender_to_whom_it_reaches():
    told = moments()
    drawn = parts(told)
    lines = {place: float(re.search(r"M([\d.]+) ", drawn[f"line {place}"])[1]) for place in PLACES}
    for row, moment in enumerate(told):
        start, end = re.search(r'd="M([\d.]+) [\d.]+H([\d.]+)"', drawn[f"frame {row}"]).groups()
        ends = float(start), float(end)
        assert ends == (lines[moment.travel.origin], lines[moment.travel.target])


def test_a_lost_frame_ends_half_way_at_a_cross_and_says_so():
    told = moments(lost=LOST[:1])
    row = next(n for n, one in enumerate(told) if not one.travel.arrives)
    drawn = parts(told, draggable=NEXT_HOP)
    assert ">lost<" in drawn[f"frame {row}"]
    assert 'class="changed"' in drawn["answer 1"]
    assert 'class="changed"' not in drawn["answer 2"]


def test_a_message_that_somebody_on_the_way_has_made_has_round_ends():
    told = moments("an echo, time to live 2")
    rounded = [row for row in range(len(told)) if 'rx="7"' in parts(told)[f"frame {row}"]]
    frames = [read_frame(one.travel.octets) for one in told if one.travel]
    assert len(rounded) == sum(frame.is_own for frame in frames) == 2


def test_the_line_below_tells_that_two_addresses_change_and_two_stay():
    told = moments()
    echoes = [n for n, one in enumerate(told, 1) if read_frame(one.travel.octets).word == "echo"]
    below = [re.sub("<[^>]+>", "", parts(told, until)["below"]) for until in echoes]
    assert len(below) == 3
    assert len({one.partition(". IPv4")[0] for one in below}) == 3
    assert len({re.search(r"IPv4: from (\S+ to \S+),", one)[1] for one in below}) == 1


def test_only_the_answers_of_one_place_can_be_dragged():
    told = moments(lost=LOST)
    scene = ladder_scene(told, len(told), OWN, draggable=NEXT_HOP)
    assert [(one.key, one.now) for one in scene.touches] == [
        ("answer 1", 1), ("answer 2", 1), ("answer 3", 0),
    ]  # fmt: skip
    assert ladder_scene(told, len(told), OWN).touches == ()


def test_the_guess_and_the_answer_stand_before_anything_is_sent():
    told = moments()
    assert {"guess", "answer"} <= set(parts(told, 0, guess=Guess(PLACES[0], PLACES[1])))
    assert "answer" not in parts(told, 0, guess=Guess(PLACES[0]))
    assert "guess" not in parts(told, guess=Guess(PLACES[0], PLACES[1]))


@pytest.mark.parametrize(
    ("time_s", "words"), [(0.0, "0.000 ms"), (0.00316, "3.160 ms"), (1.00316, "1,003.160 ms")]
)
def test_times_are_told_in_milliseconds(time_s, words):
    assert time_words(time_s) == words
