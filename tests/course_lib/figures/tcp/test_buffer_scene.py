"""The picture of a shared line shows what the run and the measures say, and its text the same."""

import itertools
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    POLICIES,
    Measured,
    Sharing,
    measure_sharing,
    run_sharing,
)
from course_lib.figures.tcp.buffer_curves import Curve, curve_name
from course_lib.figures.tcp.buffer_scene import BufferView, buffer_scenes
from course_lib.figures.tcp.packet_axis import LARGEST, at
from course_lib.figures.tcp.saw_teeth import teeth_of
from course_lib.figures.tcp.slow_second import EVERY, slow_second
from pages.drawn_shapes import SVG, is_told, tips, words

SIZES = (0, 50, 300)
SETTINGS = [
    (Sharing(25, 30), 50), (Sharing(25, 0), 20), (Sharing(1, 30), 60), (Sharing(64, 5), 300),
    (Sharing(9, 30, POLICIES[1]), 100), (Sharing(25, 30, POLICIES[2]), 250), (Sharing(2, 15), 0),
]  # fmt: skip
ASKED = BufferView(Sharing(25, 30), 97)


def short_run(sharing, size):
    return run_sharing(sharing, size, to_s=4, from_s=2, watched=25, sample_s=PACKET_S)


def curve_of(sharing):
    return tuple(measure_sharing(size, [short_run(sharing, size)]) for size in SIZES)


@pytest.fixture(scope="module", params=SETTINGS, ids=lambda one: f"{curve_name(one[0])}, {one[1]}")
def seen(request):
    """Return a view with all that there can be in one, and its run."""
    sharing, size = request.param
    run = short_run(sharing, size)
    ghosts = [Sharing(25, 0), Sharing(4, 30, POLICIES[2]), Sharing(16, 5, POLICIES[1])]
    view = BufferView(
        sharing, 97, guess=120, shown=measure_sharing(size, [run]), curve=curve_of(sharing),
        ghosts=tuple(Curve(one, curve_of(one)) for one in ghosts), teeth=teeth_of(run), answer=50,
    )  # fmt: skip
    return view, run


def part(scene, key):
    found = next(part for part in scene.parts if part.key == key)
    return ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{found.markup}</svg>')


def dots(tree):
    """Return where the dots of a path stand."""
    d = "".join(one.get("d") for one in tree.iter(f"{SVG}path") if one.get("class") == "packets")
    return [(float(x), float(y)) for x, y in re.findall(r"M([\d.]+) ([\d.]+)h0", d)]


def pipe_dots(scene):
    keys = [one.key for one in scene.parts if one.key.startswith("train ")]
    return [dot for key in keys for dot in dots(part(scene, key))]


def test_moments_are_counted_out_of_the_trace(seen):
    _, run = seen
    moments = slow_second(run)
    trace = run.trace
    assert len(moments) == 43
    assert {b.sample - a.sample for a, b in itertools.pairwise(moments)} == {EVERY}
    for one in moments:
        assert one.at_s == pytest.approx(one.sample * PACKET_S)
        assert one.waiting == trace.waiting[one.sample]
        assert len(one.sent) == trace.left[one.sample] - trace.left[one.sample - PIPE_PACKETS]
        assert one.fallen == trace.dropped[one.sample] - trace.dropped[one.sample - EVERY]


def test_the_second_ends_with_a_drop_if_there_is_one(seen):
    _, run = seen
    last = slow_second(run)[-1].sample
    counted = run.trace.dropped[run.trace.at_s >= run.from_s]
    if counted[-1] > counted[0]:
        assert run.trace.dropped[last] == counted[-1] > run.trace.dropped[last - 1]
    else:
        assert last == len(run.trace.left) - 1


def test_a_trace_without_every_packet_time_is_refused():
    with pytest.raises(ValueError, match="too short"):
        slow_second(run_sharing(Sharing(4, 30), 50, to_s=4))


def test_there_is_a_dot_for_every_packet_in_tank_and_pipe(seen):
    view, run = seen
    moments = slow_second(run)
    for moment, scene in zip(moments[::6], buffer_scenes(view, moments)[::6], strict=True):
        queue = dots(part(scene, "queue")) if moment.waiting else []
        assert len(queue) == moment.waiting
        assert len(pipe_dots(scene)) == len(moment.sent)
        assert len(set(pipe_dots(scene))) == len(moment.sent)
        assert all(at(0) < x < at(view.buffer_packets) + 3 for x, _ in queue)
        assert all(at(0) < x < at(PIPE_PACKETS) + 3 for x, _ in pipe_dots(scene))


def test_packets_move_along_the_pipe_and_keep_their_distances(seen):
    view, run = seen
    moments = slow_second(run)[:2]
    before, after = buffer_scenes(view, moments)
    keys = {one.key for one in before.parts} & {one.key for one in after.parts}
    trains = [key for key in keys if key.startswith("train ")]
    assert bool(trains) == bool(set(moments[0].sent) & set(moments[1].sent))
    way = at(EVERY) - at(0)
    for key in trains:
        old, new = dots(part(before, key)), dots(part(after, key))
        if len(old) == len(new):
            assert [(round(b[0] - a[0] - way, 6), b[1] - a[1]) for a, b in
                    zip(old, new, strict=True)] == pytest.approx(
                        np.zeros((len(old), 2)), abs=0.11)  # fmt: skip


