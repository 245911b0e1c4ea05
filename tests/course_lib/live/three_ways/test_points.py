"""How far the ways lie apart, and when a real run may be believed."""

import pytest

from course_lib.experiments.intervals import Band
from course_lib.live.three_ways.points import Answers, Curve, ThreeWays, steepness

MODEL = Band(10, 80.0, 79.0, 81.0, 5)


def ways(**told):
    usual = {"note": "", "kernel_drops": 0, "load": 0.5, "late_s": 0.001}
    return ThreeWays("why?", "x", (Curve("reno", "use (%)", ()),), **usual | told)


def test_a_real_run_is_held_against_what_theory_says_for_what_it_met():
    asked = Answers(10, 100.0, MODEL, Band(10, 90.0, 89.0, 91.0, 6))
    assert asked.real_off == pytest.approx(-0.1)
    assert asked._replace(theory_there=75.0).real_off == pytest.approx(0.2)
    assert asked._replace(theory_there=75.0).simulated_off == pytest.approx(-0.2)
    assert asked._replace(real=None).real_off is None


def test_a_run_counts_unless_there_is_a_reason_why_not():
    assert ways().is_valid
    assert not ways(note="invalid, machine too busy").is_valid


def test_late_programs_are_a_reason_for_caution():
    assert ways().caution == ""
    assert "up to 20 ms late" in ways(late_s=0.02).caution
    assert ways(late_s=0.02, note="invalid").caution == ""


def test_a_curve_is_found_by_its_names_or_missed_in_words():
    assert ways().curve("reno", "use").quantity == "use (%)"
    with pytest.raises(KeyError, match="no curve of cubic"):
        ways().curve("cubic", "use")


def test_steepness_is_the_power_of_a_law():
    assert steepness([(x, 3 * x**0.7) for x in (1, 5, 80)]) == pytest.approx(0.7)
