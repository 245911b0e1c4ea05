"""The picture of loss and rate shows what runs and laws say, and its text the same."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from course_lib.experiments.intervals import Band
from course_lib.ferry.lossy_line import PATTERNS, LossyFlow, square_root_mbit_s, timeouts_mbit_s
from course_lib.figures.loss.aftermath import PLACES, Stretch, aftermath_of, packet_at
from course_lib.figures.loss.loss_scene import loss_scenes
from course_lib.figures.loss.loss_words import LossView, number
from course_lib.figures.loss.rate_axes import (
    ASKED,
    GUESSES,
    LOWEST,
    NOTCHES,
    every_at,
    notch_of,
    period_x,
    rate_y,
)
from course_lib.figures.loss.window_stretch import token_x
from pages.drawn_shapes import SVG, is_told, tips, words

TOOTH = tuple(float(8 + n % 9) for n in range(101))
STRETCH = Stretch(tuple(n / 20 for n in range(101)), TOOTH, tuple(range(0, 1010, 10)), (0.4, 0.85))
FEWER = Stretch(
    STRETCH.times_s,
    (*TOOTH[:42], *(TOOTH[41] / 2 + 0.2 * n for n in range(59))),
    (*STRETCH.left[:42], *range(415, 415 + 59 * 8, 8)),
    (0.4, 0.85, 2.0),
)
AFTER = aftermath_of(STRETCH, FEWER, 80)
FLOW, BEFORE = LossyFlow(100), LossyFlow(0, PATTERNS[1], 2)
VIEW = LossView(
    FLOW, Band(100.0, 1.97, 1.9, 2.04, 5), "95 % interval of 5 runs, 200 s each", STRETCH,
    is_coarse=False, guess=0.2,
    curve=(Band(8.0, 0.31, 0.31, 0.31, 1), Band(100.0, 2.0, 1.9, 2.1, 5)),
    ghost=(BEFORE, (Band(200.0, 2.27, 2.0, 2.55, 5),)),
)  # fmt: skip
ASKING = LossView(
    LossyFlow(10_000), Band(10_000.0, 23.9, 23.9, 23.9, 1), "one run", STRETCH, is_asked=True
)
COARSE = replace(VIEW, is_coarse=True, band=Band(100.0, 2.1, 2.1, 2.1, 1), ghost=None)
AFTERWARDS = replace(VIEW, after=AFTER)
VIEWS = {"answered": VIEW, "after a loss": AFTERWARDS, "asking": ASKING, "coarse": COARSE}
every_view = pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)


def last(view):
    return loss_scenes(view)[-1]


def part(scene, key):
    found = next(part for part in scene.parts if part.key == key)
    return ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{found.markup}</svg>')


def corners(scene, key):
    d = part(scene, key).find(f".//{SVG}path").get("d")
    return [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+) ([\d.]+)", d)]


@every_view
def test_every_number_of_the_picture_is_in_its_text(view):
    for scene in loss_scenes(view):
        figure = scene.figure()
        told = set(re.findall(r"\d+(?:\.\d+)?", f"{figure.text} {figure.alternative_text}"))
        touched = " ".join(f"{one.name} {getattr(one, 'words', '')}" for one in scene.touches)
        told |= set(re.findall(r"\d+(?:\.\d+)?", touched))
        drawn = set(re.findall(r"\d+(?:\.\d+)?", " ".join([*words(figure), *tips(figure)])))
        assert drawn <= told
        assert is_told(figure)


@pytest.mark.parametrize(("key", "law"), [("law", square_root_mbit_s),
                                          ("with time-outs", timeouts_mbit_s)])  # fmt: skip
def test_lines_are_the_laws(key, law):
    line, seen = corners(last(VIEW), key), [every_at(notch) for notch in NOTCHES]
    seen = [every for every in seen if LOWEST <= law(LossyFlow(every)) <= 100]
    assert len(line) == len(seen) > 30
    for (x, y), every in zip(line, seen, strict=True):
        assert (x, y) == pytest.approx((period_x(every), rate_y(law(LossyFlow(every)))), abs=0.1)


def test_the_law_climbs_one_decade_in_two():
    across, up = (period_x(10_000) - period_x(100)), rate_y(1.0) - rate_y(10.0)
    (x, y), *_, (to_x, to_y) = corners(last(VIEW), "law")
    assert (y - to_y) / up == pytest.approx((to_x - x) / across, rel=0.01)


def test_dot_and_interval_stand_where_their_numbers_say():
    mark = part(last(VIEW), "measured")
    dot = mark.find(f"{SVG}circle")
    assert float(dot.get("cx")) == pytest.approx(period_x(100), abs=0.1)
    assert float(dot.get("cy")) == pytest.approx(rate_y(1.97), abs=0.1)
    assert f"V{rate_y(2.04):.1f}" in mark.find(f"{SVG}path").get("d")
    assert {"measured 1.97 ± 0.07", "square-root law 2.45", "with time-outs 1.78"} <= set(
        words(last(VIEW).figure())
    )


def test_a_rate_below_the_axes_is_an_arrow_and_a_number():
    low = replace(VIEW, band=Band(5.0, 0.004, 0.001, 0.007, 5), flow=LossyFlow(5))
    assert part(last(low), "measured").find(f"{SVG}circle") is None
    assert "measured 0.004 ± 0.003" in words(last(low).figure())


def test_a_coarse_measure_is_a_broken_ring():
    ring = part(last(COARSE), "measured").find(f"{SVG}circle")
    assert ring.get("stroke-dasharray")


@pytest.mark.parametrize("guess", [None, 0.24, 49.5])
def test_before_the_answer_nothing_of_theory_is_told(guess):
    scene = last(replace(ASKING, guess=guess))
    told = " ".join([*scene.words, *words(scene.figure())])
    assert "law" not in told
    assert not re.search(r"\b(2\.45|1\.97|2\.0)\b", told)
    assert not {one.key for one in scene.parts} & {"law", "with time-outs", "curve", "before"}
    assert [one.value for one in scene.touches] == [f"{rate:g}" for rate in GUESSES]
    if guess is not None:
        foot = part(scene, "guess").find(f".//{SVG}circle")
        assert float(foot.get("cx")) == pytest.approx(period_x(ASKED), abs=0.1)
        assert float(foot.get("cy")) == pytest.approx(rate_y(guess), abs=0.1)


def test_every_period_of_the_slider_has_its_place():
    assert [notch_of(every_at(notch)) for notch in NOTCHES] == list(NOTCHES)
    places = [period_x(every_at(notch)) for notch in NOTCHES]
    assert places == sorted(places)
    slide = next(one for one in last(VIEW).touches if one.key == "period")
    for notch in NOTCHES:  # the knob lies under the hand
        share = (notch - slide.low) / (slide.high - slide.low)
        under = slide.left + share * (slide.right - slide.left)
        assert under == pytest.approx(period_x(every_at(notch)), abs=4)


def test_what_follows_a_loss_is_told_moment_by_moment():
    scenes = loss_scenes(AFTERWARDS)
    told = [scene.words.text for scene in scenes]
    assert AFTER.number == packet_at(STRETCH, 80) == 400
    assert "Packet 400 is lost; the window is 12.0." in told[0]
    assert "Third duplicate: the window falls from 13.0 to 6.5." in told[1]
    assert "the window is what it would have been." in told[2]
    assert "The loss of packet 400: 121 packets fewer have been sent by the end." in told[-1]
    lengths = [len(corners(scene, "window after")) for scene in scenes]
    assert lengths == sorted(lengths)
    assert lengths[-1] == len(TOOTH)


def test_a_window_that_falls_to_one_is_a_time_out():
    fallen = FEWER._replace(windows=(*TOOTH[:42], *(1.0 for _ in range(59))))
    moments = aftermath_of(STRETCH, fallen, 80).moments
    assert "Nothing comes back until the time-out: from 13.0 to 1.0." in moments[1][1]
    assert len(moments) == 3  # it is never again what it would have been


def test_a_loss_that_costs_nothing_says_so():
    assert "no fewer packets have been sent" in aftermath_of(STRETCH, STRETCH, 80).cost_words


def test_the_token_stands_where_the_packet_was_taken_out():
    rest, taken = last(VIEW), last(AFTERWARDS)
    for scene, place in ((rest, 0), (taken, 80)):
        token = part(scene, "token").findall(f".//{SVG}rect")[-1]
        assert float(token.get("x")) + 8 == pytest.approx(token_x(place))
        slide = next(one for one in scene.touches if one.key == "token")
        share = (slide.now - slide.low) / (PLACES - slide.low)
        assert slide.left + share * (slide.right - slide.left) == pytest.approx(token_x(place))


def test_each_lost_packet_has_a_dot_under_the_belt():
    for view, count in ((VIEW, 2), (AFTERWARDS, 3)):
        falls = part(last(view), "belt").findall(f".//{SVG}path")[-1].get("d")
        assert falls.count("M") == count


def test_the_setting_before_keeps_its_numbers():
    told = last(VIEW).words.text
    assert "Before: lost at random, every second acknowledged." in told
    law = number(square_root_mbit_s(BEFORE._replace(every=200)))
    assert re.search(rf"200 +{law} ", told.partition("Before:")[2])
