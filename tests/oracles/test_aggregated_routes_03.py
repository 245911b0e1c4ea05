"""Exercise 3.5 beside `ipaddress` and PyTricia: as few as can be, and no address goes astray."""

import ipaddress
import random

import pytest
import pytricia

from instructor.units.unit_03.answers import aggregate_routes
from instructor.units.unit_03.other_aggregates import AGGREGATES

ANSWERS = pytest.mark.parametrize("answer", [aggregate_routes, *AGGREGATES])
SEEDS = pytest.mark.parametrize("seed", range(5))
PIERS = ("Reed", "Gull", "North")


def random_routes(rng, hops):
    """Draw up to 60 routes near each other, some of them at both ends of all addresses."""
    found = {}
    for _ in range(rng.randint(0, 60)):
        length = rng.choice((0, *range(1, 5), *[20] * 3, *range(21, 29), *[30, 31, 32] * 2))
        address = rng.choice((rng.getrandbits(32), 10 << 24 | rng.getrandbits(12), 2**32 - 1, 0))
        network = ipaddress.ip_network((address, length), strict=False)
        found[str(network)] = rng.choice(hops)
    return list(found.items())


@SEEDS
@ANSWERS
def test_with_one_next_hop_it_is_what_collapsing_gives(answer, seed):
    rng = random.Random(seed)
    for _ in range(60):
        routes = random_routes(rng, PIERS[:1])
        networks = [ipaddress.ip_network(prefix) for prefix, _ in routes]
        collapsed = [(str(one), "Reed") for one in ipaddress.collapse_addresses(networks)]
        assert list(answer(routes)) == collapsed


@SEEDS
@ANSWERS
def test_no_address_gets_another_next_hop(answer, seed):
    """Between the edges of prefixes nothing changes, so these are all that has to be asked."""
    rng = random.Random(seed)
    shorter = 0
    for _ in range(40):
        routes = random_routes(rng, PIERS)
        fewer = answer(routes)
        before, after = pytricia.PyTricia(32), pytricia.PyTricia(32)
        edges = {0, 2**32 - 1}
        for table, listed in ((before, routes), (after, fewer)):
            for prefix, hop in listed:
                table[prefix] = hop
                network = ipaddress.ip_network(prefix)
                first, last = int(network[0]), int(network[-1])
                edges |= {max(first - 1, 0), first, last, min(last + 1, 2**32 - 1)}
        for edge in edges:
            address = str(ipaddress.ip_address(edge))
            assert before.get(address) == after.get(address), (address, routes)
        shorter += len(fewer) < len(routes)
    assert shorter > 20


@SEEDS
def test_done_once_more_it_changes_nothing_and_the_order_of_routes_does_not_matter(seed):
    rng = random.Random(seed)
    for _ in range(40):
        routes = random_routes(rng, PIERS[:2])
        fewer = aggregate_routes(routes)
        assert aggregate_routes(rng.sample(fewer, len(fewer))) == fewer
        assert aggregate_routes(rng.sample(routes, len(routes))) == fewer
