"""While a forwarding table changes, every address keeps its old next hop or gets its new one.

The whole address space has 5 bits here, so that after every single change *every* address can be
looked up.
"""

from itertools import product
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.lookup import BinaryTrie, DirectIndex, LinearList
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.routing.mirror import Mirror, Published, RouteChange, ordered_changes

BITS = 5
ADDRESSES = range(2**BITS)


class Bits(NamedTuple):
    """A prefix of a 5-bit address; all that the mirror asks for is `length`."""

    network: int
    length: int


class PlainTable:
    """The simplest table with a longest prefix match."""

    def __init__(self) -> None:
        self.routes: dict[Bits, str] = {}

    def insert(self, prefix: Bits, next_hop: str) -> None:
        self.routes[prefix] = next_hop

    def withdraw(self, prefix: Bits) -> None:
        del self.routes[prefix]

    def lookup(self, address: int) -> str | None:
        for length in range(BITS, -1, -1):
            network = address >> (BITS - length) << (BITS - length)
            if (network, length) in self.routes:
                return self.routes[Bits(network, length)]
        return None


def bits(text: str) -> Bits:
    """Return the prefix whose first bits are given: of "101", network 20 and length 3."""
    return Bits(int(text.ljust(BITS, "0"), 2), len(text))


def answers(routes: dict[Bits, str]) -> list[str | None]:
    table = PlainTable()
    table.routes = dict(routes)
    return [table.lookup(address) for address in ADDRESSES]


def with_change(routes: dict[Bits, str], change: RouteChange[Bits, str]) -> dict[Bits, str]:
    others = {prefix: hop for prefix, hop in routes.items() if prefix != change.prefix}
    return others if change.after is None else {**others, change.prefix: change.after}


def broken_promises(
    old: dict[Bits, str], new: dict[Bits, str], changes: list[RouteChange[Bits, str]]
) -> list[tuple[int, int]]:
    """Return (number of changes made, address) wherever the answer is neither old nor new."""
    before, after = answers(old), answers(new)
    routes, broken = dict(old), []
    for made, change in enumerate(changes, start=1):
        routes = with_change(routes, change)
        now = answers(routes)
        broken += [(made, a) for a in ADDRESSES if now[a] not in (before[a], after[a])]
    assert routes == new
    return broken


prefixes = st.integers(0, BITS).flatmap(
    lambda n: st.integers(0, 2**n - 1).map(lambda v: Bits(v << (BITS - n), n))
)
tables = st.dictionaries(prefixes, st.sampled_from(["Plover", "Curlew", "Sandpiper"]), max_size=14)


@settings(max_examples=600, deadline=None)
@given(old=tables, new=tables)
def test_between_any_two_changes_each_address_has_its_old_or_its_new_next_hop(old, new):
    assert broken_promises(old, new, ordered_changes(old, new)) == []


@pytest.mark.parametrize("depth", [1, 2, 3, 4, 5])
def test_every_case_that_one_address_can_meet(depth):
    """Only the prefixes that cover an address matter to it, and they are a chain, one per length.

    Each of them is absent, stays, comes, goes or changes; all combinations are tried. All next hops
    differ, so a wrong answer cannot pass for a right one.
    """
    chain = [Bits(0, length) for length in range(depth + 1)]
    fates = [(None, None), ("stays", "stays"), (None, "comes"), ("goes", None), ("was", "is")]
    for combination in product(fates, repeat=len(chain)):
        both = list(zip(chain, combination, strict=True))
        old = {p: f"{p.length} {was}" for p, (was, _) in both if was is not None}
        new = {p: f"{p.length} {will_be}" for p, (_, will_be) in both if will_be is not None}
        before, after = longest(old), longest(new)
        for change in ordered_changes(old, new):
            old = with_change(old, change)
            assert longest(old) in (before, after), combination
        assert old == new


def longest(chain: dict[Bits, str]) -> str | None:
    """Return the next hop of the longest prefix; all of them cover the address."""
    return chain[max(chain, key=lambda prefix: prefix.length)] if chain else None


@settings(max_examples=200, deadline=None)
@given(old=tables, new=tables)
def test_there_is_one_change_for_each_prefix_that_differs_and_none_for_the_others(old, new):
    changes = ordered_changes(old, new)
    different = {prefix for prefix in old.keys() | new.keys() if old.get(prefix) != new.get(prefix)}
    assert len(changes) == len(different)
    assert {change.prefix for change in changes} == different


