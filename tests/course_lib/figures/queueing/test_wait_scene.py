"""The picture of load and wait shows what run and theory say, and its text the same."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_line import (
    ARRIVALS,
    RANDOM_MIX,
    SIZES,
    LineTraffic,
    expected_wait,
    progress,
    run_line,
)
from course_lib.figures.queueing.wait_axes import ASKED_PERCENT, FOOT, MOST, load_at, wait_y
from course_lib.figures.queueing.wait_scene import wait_scene
from course_lib.figures.queueing.wait_words import Ghost, WaitView
from course_lib.figures.queueing.work_window import WINDOW, stretch_before
from pages.drawn_shapes import SVG, is_told, tips, words

CLOCKED, MIXED = LineTraffic(ARRIVALS[1], SIZES[2]), LineTraffic(ARRIVALS[1], SIZES[1])
SETTINGS = [(LineTraffic(), 90), (RANDOM_MIX, 95), (MIXED, 60), (CLOCKED, 95), (LineTraffic(), 5)]


def view_of(traffic, percent, **more):
    run = run_line(traffic, percent / 100, 500, 4)
    last = progress(run)[-1]
    stretch = stretch_before(run, last.came)
    return run, WaitView(
        traffic, percent, last.wait, last.packets, stretch, is_coarse=False,
        **({"measured": (Band(0.4, 0.66, 0.6, 0.72, 20), last.wait),
            "ghosts": (Ghost(LineTraffic(ARRIVALS[1]), (Band(0.8, 1.7, 1.6, 1.8, 20),)),
                       Ghost(CLOCKED, (Band(0.9, 0.0, 0.0, 0.0, 1),)))} | more),
    )  # fmt: skip


@pytest.fixture(params=SETTINGS, ids=lambda one: f"{one[0].kendall} {one[1]}")
def seen(request):
    return view_of(*request.param)


def part(scene, key):
    found = next(part for part in scene.parts if part.key == key)
    return ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{found.markup}</svg>')


def corners(scene, key):
    d = part(scene, key).find(f".//{SVG}path").get("d")
    return [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+) ([\d.]+)", d)]


def test_every_number_of_the_picture_is_in_its_text(seen):
    figure = wait_scene(seen[1]).figure()
    told = set(re.findall(r"\d+(?:\.\d+)?", f"{figure.text} {figure.alternative_text}"))
    drawn = set(re.findall(r"\d+(?:\.\d+)?", " ".join([*words(figure), *tips(figure)])))
    assert drawn <= told
    assert is_told(figure)


def test_dot_and_interval_stand_where_their_numbers_say():
    band = Band(0.9, 9.0, 7.5, 10.5, 20)
    scene = wait_scene(view_of(LineTraffic(), 90)[1].__class__(
        LineTraffic(), 90, band, 1000, view_of(LineTraffic(), 90)[1].stretch, is_coarse=False,
    ))  # fmt: skip
    dot = part(scene, "measured").find(f"{SVG}circle")
    assert float(dot.get("cx")) == pytest.approx(load_at(90))
    assert float(dot.get("cy")) == pytest.approx(wait_y(9.0), abs=0.1)
    assert f"V{wait_y(10.5):.1f}" in part(scene, "measured").find(f"{SVG}path").get("d")
    assert {"measured 9.00 ± 1.50", "theory 9.00"} <= set(words(scene.figure()))


def test_the_dashed_line_is_theory_at_every_load(seen):
    _, view = seen
    line = corners(wait_scene(view), "theory")
    for x, y in line[::20]:
        load = (x - load_at(0)) / (load_at(100) - load_at(0))
        assert y == pytest.approx(wait_y(expected_wait(view.traffic, load).wait), abs=0.6)


def test_a_bound_is_called_one():
    said = wait_scene(view_of(MIXED, 60)[1]).words
    assert "theory at most" in said.title
    assert "≤" in said.text
    assert "at most" not in wait_scene(view_of(RANDOM_MIX, 60)[1]).words.title


def test_the_saw_tooth_rises_by_each_size_and_falls_with_time(seen):
    _, view = seen
    teeth = corners(wait_scene(view), "work")
    time_pixels, work_pixels = 280 / WINDOW, (FOOT - wait_y(MOST)) / MOST
    for (x, y), (to_x, to_y) in itertools.pairwise(teeth):
        if to_y > y and y > wait_y(MOST):  # it falls one packet time in each
            assert (to_y - y) / work_pixels == pytest.approx((to_x - x) / time_pixels, abs=0.1)
        elif to_y < y:
            assert to_x == x
    ups = sum(b[1] < a[1] for a, b in itertools.pairwise(teeth))
    visible = [s for w, s in zip(view.stretch.wait, view.stretch.size, strict=True)
               if w < MOST and s * work_pixels > 0.2]  # fmt: skip
    assert ups >= len(visible) * 0.9
    assert all(wait_y(MOST) - 0.1 <= y <= FOOT for _, y in teeth)


def test_the_window_is_the_end_of_the_run(seen):
    run, view = seen
    inside = run.came > run.came[-1] - WINDOW
    assert len(view.stretch.came) == inside.sum()
    assert max(view.stretch.wait) == run.wait[inside].max()
    bars = part(wait_scene(view), "packets").find(f"{SVG}path").get("d")
    assert bars.count("M") == inside.sum()


def test_what_was_left_before_the_window_is_still_there():
    run, _ = view_of(LineTraffic(), 90)
    stretch = stretch_before(run, 500.0)
    last = int((run.came <= 400.0).sum()) - 1
    left = run.came[last] + run.wait[last] + run.size[last] - 400.0
    assert stretch.before == pytest.approx(max(0.0, left))
    assert stretch_before(run, run.came[3]).before == 0.0


def test_before_the_answer_nothing_of_theory_is_told():
    for guess in (None, 7):
        scene = wait_scene(view_of(LineTraffic(), 50, is_asked=True, guess=guess)[1])
        told = " ".join([*scene.words, *words(scene.figure())])
        assert "theory" not in told
        assert "9.0" not in told
        assert not {one.key for one in scene.parts} & {"theory", "legend", "earlier", "ghost a"}
        assert len(scene.touches) == MOST + 1


@pytest.mark.parametrize("guess", [0, 9, 25])
def test_the_guess_is_a_flag_at_the_wait_that_was_guessed(guess):
    for is_asked in (True, False):
        scene = wait_scene(view_of(LineTraffic(), 50, is_asked=is_asked, guess=guess)[1])
        foot = part(scene, "guess").find(f".//{SVG}circle")
        assert float(foot.get("cx")) == pytest.approx(load_at(ASKED_PERCENT))
        assert float(foot.get("cy")) == pytest.approx(wait_y(guess))
        assert f"Your guess for 90 %: {guess}." in scene.words.alternative_text


def test_a_wait_beyond_the_axis_is_an_arrow_and_a_number():
    view = view_of(RANDOM_MIX, 95)[1]
    far = WaitView(RANDOM_MIX, 95, Band(0.95, 31.0, 28.0, 34.0, 20), 1000, view.stretch,
                   is_coarse=False)  # fmt: skip
    scene = wait_scene(far)
    assert part(scene, "measured").find(f"{SVG}circle") is None
    assert "measured 31.00 ± 3.00" in words(scene.figure())


def test_a_coarse_measure_is_a_broken_ring_without_interval():
    view = view_of(LineTraffic(), 50)[1]
    coarse = WaitView(LineTraffic(), 50, Band(0.5, 1.0, 1.0, 1.0, 1), 20_000, view.stretch)
    scene = wait_scene(coarse)
    ring = part(scene, "measured").find(f"{SVG}circle")
    assert ring.get("stroke-dasharray")
    assert "coarse: 20,000 packets" in words(scene.figure())


def test_settings_of_before_stay_with_their_letter(seen):
    scene = wait_scene(seen[1])
    assert {"a", "b", "a: on a clock, exponential", "b: on a clock, all alike"} <= set(
        words(scene.figure())
    )
    assert "a: on a clock, exponential" in scene.words.text
