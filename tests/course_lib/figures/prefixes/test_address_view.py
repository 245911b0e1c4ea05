"""What is seen is one prefix, and each bit more draws everything in it twice as wide."""

import pytest

from course_lib.figures.prefixes.address_view import LEFT, RIGHT, View
from course_lib.figures.prefixes.nested_boxes import boxes, chain, short_rows, ways
from course_lib.prefixes.prefix import Prefix, prefix_around
from course_lib.prefixes.text import parse_address

ADDRESS = parse_address("198.51.100.77")
EVERY_LENGTH = pytest.mark.parametrize("length", range(33))


@EVERY_LENGTH
def test_the_line_runs_from_the_first_address_to_behind_the_last(length):
    view = View(ADDRESS, length)
    assert view.at(view.prefix.first) == LEFT
    assert view.at(view.prefix.last + 1) == RIGHT
    assert LEFT <= view.middle(ADDRESS) <= RIGHT
    assert view.span(view.prefix) == (LEFT, RIGHT - LEFT)


@pytest.mark.parametrize("length", range(32))
def test_one_bit_more_draws_everything_twice_as_wide_and_keeps_the_boxes(length):
    """So that the page can move each box to where it goes, with no jump."""
    before, after = View(ADDRESS, length), View(ADDRESS, length + 1)
    inside = prefix_around(ADDRESS, min(32, length + 3))
    assert after.span(inside)[1] == pytest.approx(2 * before.span(inside)[1])
    known = {part.key for part in boxes(before)}
    fresh = [part.key for part in boxes(after) if part.key not in known]
    lowest = f"/{min(32, length + 5)}"
    assert [key for key in fresh if not key.endswith(lowest)] == []


@EVERY_LENGTH
def test_the_boxes_of_an_address_are_nested(length):
    nested = chain(View(ADDRESS, length))
    assert View(ADDRESS, length).prefix in nested
    assert all(one.contains(ADDRESS) for one in nested)
    assert [one.length for one in nested] == list(range(nested[0].length, nested[-1].length + 1))


@EVERY_LENGTH
def test_boxes_outside_of_what_is_seen_lead_nowhere(length):
    view = View(ADDRESS, length)
    seen = [one.value for one in ways(view)]
    assert len(set(seen)) == len(seen)
    assert str(view.prefix) not in seen
    deeper = min(4, 32 - length)
    assert len(seen) == (2 ** (deeper + 1) - 2) + (length > 0)


def test_where_there_is_no_room_for_a_prefix_its_last_octet_stands_for_it():
    assert short_rows(View(ADDRESS, 24))[0] == (
        "Boxes of /27: .0, .32, .64, .96, .128, .160, .192, .224."
    )
    assert short_rows(View(ADDRESS, 4))[0].startswith("Boxes of /7: 192, 194, ")


def test_what_is_far_away_is_kept_near():  # numbers of a picture stay small
    view = View(ADDRESS, 31)
    assert view.span(Prefix(0xCB007100, 24)) == (2 * RIGHT - LEFT, 0)
    assert view.span(Prefix(0, 1)) == (2 * LEFT - RIGHT, 0)


def test_a_prefix_that_is_far_larger_than_what_is_seen_is_cut_off():
    view = View(ADDRESS, 32)
    left, width = view.span(Prefix(0, 0))
    assert (left, width) == (2 * LEFT - RIGHT, 3 * (RIGHT - LEFT))
