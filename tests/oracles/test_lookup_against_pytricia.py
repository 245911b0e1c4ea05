"""Longest prefix match compared with PyTricia, a Patricia trie written in C.

Every route has a number of its own as its next hop, so that not only the next hop but the very
prefix that answered is compared.
"""

import random

import numpy as np
import pytest
import pytricia

from course_lib.lookup import NO_ROUTE, BinaryTrie, DirectIndex, LinearList
from course_lib.lookup.invented_routes import invent_routes
from course_lib.prefixes.prefix import Prefix

RANDOM_ADDRESSES = 200_000  # beside both ends of each prefix, which tell most
CHANGES = 25_000


def built_at_once(prefixes):
    networks = np.array([prefix.network for prefix in prefixes])
    lengths = np.array([prefix.length for prefix in prefixes])
    return DirectIndex.from_arrays(networks, lengths, np.arange(len(prefixes)))


def built_one_by_one(new_table):
    def build(prefixes):
        table = new_table()
        for number, prefix in enumerate(prefixes):
            table.insert(prefix, number)
        return table

    return build


def pytricia_of(prefixes):
    oracle = pytricia.PyTricia(32)
    for number, prefix in enumerate(prefixes):
        oracle.insert(prefix.network, prefix.length, number)
    return oracle


def ask(oracle, addresses):
    return np.fromiter((oracle.get(a, NO_ROUTE) for a in addresses.tolist()), np.int32)


def edges(prefixes):
    """The first and the last address of every prefix."""
    return np.array([edge for p in prefixes for edge in (p.first, p.last)], np.uint32)


def random_addresses(count, seed):
    return np.random.default_rng(seed).integers(0, 1 << 32, count, dtype=np.uint32)


def change_at_random(table, oracle, present, others, count, seed):
    """Insert and withdraw in both, about as often; return the prefixes that are there at the end.

    A chosen prefix that is there is withdrawn or, one time in four, gets another next hop.
    """
    rng = random.Random(seed)
    pool, present = [*present, *others], set(present)
    for number in range(count):
        prefix = rng.choice(pool)
        if prefix in present and rng.random() < 0.75:
            present.remove(prefix)
            table.withdraw(prefix)
            oracle.delete((prefix.network.to_bytes(4, "big"), prefix.length))
        else:
            present.add(prefix)
            table.insert(prefix, len(pool) + number)
            oracle.insert(prefix.network, prefix.length, len(pool) + number)
    return present


def test_a_million_routes():
    prefixes = invent_routes(1_000_000, seed=11).prefixes()
    table, oracle = built_at_once(prefixes), pytricia_of(prefixes)
    for addresses in (random_addresses(RANDOM_ADDRESSES, seed=1), edges(prefixes)):
        assert np.array_equal(table.lookup_many(addresses), ask(oracle, addresses))


@pytest.mark.parametrize(
    ("build", "size", "addresses", "changes"),
    [
        pytest.param(built_at_once, 200_000, RANDOM_ADDRESSES, CHANGES, id="direct-index"),
        pytest.param(
            built_one_by_one(BinaryTrie), 50_000, RANDOM_ADDRESSES, CHANGES, id="binary-trie"
        ),
        pytest.param(built_one_by_one(LinearList), 500, 10_000, 1_000, id="linear-list"),
    ],
)
def test_before_and_after_inserting_and_withdrawing(build, size, addresses, changes):
    """Default route and host routes at both ends of the address space are always there."""
    ends = [Prefix(0, 0), Prefix(0, 32), Prefix((1 << 32) - 1, 32)]
    prefixes = invent_routes(size, seed=12).prefixes() + ends
    table, oracle = build(prefixes), pytricia_of(prefixes)
    probes = np.concatenate([random_addresses(addresses, seed=2), edges(prefixes)])
    assert np.array_equal(table.lookup_many(probes), ask(oracle, probes))

    others = set(invent_routes(size, seed=13).prefixes()) - set(prefixes)
    present = change_at_random(table, oracle, prefixes, sorted(others), changes, seed=3)
    probes = np.concatenate([random_addresses(addresses, seed=4), edges(present), edges(others)])
    assert len(table) == len(present)
    assert np.array_equal(table.lookup_many(probes), ask(oracle, probes))


def test_single_lookups_are_the_same_as_many():
    prefixes = invent_routes(50_000, seed=14).prefixes()
    table, oracle = built_at_once(prefixes), pytricia_of(prefixes)
    addresses = [*random_addresses(50_000, seed=5).tolist(), *edges(prefixes).tolist()]
    assert [table.lookup(a) for a in addresses] == [oracle.get(a) for a in addresses]
