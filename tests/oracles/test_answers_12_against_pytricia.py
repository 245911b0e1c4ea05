"""The right answers to 12.3 take the way that PyTricia finds for a source."""

import random

import pytest
from pytricia import PyTricia

from instructor.units.items import item

NETS = ("192.0.2", "198.51.100", "203.0.113")
INTERFACES = ("west", "east", "bay")


def routes_at_random(rng):
    """Draw prefixes, longer ones within shorter ones among them, some with two ways."""
    routes = [("0.0.0.0/0", rng.choice(INTERFACES))] * rng.randint(0, 1)
    for net in NETS:
        for length in rng.sample(range(24, 33), 4):
            size = 1 << 32 - length
            prefix = f"{net}.{rng.randrange(256) // size * size}/{length}"
            routes += [(prefix, way) for way in rng.sample(INTERFACES, rng.randint(1, 2))]
    rng.shuffle(routes)
    return routes


@pytest.mark.parametrize(
    "new_monitor",
    [pytest.param(one, id=one.__name__) for one in (item("12.3").answer, *item("12.3").others)],
)
def test_a_source_is_spoofed_if_it_came_by_no_way_of_its_longest_prefix(new_monitor):
    """RFC 3704, section 2.3: a packet may come by each of several ways to its source."""
    rng, seen = random.Random(3704), set()
    for _ in range(12):
        routes, tree = routes_at_random(rng), PyTricia()
        for prefix, way in routes:
            ways = tree[prefix] if tree.has_key(prefix) else set()
            tree[prefix] = ways | {way}
        monitor = new_monitor(routes, 9, 10.0, 9)
        for turn in range(100):
            source, way = f"{rng.choice(NETS)}.{rng.randrange(256)}", rng.choice(INTERFACES)
            ways = tree.get(source, set())
            alarms = [] if way in ways else [("spoofed", source, way)]
            assert monitor.see(turn, way, source, "192.0.2.1", 80) == alarms
            seen.add((len(ways), not alarms))
    assert seen >= {(0, False), (1, True), (1, False), (2, True), (2, False)}
