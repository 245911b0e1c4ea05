"""Assignments are split, joined and moved without ever overlapping, and each refusal says why."""

import random
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.figures.prefixes.assignments import (
    ChangeError,
    checked,
    holder_of,
    joined,
    moved,
    split_up,
)
from course_lib.prefixes.prefix import Prefix, aggregate, parse_prefix
from course_lib.prefixes.text import parse_address

BLOCK = 0xC0000200  # 192.0.2.0


def plan(*pairs):
    return checked({parse_prefix(prefix): holder for prefix, holder in pairs})


def written(assigned):
    return [(str(prefix), holder) for prefix, holder in assigned.items()]


REED, GULL = ("192.0.2.0/27", "Reed"), ("192.0.2.32/27", "Gull")


def test_assignments_that_overlap_are_refused():
    with pytest.raises(ChangeError, match=re.escape("192.0.2.32/27 of Gull lies in 192.0.2.0/26")):
        plan(("192.0.2.0/26", "Reed"), GULL)


@pytest.mark.parametrize(
    ("address", "prefix"),
    [("192.0.2.31", "192.0.2.0/27"), ("192.0.2.32", "192.0.2.32/27"), ("192.0.2.64", None)],
)
def test_an_address_belongs_to_the_prefix_that_holds_it(address, prefix):
    found = holder_of(plan(REED, GULL), parse_address(address))
    assert (found and str(found)) == prefix


def test_halves_stay_with_the_holder_and_join_again():
    before = plan(REED, GULL)
    halves = split_up(before, parse_prefix("192.0.2.32/27"))
    assert written(halves) == [REED, ("192.0.2.32/28", "Gull"), ("192.0.2.48/28", "Gull")]
    for half in ("192.0.2.32/28", "192.0.2.48/28"):
        assert joined(halves, parse_prefix(half)) == (before, parse_prefix("192.0.2.32/27"))


@pytest.mark.parametrize(
    ("assigned", "chosen", "why"),
    [
        ([REED, GULL], "192.0.2.0/27", "joins only with 192.0.2.32/27, and that belongs to Gull"),
        ([REED], "192.0.2.0/27", "and that is not assigned as a whole"),
        ([REED, ("192.0.2.32/28", "Reed"), ("192.0.2.48/28", "Reed")], "192.0.2.0/27",
         "and that is not in one piece"),
        ([("192.0.2.32/27", "Reed"), ("192.0.2.64/27", "Reed")], "192.0.2.32/27",
         "joins only with 192.0.2.0/27"),
        ([("0.0.0.0/0", "Reed")], "0.0.0.0/0", "is all there is"),
    ],
)  # fmt: skip
def test_what_is_not_the_other_half_of_the_same_holder_is_not_joined(assigned, chosen, why):
    with pytest.raises(ChangeError, match=re.escape(why)):
        joined(plan(*assigned), parse_prefix(chosen))


def test_one_address_has_no_halves():
    with pytest.raises(ChangeError, match="has no halves"):
        split_up(plan(("192.0.2.1/32", "Reed")), parse_prefix("192.0.2.1/32"))


@pytest.mark.parametrize(("to", "found"), [(4, 4), (1, 2), (0, 0), (7, 7)])
def test_a_move_goes_to_the_place_or_past_what_is_taken(to, found):
    first = BLOCK >> 5
    assigned, new = moved(plan(REED, GULL), parse_prefix("192.0.2.0/27"), first + to,
                          range(first, first + 8))  # fmt: skip
    assert new == Prefix((first + found) << 5, 27)
    assert assigned[new] == "Reed"


def test_a_move_back_passes_what_is_taken_the_other_way():
    first = BLOCK >> 5
    places = range(first, first + 8)
    there = plan(REED, GULL, ("192.0.2.64/27", "Lantern"))
    with pytest.raises(ChangeError, match=re.escape("no free place for 192.0.2.64/27")):
        moved(there, parse_prefix("192.0.2.64/27"), first + 1, places)


@given(st.integers(0, 2**32 - 1))
def test_after_any_changes_nothing_overlaps_and_splitting_changes_no_announcement(seed):
    rng = random.Random(seed)
    assigned = plan(REED, GULL, ("192.0.2.128/26", "Lantern"))
    for _ in range(12):
        chosen, what = rng.choice(list(assigned)), rng.choice(["split", "join", "move"])
        before = aggregate(assigned)
        size = sum(one.size for one in assigned)
        rest = 32 - chosen.length
        places = range(BLOCK >> rest, (BLOCK + 256) >> rest)
        try:
            if what == "split":
                assigned = split_up(assigned, chosen)
            elif what == "join":
                assigned, _ = joined(assigned, chosen)
            else:
                assigned, _ = moved(assigned, chosen, rng.choice(places), places)
        except ChangeError:
            continue
        assert assigned == checked(assigned)
        assert sum(one.size for one in assigned) == size
        assert what == "move" or aggregate(assigned) == before
