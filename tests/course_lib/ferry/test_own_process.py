"""A student's process speaks with the library's routers, and what it loses is counted."""

import pytest

from course_lib.ferry import run_beside_others
from course_lib.ferry.own_process import CHANGES_S
from instructor.units.unit_07.answers import new_process
from instructor.units.unit_07.misconceptions import processes


@pytest.fixture(scope="module")
def right():
    return run_beside_others(new_process)


def test_a_right_process_finds_its_way_after_each_change(right):
    assert right.problem == ""
    lasts_s = [loss.last_s for loss in right.own]
    assert lasts_s[0] < 60
    assert lasts_s[2] < 200  # 180 s until a route is given up


def test_what_is_shown_is_a_table_with_a_row_for_each_change(right):
    lines = repr(right).splitlines()
    assert [line.split("  ")[0].strip() for line in lines[1:]] == list(CHANGES_S.values())


def test_whoever_does_not_believe_a_cut_loses_more(right):
    wrong = run_beside_others(processes.CutIsNoLoss)
    assert wrong.own[0].lost > right.own[0].lost


def test_where_there_is_no_answer_yet_that_is_said():
    def handed_out(networks, costs):
        raise NotImplementedError

    assert "no answer yet" in repr(run_beside_others(handed_out))


def test_an_error_of_the_process_is_told():
    class Broken(processes.RightProcess):
        def tick(self, now_s):
            raise KeyError("a boat")

    assert "a boat" in repr(run_beside_others(Broken))
