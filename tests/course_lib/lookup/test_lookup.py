"""What every lookup table promises."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from course_lib.lookup import NO_ROUTE, BinaryTrie, DirectIndex, LinearList
from course_lib.lookup.protocol import MAX_NEXT_HOP
from course_lib.prefixes.prefix import Prefix, parse_prefix, prefix_around
from course_lib.prefixes.text import parse_address

TABLES = pytest.mark.parametrize("new_table", [LinearList, BinaryTrie, DirectIndex])
ALL_ADDRESSES = (1 << 32) - 1

# Addresses that crowd together, so that prefixes of them nest, touch and replace each other.
CROWDS = {
    32: [parse_address("192.0.2.0"), 0, ALL_ADDRESSES],
    128: [parse_address("2001:db8::"), 0, (1 << 128) - 1],
}


def crowded_addresses(bits):
    return st.builds(
        lambda base, low: base ^ low, st.sampled_from(CROWDS[bits]), st.integers(0, 1023)
    )


@st.composite
def changes(draw, bits):
    """Next hops to insert, or None to withdraw, for few enough prefixes to come back to them.

    The lengths crowd around the end of the third octet, where the direct-index table has its seam.
    """
    seam = [bits - 9, bits - 8, bits - 7]
    lengths = st.sampled_from(
        [0, *range(8, bits), *2 * list(range(bits - 10, bits + 1)), *4 * seam]
    )
    prefixes = st.builds(prefix_around, crowded_addresses(bits), lengths, st.just(bits))
    pool = draw(st.lists(prefixes, min_size=4, max_size=12))
    one_change = st.tuples(st.sampled_from(pool), st.none() | st.integers(0, 9) | st.integers(0, 9))
    return draw(st.lists(one_change, min_size=10, max_size=40))


def scan(routes, address, bits):
    """Longest prefix match by its definition, in bits written out as text."""
    best_length, best_hop = -1, None
    text = format(address, f"0{bits}b")
    for prefix, next_hop in routes.items():
        fixed = format(prefix.network, f"0{bits}b")[: prefix.length]
        if text.startswith(fixed) and prefix.length > best_length:
            best_length, best_hop = prefix.length, next_hop
    return best_hop


def edges(prefixes, bits):
    """The first and last address of each prefix and the neighbours outside."""
    near = [(p.first - 1, p.first, p.last, p.last + 1) for p in prefixes]
    return sorted({address for four in near for address in four if 0 <= address < 1 << bits})


def change(table, routes, prefix, next_hop):
    """Make one change in a table that holds `routes`; withdraw only what is there."""
    if next_hop is not None:
        table.insert(prefix, next_hop)
    elif prefix in routes:
        table.withdraw(prefix)
    else:
        with pytest.raises(KeyError, match="no route"):
            table.withdraw(prefix)


def check_agreement(tables, routes, addresses, bits):
    expected = [scan(routes, address, bits) for address in addresses]
    as_array = [NO_ROUTE if hop is None else hop for hop in expected]
    for table in tables:
        assert [table.lookup(address) for address in addresses] == expected
        assert table.lookup_many(addresses).tolist() == as_array
        assert len(table) == len(routes)


def follow(script, tables, more_addresses, bits):
    """Make all changes of the script in all tables, then compare them."""
    routes = {}
    for prefix, next_hop in script:
        for table in tables:
            change(table, routes, prefix, next_hop)
        routes = {p: h for p, h in (routes | {prefix: next_hop}).items() if h is not None}
    addresses = edges([prefix for prefix, _ in script], bits) + more_addresses
    check_agreement(tables, routes, addresses, bits)


# A failing script is not made shorter: that would build hundreds of tables of many megabytes.
WITHOUT_SHRINKING = settings(deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])


@WITHOUT_SHRINKING
@given(changes(32), st.lists(crowded_addresses(32), max_size=20))
def test_all_tables_agree_with_a_scan_after_any_changes(script, addresses):
    follow(script, [LinearList(), BinaryTrie(), DirectIndex()], addresses, 32)


@WITHOUT_SHRINKING
@given(changes(128), st.lists(crowded_addresses(128), max_size=20))
def test_tables_for_ipv6_agree_with_a_scan_after_any_changes(script, addresses):
    follow(script, [LinearList(128), BinaryTrie(128)], addresses, 128)


def test_all_tables_agree_in_every_order_of_nested_routes():
    """Five nested routes come in every order, and go in every order."""
    texts = ["192.0.0.0/16", "192.0.2.0/23", "192.0.2.0/24", "192.0.2.128/25", "192.0.2.255/32"]
    nested = {parse_prefix(text): number for number, text in enumerate(texts)}
    tables, addresses = [LinearList(), BinaryTrie(), DirectIndex()], edges(nested, 32)
    orders = list(permutations(nested))
    for coming, going in zip(orders, reversed(orders), strict=True):
        routes = {}
        for prefix in coming + going:
            next_hop = None if prefix in routes else nested[prefix]
            for table in tables:
                change(table, routes, prefix, next_hop)
            routes = {p: nested[p] for p in routes.keys() ^ {prefix}}
            check_agreement(tables, routes, addresses, 32)


@TABLES
def test_an_empty_table_has_no_route_for_anything(new_table):
    table = new_table()
    assert len(table) == 0
    assert table.lookup(0) is None
    assert table.lookup_many([]).tolist() == []
    assert table.lookup_many([0, ALL_ADDRESSES]).tolist() == [NO_ROUTE, NO_ROUTE]


@TABLES
@pytest.mark.parametrize("next_hop", [0, MAX_NEXT_HOP])
def test_default_and_host_routes_hold_any_next_hop(new_table, next_hop):
    table = new_table()
    table.insert(parse_prefix("0.0.0.0/0"), next_hop)
    table.insert(parse_prefix("255.255.255.255/32"), 5)
    assert table.lookup_many([0, ALL_ADDRESSES - 1, ALL_ADDRESSES]).tolist() == [
        next_hop,
        next_hop,
        5,
    ]


@TABLES
def test_inserting_again_replaces_the_next_hop(new_table):
    table, prefix = new_table(), parse_prefix("198.51.100.0/26")
    table.insert(prefix, 1)
    table.insert(prefix, 2)
    assert table.lookup(prefix.first) == 2
    table.withdraw(prefix)
    assert (table.lookup(prefix.first), len(table)) == (None, 0)


def test_a_trie_keeps_no_branch_that_leads_nowhere():
    """Looks inside, for a dead branch costs memory and time but gives no wrong answer."""
    table, kept = BinaryTrie(), parse_prefix("192.0.2.0/24")
    table.insert(kept, 1)
    for text in ("192.0.2.64/26", "192.0.0.0/16", "10.0.0.0/8"):
        table.insert(parse_prefix(text), 2)
    for text in ("10.0.0.0/8", "192.0.2.64/26", "192.0.0.0/16"):
        table.withdraw(parse_prefix(text))
    assert count_nodes(table._root) == 1 + kept.length


def count_nodes(node):
    return 0 if node is None else 1 + count_nodes(node.zero) + count_nodes(node.one)


REFUSED = [
    pytest.param(lambda t: t.insert(Prefix(0, 8), -1), ValueError, "not -1", id="hop-too-small"),
    pytest.param(
        lambda t: t.insert(Prefix(0, 8), MAX_NEXT_HOP + 1),
        ValueError,
        "next hop",
        id="hop-too-large",
    ),
    pytest.param(
        lambda t: t.insert(parse_prefix("2001:db8::/32"), 1), ValueError, "128-bit", id="ipv6"
    ),
    pytest.param(
        lambda t: t.withdraw(parse_prefix("2001:db8::/32")), ValueError, "128-bit", id="ipv6-out"
    ),
    pytest.param(
        lambda t: t.withdraw(parse_prefix("192.0.2.0/25")),
        KeyError,
        "no route with the prefix 192.0.2.0/25",
        id="only-a-shorter-one-is-there",
    ),
    pytest.param(
        lambda t: t.withdraw(parse_prefix("192.0.0.0/16")), KeyError, "no route", id="only-a-longer"
    ),
    pytest.param(
        lambda t: t.withdraw(parse_prefix("192.0.2.9/32")), KeyError, "no route", id="unknown-host"
    ),
    pytest.param(lambda t: t.lookup(-1), ValueError, "not -1", id="address-too-small"),
    pytest.param(lambda t: t.lookup(1 << 32), ValueError, "not 4294967296", id="address-too-large"),
    pytest.param(lambda t: t.lookup_many([0, -1]), ValueError, "not -1", id="one-of-many"),
    pytest.param(
        lambda t: t.lookup_many(np.array([0, 1 << 32])), ValueError, "not 4294967296", id="in-array"
    ),
    pytest.param(lambda t: t.lookup_many([1 << 80]), ValueError, "address must be", id="far-out"),
    pytest.param(
        lambda t: t.lookup_many(np.array([1.5])), TypeError, "float", id="no-whole-number"
    ),
    pytest.param(lambda t: t.lookup_many([1.0]), TypeError, "float", id="no-whole-number-in-list"),
]


@TABLES
@pytest.mark.parametrize(("call", "error", "complaint"), REFUSED)
def test_after_a_refusal_nothing_has_changed(new_table, call, error, complaint):
    table = new_table()
    table.insert(parse_prefix("192.0.2.0/24"), 1)
    table.insert(parse_prefix("192.0.2.128/26"), 2)
    with pytest.raises(error, match=complaint):
        call(table)
    probes = [
        parse_address(text) for text in ("192.0.2.0", "192.0.2.128", "192.0.2.192", "0.0.0.0")
    ]
    assert table.lookup_many(probes).tolist() == [1, 2, 1, NO_ROUTE]
    assert len(table) == 2


@TABLES
@pytest.mark.parametrize(
    "addresses",
    [
        pytest.param(np.array([0, 1 << 31, ALL_ADDRESSES], np.uint32), id="uint32"),
        pytest.param(np.array([0, 1 << 31, ALL_ADDRESSES], np.int64), id="int64"),
        pytest.param(np.array([0, 1 << 31, ALL_ADDRESSES], np.uint64), id="uint64"),
        pytest.param(np.array([0, 7, 1 << 31, 7, ALL_ADDRESSES], np.uint32)[::2], id="every-other"),
        pytest.param(np.frombuffer(bytes(7) + b"\x80" + b"\xff" * 4, "<u4"), id="read-only"),
        pytest.param([0, 1 << 31, ALL_ADDRESSES], id="list"),
        pytest.param(dict.fromkeys([0, 1 << 31, ALL_ADDRESSES]), id="no-sequence"),
    ],
)
def test_many_addresses_come_in_many_forms(new_table, addresses):
    table = new_table()
    table.insert(parse_prefix("128.0.0.0/1"), 4)
    answers = table.lookup_many(addresses)
    assert answers.tolist() == [NO_ROUTE, 4, 4]
    assert answers.dtype == np.int32
