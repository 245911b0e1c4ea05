"""One question asked three ways, drawn: how far off the kernels are, and what is missing."""

import pytest

from course_lib.experiments.intervals import Band
from course_lib.figures.drawing.plots import shown
from course_lib.figures.live.three_ways_curves import three_ways_curves
from course_lib.live.three_ways.points import Answers, Curve, ThreeWays
from pages.words_in_figures import SIZE, boxes, covered


def answers(note="", late_s=0.001, off=(-0.08, -0.04, 0.01, 0.0), there=None):
    curves = []
    for control in ("reno", "cubic"):
        for quantity, scale in (("use of the line (%)", 85), ("mean round trip (ms)", 30)):
            rows = []
            for place, (buffer, share) in enumerate(zip((10, 20, 50, 100), off, strict=True)):
                law = scale * (1 + place / 20)
                model = Band(buffer, law * 0.98, law * 0.97, law * 0.99, 5)
                mean = law * (1 + share)
                real = None if note else Band(buffer, mean, mean * 0.98, mean * 1.02, 6)
                its = None if there is None or note else there * law
                rows.append(Answers(buffer, law, model, real, its))
            curves.append(Curve(control, quantity, tuple(rows)))
    told = {"note": note, "kernel_drops": 3 if note else 0, "load": 1.25, "late_s": late_s}
    return ThreeWays("What does a buffer buy?", "buffer (packets)", tuple(curves), **told)


def test_the_picture_says_by_how_much_each_real_run_is_off():
    drawn = shown(three_ways_curves(answers()))
    for share in ("−8.0 %", "−4.0 %", "+1.0 %", "±0.0 %"):
        assert drawn.svg.count(f">{share}<") == 4
        assert drawn.text.count(share) >= 4
    assert "Busy machine" not in drawn.text


def test_a_run_that_met_another_round_trip_is_held_against_theory_for_that_one():
    drawn = shown(three_ways_curves(answers(there=0.8)))
    assert ">theory for their round trip<" in drawn.svg
    assert "theory for their round trip" not in shown(three_ways_curves(answers())).svg
    assert drawn.svg.count(">+15.0 %<") == 4  # -8 % of theory, held against 80 % of it
    assert " for theory" in drawn.text
    assert f"{0.8 * 85:11.4g}" in drawn.text


def test_where_no_real_run_counts_the_reason_stands_in_its_place():
    drawn = shown(three_ways_curves(answers("invalid, machine too busy: 3 frames")))
    for words in (drawn.svg, drawn.text, drawn.alternative_text):
        assert "invalid, machine too busy: 3 frames" in words
    assert "−8.0 %" not in drawn.svg


def test_a_busy_machine_is_said_beside_the_results():
    drawn = shown(three_ways_curves(answers(late_s=0.0124)))
    for words in (drawn.svg, drawn.text, drawn.alternative_text):
        assert "up to 12 ms late" in words


@pytest.mark.parametrize("given", [
    answers(), answers(late_s=0.3, there=0.5), answers(there=0.95),
    answers("invalid, machine too busy: " + "frames " * 40),
])  # fmt: skip
@pytest.mark.parametrize("is_power_law", [False, True])
def test_no_words_leave_the_picture_or_cover_each_other(page, given, is_power_law):
    found = boxes(page, shown(three_ways_curves(given, is_power_law=is_power_law)))
    width, height = page.evaluate(SIZE)
    assert found
    assert all(one["x"] >= 0 and one["right"] <= width for one in found)
    assert all(one["y"] >= 0 and one["bottom"] <= height for one in found)
    assert not covered(found)