def test_no_changes_if_nothing_differs():
    routes = {bits(""): "Plover", bits("101"): "Curlew"}
    assert ordered_changes(routes, dict(reversed(routes.items()))) == []


# What goes wrong in other orders: for each rule, a change of tables that needs it.
NEEDS_EACH_RULE = [
    pytest.param({bits("0"): "Plover"}, {bits("00"): "Plover"}, id="add before remove"),
    pytest.param(
        {bits("0"): "Plover"},
        {bits("0"): "Plover", bits("00"): "Curlew", bits("000"): "Sandpiper"},
        id="add the longest first",
    ),
    pytest.param(
        {bits("0"): "Plover", bits("00"): "Curlew", bits("000"): "Sandpiper"},
        {bits("0"): "Plover"},
        id="remove the shortest first",
    ),
    pytest.param(
        {bits("0"): "Plover"},
        {bits("0"): "Curlew", bits("00"): "Sandpiper"},
        id="add before replace",
    ),
    pytest.param(
        {bits("0"): "Plover", bits("00"): "Curlew"},
        {bits("0"): "Sandpiper"},
        id="replace before remove",
    ),
]


@pytest.mark.parametrize(("old", "new"), NEEDS_EACH_RULE)
def test_the_opposite_order_breaks_the_promise(old, new):
    """So the order is no luxury, and the test above is able to fail."""
    changes = ordered_changes(old, new)
    assert broken_promises(old, new, changes) == []
    assert broken_promises(old, new, changes[::-1]) != []


@settings(max_examples=200, deadline=None)
@given(old=tables, first=tables, second=tables, steps=st.integers(0, 20))
def test_a_second_order_may_come_before_the_first_is_finished(old, first, second, steps):
    """Each address then has its next hop of one of the three tables, at every moment."""
    table = PlainTable()
    mirror = Mirror(table)
    mirror.follow(old)
    allowed = [set(column) for column in zip(*map(answers, (old, first, second)), strict=True)]
    seen = [answers(table.routes) for _ in zip(range(steps), mirror.steps(first), strict=False)]
    seen += [answers(table.routes) for _ in mirror.steps(second)]
    assert all(answer in ok for row in seen for answer, ok in zip(row, allowed, strict=True))
    assert table.routes == mirror.installed() == second


def test_a_change_says_what_was_and_what_will_be():
    old = {bits("0"): "Plover", bits("1"): "Curlew"}
    new = {bits("0"): "Sandpiper", bits("11"): "Curlew"}
    assert ordered_changes(old, new) == [
        RouteChange(bits("11"), None, "Curlew"),
        RouteChange(bits("0"), "Plover", "Sandpiper"),
        RouteChange(bits("1"), "Curlew", None),
    ]


@pytest.mark.parametrize("make_table", [LinearList, BinaryTrie, DirectIndex])
def test_the_lookup_tables_of_the_course_can_be_kept_in_line(make_table):
    table = make_table()
    mirror: Mirror[Prefix, int] = Mirror(table)
    wide, narrow, host = (parse_prefix(f"198.51.100.{end}") for end in ("0/24", "128/25", "129/32"))
    mirror.follow({wide: 1, narrow: 2, host: 3})
    address = parse_address("198.51.100.129")
    seen = [table.lookup(address) for _ in mirror.steps({wide: 4})]
    assert seen == [3, 3, 4]
    assert len(table) == 1


# --- two lookups for one packet -------------------------------------------------------------------


# Packets for 11111 go to a router whose own address, 00000 or 01000, has to be looked up in turn.
BEFORE = {bits("11"): "00000", bits("00"): "Plover"}
AFTER = {bits("11"): "01000", bits("010"): "Curlew"}


def test_changes_in_place_can_mislead_a_packet_that_is_looked_up_twice():
    """Each lookup keeps its promise, but the two answers do not fit together."""
    table = PlainTable()
    mirror = Mirror(table)
    mirror.follow(BEFORE)
    gateway = table.lookup(0b11111)
    mirror.follow(AFTER)
    assert gateway == "00000"
    assert table.lookup(0b00000) is None


def test_a_published_table_stays_as_it_was_for_those_who_still_read_it():
    old, new = PlainTable(), PlainTable()
    Mirror(old).follow(BEFORE)
    Mirror(new).follow(AFTER)
    place = Published(old)
    table = place.current()
    assert table.lookup(0b11111) == "00000"
    place.publish(new)
    assert table.lookup(0b00000) == "Plover"
    assert place.current().lookup(0b01000) == "Curlew"