def test_every_number_of_the_picture_is_in_its_text(seen):
    view, run = seen
    for scene in buffer_scenes(view, slow_second(run))[::14]:
        figure = scene.figure()
        told = set(re.findall(r"\d+(?:\.\d+)?", f"{figure.text} {figure.alternative_text}"))
        drawn = set(re.findall(r"\d+(?:\.\d+)?", " ".join([*words(figure), *tips(figure)])))
        assert drawn <= told
        assert is_told(figure)


def test_measures_stand_where_their_numbers_say(seen):
    view, run = seen
    scene = buffer_scenes(view, slow_second(run))[-1]
    rings = [(float(one.get("cx")), float(one.get("cy"))) for one in part(scene, "shown")]
    assert [x for x, _ in rings] == pytest.approx([at(view.buffer_packets)] * 3)
    heights = [y for _, y in rings]
    slow, mean = view.shown.wait_99_ms.mean, view.shown.wait_ms.mean
    assert (heights[1] - heights[2]) == pytest.approx((slow - mean) / 75 * 102, abs=0.1)
    row = next(line for line in scene.words.text.splitlines()
               if line.startswith(f"{view.buffer_packets} "))  # fmt: skip
    assert f"{100 * view.shown.utilisation.mean:.2f}" in row
    assert f"{slow:.2f}" in row


def test_theory_and_rule_are_those_of_the_flows(seen):
    view, run = seen
    scene = buffer_scenes(view, slow_second(run))[-1]
    root = {1: 250, 2: 177, 9: 84, 25: 50, 64: 32}[view.sharing.flows]
    assert f"square-root rule: {root}" in words(scene.figure())
    assert f"Square-root rule: {root} packets." in scene.words.text
    x = float(re.search(r"M([\d.]+)", part(scene, "rule")[0].get("d"))[1])
    assert x == pytest.approx(at(root), abs=0.01)


def test_the_small_teeth_and_their_sum_come_from_the_run(seen):
    view, run = seen
    teeth = teeth_of(run)
    assert teeth == view.teeth
    assert len(teeth.windows) == min(view.sharing.flows, 25)
    if view.sharing.flows <= 25:
        assert np.array(teeth.windows).sum(axis=0) == pytest.approx(np.array(teeth.sums))
    scene = buffer_scenes(view, slow_second(run))[-1]
    assert sum(one.key.startswith("tooth ") for one in scene.parts) == len(teeth.windows)
    which = int(np.searchsorted(run.trace.at_s, teeth.times_s[7]))
    assert teeth.windows[0][7] == run.trace.windows[which, 0]


def test_before_the_answer_nothing_of_it_is_told():
    for view in (ASKED, BufferView(Sharing(25, 30), 97, guess=70)):
        (scene,) = buffer_scenes(view)
        told = " ".join([*scene.words, *words(scene.figure())])
        assert "rule" not in told
        assert "theory" not in told.casefold()
        assert not {one.key for one in scene.parts} & {"use", "theory", "rule", "answer", "shown"}


def test_the_guess_is_drawn_before_the_answer_and_stays_beside_it():
    (asked,) = buffer_scenes(BufferView(Sharing(25, 30), 97, guess=70))
    assert "your guess: 70" in words(asked.figure())
    assert "Your guess: 70 packets." in asked.words.alternative_text
    band = Band(40.0, 0.96, 0.95, 0.97, 4)
    shown = Measured(band, band, band, band)
    (answered,) = buffer_scenes(BufferView(Sharing(25, 30), 97, guess=70, shown=shown, answer=50))
    assert {"your guess: 70", "97 % from 50"} <= set(words(answered.figure()))
    assert "Measured: 97 % from 50 packets on." in answered.words.alternative_text


def test_a_band_is_drawn_only_where_several_runs_made_it():
    wide, thin = Band(40.0, 0.96, 0.95, 0.97, 4), Band(40.0, 0.96, 0.96, 0.96, 1)

    def marks(band):
        shown = Measured(band, *[Band(40.0, 5, 5, 5, band.runs)] * 3)
        view = BufferView(Sharing(25, 30), 97, shown=shown, is_coarse=band.runs == 1)
        return len(part(buffer_scenes(view)[0], "use"))

    assert marks(wide) == marks(thin) + 1


@pytest.mark.parametrize(("sharing", "size"), SETTINGS)
def test_what_is_dropped_is_said_as_the_policy_has_it(sharing, size):
    run = short_run(sharing, size)
    view = BufferView(sharing, 97, shown=measure_sharing(size, [run]), teeth=teeth_of(run))
    scene = buffer_scenes(view, slow_second(run))[-1]
    assert ("met the wall" in scene.words.text) == (sharing.policy == POLICIES[0])


def test_the_wall_slides_over_the_axis_and_in_step_is_a_switch(seen):
    view, run = seen
    wall, *presses = buffer_scenes(view, slow_second(run))[-1].touches
    assert (wall.left, wall.right, wall.low, wall.high) == (at(0), at(LARGEST), 0, LARGEST)
    assert (wall.now, wall.words) == (view.buffer_packets, f"{view.buffer_packets} packets")
    assert [one.is_on for one in presses] == [view.sharing.in_step][: view.sharing.flows > 1]


def test_what_stays_the_same_over_a_second_is_the_same_part(seen):
    """Only so can the page leave it alone while it plays."""
    view, run = seen
    first, *rest = buffer_scenes(view, slow_second(run))
    kept = {one.key: one.markup for one in first.parts}
    moving = {"title", "queue", "fallen", "moment", "now"}
    for scene in rest[::10]:
        for one in scene.parts:
            if one.key not in moving and not one.key.startswith("train "):
                assert kept[one.key] == one.markup
