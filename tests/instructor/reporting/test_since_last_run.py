"""What changed since the grading before: who is new, whose points moved, and why."""

import pytest

from course_lib.exercises.registry import exercise
from instructor.grading.record.record import HistoryLine, PointsChange
from instructor.reporting.since_last_run import FIRST_RUN, since_last_run

UNIT, LATER = "01-frames-and-headers", "02-checksums"


def line(number, student, points, exercise="1.1", unit=UNIT):
    return HistoryLine(number, "", student, unit, exercise, "right", points, "")


def change(exercise, old, new, why="corrected"):
    return PointsChange("alder", UNIT, exercise, old, new, "", "", why)


@pytest.mark.parametrize(
    ("history", "now"),
    [([], 1), ([line(1, "alder", 2.0)], 1), ([line(1, "alder", 2.0)], 2)],
    ids=["nothing graded", "graded just now", "nothing to grade since"],
)
def test_after_the_first_grading_there_is_nothing_to_compare_with(history, now):
    assert since_last_run(history, [], now) == FIRST_RUN


def test_the_share_before_is_that_of_the_last_points_that_were_decided():
    """What was open is left out, and so is an exercise that the course has no longer."""
    history = [
        line(1, "alder", 3.0), line(2, "alder", 1.0), line(1, "birch", 2.0, "1.3"),
        line(1, "cedar", None), line(1, "dill", 9.0, "1.99"), line(3, "alder", 3.0),
    ]  # fmt: skip
    of = exercise("1.1").points + exercise("1.3").points
    assert since_last_run(history, [], 3).before == pytest.approx((1 + 2) / of)


def test_new_are_workbooks_of_which_nothing_was_graded_before():
    history = [
        line(1, "alder", 2.0), line(2, "alder", 2.0, "1.2"), line(2, "birch", 2.0),
        line(2, "birch", 1.0, "1.2"), line(2, "alder", 1.0, "2.1", LATER),
    ]  # fmt: skip
    assert since_last_run(history, [], 2).new == ((UNIT, 1), (LATER, 1))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [(1, 2, "1 rose"), (2, 1, "1 fell"), (None, 0, "1 decided"), (1, None, "1 open again")],
)
def test_points_move_in_four_ways(old, new, said):
    (moved,) = since_last_run([line(1, "alder", 1.0)], [change("1.1", old, new)], 2).moved
    assert (moved.exercise, moved.words) == ("1.1", [said])


def test_exercises_with_most_changes_come_first_and_reasons_are_counted():
    changes = [change("1.1", 0, 1, "late"), *[change("1.3", 0, 1)] * 2, change("1.3", 1, 0)]
    found = since_last_run([line(1, "alder", 1.0)], changes, 2)
    assert [(one.exercise, one.words) for one in found.moved] == [
        ("1.3", ["2 rose", "1 fell"]), ("1.1", ["1 rose"]),
    ]  # fmt: skip
    assert found.why == (("corrected", 3), ("late", 1))
