"""Honest but odd hand-ins, more than two hundred: each keeps every point and raises no flag."""

import pytest

from classes.graded_by import graded_by_threads
from classes.graded_class import SEED, without_beliefs
from course_lib.exercises.verdict import Outcome
from hand_ins.odd_hand_ins import UNIT, names_of_odd_hand_ins, odd_hand_ins
from instructor.grading import examiner
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.sandbox import sandbox

pytestmark = pytest.mark.xdist_group("odd")  # one class is graded once

NAMES = names_of_odd_hand_ins()
# What a grader is told of these is true, and costs nothing.
NOTED = ("answers-in-new-cells", "checks-deleted", "answers-doubled")


@pytest.fixture(scope="module")
def graded(tmp_path_factory, need):
    need("bwrap", "apt-get install bubblewrap")
    folder = tmp_path_factory.mktemp("handed-in")
    for one in odd_hand_ins():
        path = folder / one.name / UNIT / f"{UNIT}.ipynb"
        path.parent.mkdir(parents=True)
        path.write_bytes(one.octets)
    with pytest.MonkeyPatch.context() as patch, sandbox.open_sandbox() as box:
        patch.setattr(examiner, "run_on", run_once(examiner.run_on))
        intake = find_hand_ins(folder, [UNIT])
        result = graded_by_threads(intake, SEED, box.launcher, cases=without_beliefs)
    assert result.not_graded == ()
    return {one.student: one for one in result.marked}


def run_once(run_on):
    """Run no answer twice with the same cases: what is odd around it often leaves it as it is."""
    runs = {}

    def run(item, answer, cases, launcher):
        asked = item.id, answer, tuple(map(id, cases))
        if asked not in runs:
            runs[asked] = run_on(item, answer, cases, launcher)
        return runs[asked]

    return run


def test_there_are_more_than_two_hundred():
    assert len(set(NAMES)) == len(NAMES) > 200


@pytest.mark.parametrize("name", NAMES)
def test_an_odd_hand_in_keeps_every_point_and_raises_no_flag(graded, name):
    marked = graded[name]
    lost = [a.verdict for a in marked.answers if a.verdict.outcome is not Outcome.RIGHT]
    assert [(one.exercise.id, one.outcome, one.note) for one in lost] == []
    assert marked.points == marked.of
    assert name.startswith(NOTED) or marked.notes == ()
