"""Numbers of one's own for 3.6: another plan for each of 1,000 ids, and the same work for all.

The work is counted by a placing of piers written here, apart from the library's and the answers'.
"""

import functools

import pytest

from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import exercise
from course_lib.prefixes.plan import free_space, host_count
from course_lib.prefixes.prefix import Prefix, parse_prefix
from instructor.release.personal_codes import code_of
from instructor.units.items import item

IDS = [f"student-{number}" for number in range(1000)]


@functools.cache
def cases_of_all():
    """Return the own cases of everybody, by id."""
    return {name: own_cases("3.6", code_of("a seed", name)) for name in IDS}


def length_for(hosts):
    return next(length for length in range(30, 0, -1) if host_count(Prefix(0, length)) >= hosts)


def placed(block, kept, needs, order, choice):
    """Place piers in an order, each into the hole of its choice; return each step, or None.

    A step is the pier, its prefix, the hole's length, how many holes were as good, and the
    lengths of what is left of it.
    """
    holes, steps = free_space(parse_prefix(block), map(parse_prefix, kept)), []
    for pier, hosts in order(needs):
        length = length_for(hosts)
        fitting = sorted((hole for hole in holes if hole.length <= length), key=choice)
        if not fitting:
            return None
        hole = fitting[0]
        as_good = sum(other.length == hole.length for other in holes)
        holes.remove(hole)
        left = free_space(hole, [Prefix(hole.network, length)])
        holes += left
        lengths = tuple(sorted(one.length for one in left))
        steps.append((pier, f"{Prefix(hole.network, length)}", hole.length, as_good, lengths))
    return steps


def largest_first(needs):
    return sorted(needs, key=lambda need: length_for(need[1]))


def backwards(needs):
    return largest_first(needs[::-1])


def as_listed(needs):
    return needs


def smallest_hole(hole):
    return -hole.length, hole.network


def lowest_hole(hole):
    return hole.network


def largest_hole(hole):
    return hole.length, hole.network


def work(case):
    """Return all that makes one of the plans hard or not, and nothing that is drawn."""
    block, kept, needs = case.arguments
    free = free_space(parse_prefix(block), map(parse_prefix, kept))
    steps = placed(block, kept, needs, largest_first, smallest_hole)
    return (
        case.aspect,
        parse_prefix(block).length,
        tuple(sorted(parse_prefix(prefix).length for prefix in kept)),
        tuple(length_for(hosts) for _, hosts in needs),
        tuple(sorted(hole.length for hole in free)),
        None if steps is None else tuple(step[2:] for step in steps),
    )


@pytest.mark.parametrize("place", [2, 3])
def test_plans_are_the_same_work_for_everybody(place):
    assert len({work(cases[place]) for cases in cases_of_all().values()}) == 1


def test_everybody_has_a_pier_that_just_fits_and_one_with_a_host_too_many():
    for full, over, *_ in cases_of_all().values():
        (block, kept, [(_, fits)]), (other, none, [(_, too_many)]) = full.arguments, over.arguments
        assert (kept, none, block[-3:], other[-3:]) == ([], [], "/22", "/22")
        assert host_count(Prefix(0, length_for(fits))) == fits
        assert host_count(Prefix(0, length_for(too_many) + 1)) == too_many - 1
        assert 14 <= fits <= 254
        assert 15 <= too_many <= 255


@pytest.mark.parametrize(("order", "choice"), [
    (as_listed, smallest_hole), (backwards, smallest_hole), (largest_first, lowest_hole),
    (largest_first, largest_hole), (as_listed, lowest_hole),
])  # fmt: skip
def test_a_wrong_order_or_a_wrong_hole_is_never_right_by_luck(order, choice):
    for cases in cases_of_all().values():
        block, kept, needs = cases[2].arguments
        steps = placed(block, kept, needs, order, choice)
        places = {pier: prefix for pier, prefix, *_ in steps or ()}
        assert [(pier, places.get(pier)) for pier, _ in needs] != cases[2].expected.value[0]


def test_sizes_play_no_part_where_places_are_asked():
    """Whoever counts no reserved address, or one too many of them, has the same plan."""
    for cases in cases_of_all().values():
        for case in cases[2:]:
            for _, hosts in case.arguments[2]:
                assert {length_for(hosts + more) for more in (-2, -1, 0, 1, 2)} == {
                    length_for(hosts)
                }


def test_what_is_right_is_what_the_model_answer_gives():
    answer = item("3.6").answer
    for cases in cases_of_all().values():
        for case in cases:
            assert answer(*case.arguments) == case.expected.value


def test_another_id_has_other_numbers():
    for of in (slice(2, 3), slice(3, 4), slice(2)):  # both single piers together
        drawn = {repr([case.arguments for case in cases[of]]) for cases in cases_of_all().values()}
        assert len(drawn) == len(IDS)


def test_the_same_code_gives_the_same_numbers_for_ever():
    case = own_cases("3.6", "KQ7W-DX3M-2AD")[2]
    assert case.arguments == (
        "10.91.180.0/22",
        ["10.91.183.96/27", "10.91.182.0/26", "10.91.183.64/28"],
        [("Beacon", 22), ("Heron", 120), ("North", 11), ("Anchor", 89), ("Harbour", 51)],
    )
    assert own_cases("3.6", "KQ7W-DX3M-2AD") == own_cases("3.6", "KQ7W-DX3M-2AD")


def test_without_a_code_there_are_numbers_for_everybody():
    assert own_cases("3.6") == own_cases("3.6", "")
    assert work(own_cases("3.6")[2]) == work(cases_of_all()[IDS[0]][2])


def test_each_case_belongs_to_an_aspect_and_the_contract_s_bounds_are_kept():
    names = {aspect.name for aspect in exercise("3.6").aspects}
    for cases in cases_of_all().values():
        assert {case.aspect for case in cases} == names
        for block, kept, needs in (case.arguments for case in cases):
            assert len({pier for pier, _ in needs}) == len(needs) <= 10
            assert len(kept) <= 10
            assert all(1 <= hosts <= 1000 for _, hosts in needs)
            assert all(parse_prefix(block).covers(parse_prefix(one)) for one in kept)


def test_other_exercises_have_no_own_numbers():
    assert own_cases("3.5", "KQ7W-DX3M-2AD") == ()
