"""A board is as good as what it notices: routers with one small fault each."""

from functools import cache

import pytest

from course_lib.conformance import SCENARIOS, Outcome, conformance_board
from networks.broken_routers import BROKEN

BY_NAME = {each.name: each for each in SCENARIOS}


@cache
def needed(name):
    """Return the names of a clause and of all that it rests on."""
    rests_on = [one for need in BY_NAME[name].needs for one in needed(need)]
    return frozenset([name, *rests_on])


def test_there_are_many_faults_and_all_kinds_of_clauses_are_broken():
    assert len(BROKEN) >= 40
    assert {BY_NAME[fault.clause].group for fault in BROKEN.values()} == {
        each.group for each in SCENARIOS
    }


@pytest.mark.parametrize("name", BROKEN)
def test_a_fault_is_caught_by_the_clause_that_forbids_it(name):
    clause, make = BROKEN[name]
    tried = [each for each in SCENARIOS if each.name in needed(clause)]
    result = conformance_board(make, tried)[clause]
    assert result.outcome == Outcome.FAILED
    assert "raised" not in result.why or name == "fails on short frames"


SHARP = ["no checksum check", "drops one hop early", "carry forgotten", "answers answers",
         "errors from the far address", "tells about errors"]  # fmt: skip
ALSO = {  # rules that the same fault breaks as well
    "no checksum check": {"about a wrong checksum", "sum over the options"},
}


@pytest.mark.parametrize("name", SHARP)
def test_clauses_that_are_not_about_a_fault_do_not_fail_with_it(name):
    clause, make = BROKEN[name]
    assert set(conformance_board(make).names(Outcome.FAILED)) == {clause, *ALSO.get(name, ())}
