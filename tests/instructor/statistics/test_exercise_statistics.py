"""Statistics of a class: what was planted comes out, and small classes are not told more."""

import numpy as np
import pytest

from classes.simulated_class import Planted, simulated_class
from course_lib.exercises.registry import all_exercises
from instructor.statistics.discrimination import item_rest
from instructor.statistics.exercise_statistics import Judgement, class_statistics
from instructor.statistics.reliability import reliability
from instructor.statistics.statistics_words import verdict_of
from instructor.statistics.unnamed_answers import unnamed_groups

UNITS = ("01-frames-and-headers", "02-checksums")
EXERCISES = [one.id for one in all_exercises() if one.unit in UNITS and one.points]
BROKEN, BLIND, HARD, EASY = "1.3", "2.2", "1.5", "1.1"
PLANTED = {name: Planted() for name in EXERCISES} | {
    BROKEN: Planted(apart=-1.5),
    BLIND: Planted(apart=0.0),
    HARD: Planted(hard=1.5, belief="length-counts-data-only", shared=0.5, alike=0.25),
    EASY: Planted(hard=-2.0),
}


@pytest.fixture(scope="module")
def result():
    return simulated_class(120, PLANTED, seed=4)


@pytest.fixture(scope="module")
def found(result):
    return class_statistics(result)


def test_planted_exercises_are_found_and_no_other_is_accused():
    """Four classes of 120. In so many, chance gives half of what is blind some look of an eye."""
    blind = []
    for seed in range(4):
        found = class_statistics(simulated_class(120, PLANTED, seed=seed))
        judged = {one.exercise.id: one.judgement for one in found.exercises}
        assert judged.pop(BROKEN) is Judgement.LOOKS_BROKEN
        assert f"{BROKEN} (looks broken)" in verdict_of(found)
        blind.append(judged.pop(BLIND))
        assert set(judged.values()) <= {Judgement.TELLS_APART, Judgement.TOO_FEW}
        assert list(judged.values()).count(Judgement.TELLS_APART) >= len(judged) - 3
    assert set(blind) <= {Judgement.TELLS_NOTHING, Judgement.TOO_FEW}
    assert Judgement.TELLS_NOTHING in blind


def test_planted_difficulties_come_in_their_order(found):
    shares = {one.exercise.id: one.difficulty.share for one in found.exercises}
    assert min(shares, key=shares.get) == HARD
    assert max(shares, key=shares.get) == EASY


def test_answers_that_go_wrong_alike_are_one_group_with_an_example_and_nobodys_name(result):
    alike = sum(one.verdict.seen is not None and one.verdict.seen.value == "doubled"
                for hand_in in result.marked for one in hand_in.answers)  # fmt: skip
    (group,) = unnamed_groups(result)
    assert (group.exercise.id, group.students) == (HARD, alike)
    assert group.example == "def answer(data):\n    return data * 2"
    assert alike >= 10


@pytest.mark.parametrize("size", [4, 8])
def test_a_small_class_is_told_less(size):
    few = class_statistics(simulated_class(size, PLANTED, seed=4))
    judged = [one.judgement for one in few.exercises]
    if size < 5:
        assert set(judged) == {Judgement.TOO_FEW}
        assert all(one.difficulty is None for one in few.exercises)
        assert all(one.reliability is None and one.mean is None for one in few.units)
        assert verdict_of(few).startswith("Nothing can be said yet")
    else:
        assert 3 <= judged.count(Judgement.TOO_FEW) < len(judged)
        assert "Too few students to say anything about: 4" in verdict_of(few)


def test_an_empty_class_has_no_statistics():
    empty = class_statistics(simulated_class(0, PLANTED))
    assert (empty.students, empty.exercises, empty.units, empty.course) == (0, (), (), None)


def test_what_is_missing_is_no_zero():
    """Half of the class has not handed in one of two units: difficulty and alpha hardly move."""
    whole = class_statistics(simulated_class(400, PLANTED, seed=9))
    half = class_statistics(simulated_class(400, PLANTED, seed=9, missing=0.5))
    for one, other in zip(whole.exercises, half.exercises, strict=True):
        assert other.students < 250
        assert other.difficulty.share == pytest.approx(one.difficulty.share, abs=0.12)
        assert other.in_course.r == pytest.approx(one.in_course.r, abs=0.25)


def test_intervals_hold_the_true_value_95_times_in_100():
    """400 classes of 30: ten normal items around one ability, so that both are known."""
    rng = np.random.default_rng(1965)
    noise, items, runs = 1.5, 10, 400
    alpha = items / (items + noise**2)
    rest = (items - 1) / np.sqrt((1 + noise**2) * ((items - 1) ** 2 + (items - 1) * noise**2))
    held = np.zeros(2)
    for _ in range(runs):
        points = rng.normal(size=(30, 1)) + noise * rng.normal(size=(30, items))
        one, other = reliability(points), item_rest(points, 0)
        held += (one.low <= alpha <= one.high, other.low <= rest <= other.high)
    assert (held / runs).tolist() == pytest.approx([0.95, 0.95], abs=0.03)
