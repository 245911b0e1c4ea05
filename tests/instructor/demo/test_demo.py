"""The invented class is a fixed function of its seed, and what was planted is found."""

import pytest

from classes.graded_by import graded_by_threads
from classes.other_limits import little_time
from instructor.commands import register  # noqa: F401 - the commands can be imported
from instructor.demo.invented_class import NAMES, hand_in_class
from instructor.demo.run import count_named
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.sandbox.sandbox import open_sandbox
from instructor.release.make import make_release
from instructor.release.workbook_files import unit_names

UNITS = unit_names()[:2]


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    return make_release(tmp_path_factory.mktemp("demo"), UNITS, seed="demo 1").course


def contents(folder):
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*.ipynb")}


def test_the_same_seed_gives_the_same_class(course, tmp_path):
    one = hand_in_class(course, tmp_path / "a", UNITS, 7)
    same = hand_in_class(course, tmp_path / "b", UNITS, 7)
    other = hand_in_class(course, tmp_path / "c", UNITS, 8)
    assert (one, contents(tmp_path / "a")) == (same, contents(tmp_path / "b"))
    assert one != other


def test_thirty_students_hand_in_right_wrong_missing_and_broken_work(course, tmp_path):
    planted = hand_in_class(course, tmp_path, UNITS, 1)
    assert len(NAMES) == 30
    assert len(contents(tmp_path)) == 30 * len(UNITS)
    assert {"right", "misconception", "no answer", "error"} <= {one.what for one in planted}


def test_what_was_planted_is_named(course, tmp_path):
    planted = hand_in_class(course, tmp_path, UNITS, 2)
    intake = find_hand_ins(tmp_path, UNITS)
    with (
        open_sandbox() as box,
        little_time(),
    ):  # where there is none, as for a class that is trusted
        named, of, wrong = count_named(planted, graded_by_threads(intake, "a seed", box.launcher))
    assert of > 40
    assert named >= 0.95 * of
    assert wrong == 0
