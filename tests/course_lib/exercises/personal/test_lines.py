"""Numbers of one's own for 8.1: another line for each of 1,000 ids, and the same work for all.

Who is there when somebody comes is counted here from the expected waits, packet by packet.
"""

import functools

import pytest

from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import exercise
from instructor.release.personal_codes import code_of
from instructor.units.items import item

IDS = [f"student-{number}" for number in range(1000)]


@functools.cache
def cases_of_all():
    """Return the own cases of everybody."""
    return [own_cases("8.1", code_of("a seed", name)) for name in IDS]


def stays(case):
    """Return who is inside from when to when, as the expected waits say; None if dropped."""
    came, takes, _ = case.arguments
    return [
        None if wait is None else (at, at + wait, at + wait + each)
        for at, each, wait in zip(came, takes, case.expected.value, strict=True)
    ]


def work(case):
    """Return all that makes one of the lines hard or not, and nothing that is drawn."""
    came, takes, room = case.arguments
    kept = stays(case)
    there = [
        [other for other, stay in enumerate(kept[:place]) if stay and stay[2] > at]
        for place, at in enumerate(came)
    ]
    same_moment = [came.count(at) for at in came]
    meets_an_end = [any(stay and stay[2] == at for stay in kept) for at in came]
    dropped = [stay is None for stay in kept]
    return repr((case.aspect, room, there, same_moment, meets_an_end, dropped, len({*takes})))


@pytest.mark.parametrize("place", range(4))
def test_lines_are_the_same_work_for_everybody(place):
    assert len({work(cases[place]) for cases in cases_of_all()}) == 1


def test_waits_are_those_of_one_line_without_a_gap():
    """Nobody is sent before the one ahead has left, and whoever need not wait does not."""
    for case in (case for cases in cases_of_all() for case in cases):
        free = 0
        for came, begins, ends in filter(None, stays(case)):
            assert begins == max(came, free)
            free = ends


def test_only_where_no_room_is_asked_for_somebody_is_dropped_and_the_room_is_full_then():
    for case in (case for cases in cases_of_all() for case in cases):
        came, _, room = case.arguments
        kept = stays(case)
        assert (None in kept) == (case.aspect == "no room")
        for place, at in enumerate(came):
            there = sum(stay is not None and stay[2] > at for stay in kept[:place])
            assert (there == room) == (kept[place] is None)


def test_every_call_keeps_the_contract_and_every_aspect_has_one():
    for cases in cases_of_all():
        assert {case.aspect for case in cases} == {one.name for one in exercise("8.1").aspects}
        for came, takes, room in (case.arguments for case in cases):
            assert came == sorted(came)
            assert len(came) == len(takes)
            assert min(takes) >= 1
            assert room >= 1
            assert max(came) < 150  # small enough to be followed with a pencil


def test_what_is_right_is_what_the_model_answer_gives():
    answer = item("8.1").answer
    assert all(
        answer(*case.arguments) == case.expected.value for cases in cases_of_all() for case in cases
    )


def test_another_id_has_other_numbers():
    assert len({repr([case.arguments for case in cases]) for cases in cases_of_all()}) == len(IDS)
    for place, least in ((0, 999), (1, 900), (2, 350), (3, 999)):
        assert len({repr(cases[place].arguments) for cases in cases_of_all()}) >= least
