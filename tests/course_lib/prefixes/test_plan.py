"""What an address plan promises, and how it says that there is none."""

import pytest

from course_lib.prefixes.plan import PlanError, allocate, check_plan, free_space, length_for_hosts
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import PrefixError

BLOCK = parse_prefix("192.0.2.0/24")


def prefixes(places):
    return {place: parse_prefix(text) for place, text in places.items()}


def test_the_largest_part_is_placed_first_whatever_the_order_of_asking():
    wanted = {"Gull Rock": 30, "Reed Pier": 26, "Lantern Pier": 25}
    made = prefixes(
        {
            "Lantern Pier": "192.0.2.0/25",
            "Reed Pier": "192.0.2.128/26",
            "Gull Rock": "192.0.2.192/30",
        }
    )
    assert allocate(BLOCK, wanted) == made
    assert list(allocate(BLOCK, wanted)) == list(made)


def test_kept_places_stay_and_the_smallest_hole_is_used():
    keep = prefixes({"North Pier": "192.0.2.32/27"})
    made = allocate(BLOCK, {"Plover": 28}, keep)
    assert made == prefixes({"Plover": "192.0.2.0/28", "North Pier": "192.0.2.32/27"})
    assert keep == prefixes({"North Pier": "192.0.2.32/27"})


def test_a_full_block_and_an_empty_plan_are_both_plans():
    assert allocate(BLOCK, {"Curlew": 24}) == {"Curlew": BLOCK}
    assert allocate(BLOCK, {}) == {}


def test_ipv6_blocks_are_planned_the_same_way():
    made = allocate(parse_prefix("2001:db8::/32"), {"Sandpiper": 48, "Curlew": 64})
    assert made == prefixes({"Sandpiper": "2001:db8::/48", "Curlew": "2001:db8:1::/64"})


@pytest.mark.parametrize(
    ("wanted", "keep", "complaint"),
    [
        pytest.param(
            {"North Pier": 25, "Reed Pier": 25, "Plover": 30},
            {},
            "Plover needs a /30 .* still free: nothing",
            id="full",
        ),
        pytest.param(
            {"Lantern Pier": 23},
            {},
            "Lantern Pier needs a /23 .* still free: 192.0.2.0/24",
            id="larger-than-the-block",
        ),
        pytest.param(
            {"Lantern Pier": 25},
            {"Gull Rock": "192.0.2.64/32", "Plover": "192.0.2.200/32"},
            "Lantern Pier needs a /25 .* still free: 192.0.2.0/26, 192.0.2.65/32, ",
            id="room-enough-but-in-pieces",
        ),
        pytest.param({"Curlew": 33}, {}, "Curlew: .* 0 to 32, not 33", id="no-such-length"),
        pytest.param(
            {"Curlew": 26},
            {"Curlew": "192.0.2.0/25"},
            "Curlew asks for a /26 but keeps 192.0.2.0/25",
            id="asks-and-keeps",
        ),
        pytest.param(
            {},
            {"Gull Rock": "192.0.2.0/25", "Reed Pier": "192.0.2.64/26"},
            "Reed Pier: 192.0.2.64/26 overlaps 192.0.2.0/25 of Gull Rock",
            id="kept-places-overlap",
        ),
    ],
)
def test_a_plan_that_cannot_be_names_the_place(wanted, keep, complaint):
    with pytest.raises(PlanError, match=complaint):
        allocate(BLOCK, wanted, prefixes(keep))


@pytest.mark.parametrize(
    ("places", "complaint"),
    [
        pytest.param(
            {"Plover": "198.51.100.0/26"},
            "Plover: 198.51.100.0/26 lies outside the block 192.0.2.0/24",
            id="elsewhere",
        ),
        pytest.param({"Plover": "192.0.2.0/23"}, "Plover: .* outside", id="around-the-block"),
        pytest.param({"Plover": "2001:db8::/64"}, "Plover: .* outside", id="other-family"),
        pytest.param(
            {"Reed Pier": "192.0.2.0/26", "Plover": "192.0.2.0/26"}, "overlaps", id="the-same"
        ),
        pytest.param(
            {"A": "192.0.2.0/25", "B": "192.0.2.0/30", "C": "192.0.2.128/25"},
            "B: 192.0.2.0/30 overlaps 192.0.2.0/25 of A",
            id="inside",
        ),
    ],
)
def test_overlaps_and_strangers_are_found(places, complaint):
    with pytest.raises(PlanError, match=complaint):
        check_plan(BLOCK, prefixes(places))


def test_free_space_of_an_untouched_and_of_a_full_block():
    assert free_space(BLOCK, []) == [BLOCK]
    assert free_space(BLOCK, [BLOCK]) == []


@pytest.mark.parametrize(
    ("hosts", "length"), [(1, 30), (2, 30), (3, 29), (6, 29), (7, 28), (254, 24), (255, 23)]
)
def test_length_for_hosts(hosts, length):
    """Room for the hosts and for the two numbers that RFC 1812, section 4.2.2.11, reserves."""
    assert length_for_hosts(hosts) == length


@pytest.mark.parametrize("hosts", [0, -1, (1 << 32) - 1])
def test_impossible_numbers_of_hosts_are_refused(hosts):
    with pytest.raises(PlanError, match=f"not {hosts}"):
        length_for_hosts(hosts)


def test_plan_errors_are_prefix_errors():
    assert issubclass(PlanError, PrefixError)
