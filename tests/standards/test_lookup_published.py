"""Longest prefix match: the examples that the standards print, for every kind of table."""

import numpy as np
import pytest

from course_lib.lookup import NO_ROUTE, BinaryTrie, DirectIndex, LinearList
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address

TABLES = pytest.mark.parametrize("new_table", [LinearList, BinaryTrie, DirectIndex])

# RFC 4632, section 6.2: the routes that a backbone hears from the providers PA and PB.
# Next hop 0 is PA, 1 is PB. C4, 10.24.12.0/22, is announced by both; PB's is taken here.
PA, PB = 0, 1
BACKBONE = {
    "10.24.12.0/22": PB,
    "10.32.0.0/20": PA,
    "10.24.0.0/13": PA,
    "10.24.32.0/23": PB,
    "10.32.0.0/13": PB,
}

# RFC 1812, section 5.2.4.3: the routes of the example for rules (1) and (2).
DESTINATION = parse_address("10.144.2.5")
NESTED = ["0.0.0.0/0", "10.0.0.0/8", "10.144.0.0/16", "10.144.2.0/24"]


def filled(new_table, routes):
    table = new_table()
    for text, next_hop in routes.items():
        table.insert(parse_prefix(text), next_hop)
    return table


@TABLES
@pytest.mark.parametrize(
    ("address", "prefix"),
    [
        ("10.24.12.1", "10.24.12.0/22"),
        ("10.24.15.255", "10.24.12.0/22"),
        ("10.24.16.0", "10.24.0.0/13"),
        ("10.24.33.9", "10.24.32.0/23"),
        ("10.24.34.1", "10.24.0.0/13"),
        ("10.31.255.255", "10.24.0.0/13"),
        ("10.32.15.255", "10.32.0.0/20"),
        ("10.32.16.0", "10.32.0.0/13"),
    ],
)
def test_backbone_table(new_table, address, prefix):
    """RFC 4632, section 6.2. Each route has its own number here, to tell which one answered."""
    numbers = {text: number for number, text in enumerate(BACKBONE)}
    assert filled(new_table, numbers).lookup(parse_address(address)) == numbers[prefix]


@TABLES
def test_backbone_table_has_no_default(new_table):
    """RFC 4632, section 6.2."""
    table = filled(new_table, BACKBONE)
    assert table.lookup(parse_address("10.40.0.0")) is None
    assert table.lookup_many(np.array([parse_address("10.40.0.0")])).tolist() == [NO_ROUTE]


@TABLES
def test_traffic_moves_to_the_other_provider_when_a_route_is_withdrawn(new_table):
    """RFC 4632, section 6.2: PA withdraws 10.32.0.0/20, and its traffic goes to PB's /13."""
    table = filled(new_table, BACKBONE)
    assert table.lookup(parse_address("10.32.1.1")) == PA
    table.withdraw(parse_prefix("10.32.0.0/20"))
    assert table.lookup(parse_address("10.32.1.1")) == PB


def test_basic_match_drops_what_does_not_hold_the_destination():
    """RFC 1812, section 5.2.4.3, rule (1)."""
    routes = [*NESTED, "128.12.0.0/16"]
    assert [text for text in routes if parse_prefix(text).contains(DESTINATION)] == NESTED


@TABLES
def test_longest_match_leaves_the_most_specific_route(new_table):
    """RFC 1812, section 5.2.4.3, rule (2); then the next longer one, as routes go away."""
    table = filled(new_table, {"128.12.0.0/16": 9} | {t: i for i, t in enumerate(NESTED)})
    for remaining in range(len(NESTED), 0, -1):
        assert table.lookup(DESTINATION) == remaining - 1
        table.withdraw(parse_prefix(NESTED[remaining - 1]))
    assert table.lookup(DESTINATION) is None


@TABLES
def test_only_the_matching_one_of_three_neighbours_survives(new_table):
    """RFC 1812, section 5.2.4.3, rule (1)."""
    routes = {"10.144.1.0/24": 1, "10.144.2.0/24": 2, "10.144.3.0/24": 3}
    assert filled(new_table, routes).lookup(DESTINATION) == 2


@TABLES
def test_a_discard_route_for_the_aggregate_stops_the_loop(new_table):
    """RFC 4632, section 5.1, rule 2, with the numbers of section 5.2.

    A site announces 192.168.64.0/19 and has lost 192.168.65.0/24, a part of it. A packet for
    that part must be discarded and not follow the default route back to where it came from.
    """
    parent, discard, lost = 0, 1, 2
    routes = {"0.0.0.0/0": parent, "192.168.64.0/19": discard, "192.168.65.0/24": lost}
    table = filled(new_table, routes)
    table.withdraw(parse_prefix("192.168.65.0/24"))
    assert table.lookup(parse_address("192.168.65.1")) == discard
