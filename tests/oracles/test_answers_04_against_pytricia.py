"""The model answers of unit 04 agree with PyTricia, a Patricia trie written in C.

Where the space is small enough, every single address is asked.
"""

import random
from collections.abc import Iterator

import pytest
import pytricia

from instructor.units.unit_04.answers import (
    build_tables,
    covers,
    look_up,
    new_table,
    spare_routes,
    walk_trie,
)

PIERS = ("Reed", "Gull", "North")
SEEDS = pytest.mark.parametrize("seed", range(5))
NETWORK = 203 << 24 | 113 << 8  # 203.0.113.0/24 (RFC 5737): its 256 addresses can all be asked


def text(address: int) -> str:
    return ".".join(str(octet) for octet in address.to_bytes(4, "big"))


def random_prefix(rng: random.Random) -> str:
    """Draw a prefix of 10.0.0.0/8, or the default route, or a host route at an end of all."""
    if rng.random() < 0.02:
        return rng.choice(("0.0.0.0/0", "0.0.0.0/32", "255.255.255.255/32"))
    length = rng.randint(8, 32)
    address = 10 << 24 | rng.getrandbits(6) << 18 | rng.getrandbits(18)
    return f"{text(address >> 32 - length << 32 - length)}/{length}"


def prefixes_of_the_24(rng: random.Random, count: int) -> list[str]:
    found = set()
    while len(found) < count:
        length = rng.randint(24, 29)
        address = NETWORK | rng.getrandbits(8)
        found.add(f"{text(address >> 32 - length << 32 - length)}/{length}")
    return sorted(found, key=lambda _: rng.random())


def oracle_of(routes: dict[str, str]) -> pytricia.PyTricia:
    oracle = pytricia.PyTricia(32)
    for prefix, hop in routes.items():
        oracle.insert(prefix, hop)
    return oracle


def probes(rng: random.Random, prefixes: list[str]) -> Iterator[str]:
    """Give both ends of each prefix, and an address anywhere for each."""
    for prefix in prefixes:
        network, length = prefix.split("/")
        first = int.from_bytes(map(int, network.split(".")), "big")
        yield from (network, text(first | 0xFFFFFFFF >> int(length)), text(rng.getrandbits(32)))


@SEEDS
def test_covers_is_membership_in_a_table_of_one_route(seed):
    rng = random.Random(seed)
    prefixes = [random_prefix(rng) for _ in range(400)]
    seen = set()
    for prefix in prefixes:
        oracle = oracle_of({prefix: "Reed"})
        for address in [*probes(rng, [prefix]), *probes(rng, rng.sample(prefixes, 3))]:
            assert covers(prefix, address) == (address in oracle)
            seen.add(address in oracle)
    assert seen == {True, False}


@SEEDS
def test_look_up_finds_the_key_of_the_longest_match(seed):
    rng = random.Random(seed)
    routes = {random_prefix(rng): rng.choice(PIERS) for _ in range(150)}
    oracle = oracle_of(routes)
    listed = [(prefix, hop, rng.randint(1, 9)) for prefix, hop in routes.items()]
    listed += [(prefix, "Lantern", metric + 1) for prefix, _, metric in listed]
    rng.shuffle(listed)
    for address in probes(rng, list(routes)):
        key = oracle.get_key(address)
        assert look_up(listed, address) == (None if key is None else (key, routes[key]))


@SEEDS
def test_walk_trie_finds_what_the_oracle_finds(seed):
    rng = random.Random(seed)
    routes = {random_prefix(rng): rng.choice(PIERS) for _ in range(300)}
    oracle, trie = oracle_of(routes), {}
    for prefix, hop in routes.items():
        network, length = prefix.split("/")
        node = trie
        for bit in bits_of(network)[: int(length)]:
            node = node.setdefault(bit, {})
        node["hop"] = hop
    beginnings = {
        bits_of(one.split("/")[0])[:n] for one in routes for n in range(int(one.split("/")[1]) + 1)
    }
    for address in probes(rng, list(routes)):
        bits = bits_of(address)
        nodes = sum(bits[:length] in beginnings for length in range(33))
        assert walk_trie(trie, bits) == (oracle.get(address), nodes)


def bits_of(address: str) -> str:
    return "".join(f"{int(part):08b}" for part in address.split("."))


def with_host_bits(rng: random.Random, prefix: str) -> str:
    network, length = prefix.split("/")
    first = int.from_bytes(map(int, network.split(".")), "big")
    return f"{text(first | rng.getrandbits(32) & 0xFFFFFFFF >> int(length))}/{length}"


@SEEDS
def test_a_table_agrees_after_every_change(seed):
    rng = random.Random(seed)
    pool = [random_prefix(rng) for _ in range(120)]
    table, oracle = new_table(), pytricia.PyTricia(32)
    for number in range(1500):
        prefix = rng.choice(pool)
        if oracle.has_key(prefix) and rng.random() < 0.7:
            oracle.delete(prefix)
            table.withdraw(with_host_bits(rng, prefix))
        else:
            oracle.insert(prefix, f"hop {number}")
            table.insert(with_host_bits(rng, prefix), f"hop {number}")
        for address in probes(rng, [prefix, rng.choice(pool)]):
            assert table.look_up(address) == oracle.get(address)


@SEEDS
def test_withdrawing_is_refused_exactly_where_the_oracle_has_no_such_key(seed):
    rng = random.Random(seed)
    there = [random_prefix(rng) for _ in range(60)]
    oracle = oracle_of(dict.fromkeys(there, "Reed"))
    asked = [
        prefix for prefix in (random_prefix(rng) for _ in range(300)) if not oracle.has_key(prefix)
    ]
    table = new_table()
    for prefix in there:
        table.insert(prefix, "Reed")
    assert any(prefix.split("/")[0] in oracle for prefix in asked)  # covered, and yet not there
    for prefix in asked:
        with pytest.raises(KeyError):
            table.withdraw(prefix)


@pytest.mark.parametrize("seed", range(40))
def test_both_levels_hold_the_answer_for_each_of_the_64_addresses(seed):
    """The six bits stand in front of an address of 32 bits."""
    rng = random.Random(seed)
    names = {f"{rng.getrandbits(6):06b}"[: rng.randint(0, 6)] for _ in range(rng.randint(0, 9))}
    routes = [(bits, rng.choice(PIERS)) for bits in sorted(names, key=lambda _: rng.random())]
    oracle = oracle_of(
        {f"{text(int(bits.ljust(32, '0'), 2))}/{len(bits)}": hop for bits, hop in routes}
    )
    first, blocks = build_tables(routes)
    for number in range(64):
        entry = first[number >> 3]
        answer = blocks[entry][number & 7] if isinstance(entry, int) else entry
        assert answer == oracle.get(text(number << 26))
    assert len(blocks) == len({bits[:3] for bits, _ in routes if len(bits) > 3})


@pytest.mark.parametrize("seed", range(40))
def test_a_route_is_spare_if_and_only_if_no_address_of_the_network_notices(seed):
    rng = random.Random(seed)
    prefixes = prefixes_of_the_24(rng, rng.randint(2, 14))
    routes = {prefix: rng.choice(PIERS[:2]) for prefix in prefixes}
    addresses = [text(NETWORK | last) for last in range(256)]
    before = [oracle_of(routes).get(address) for address in addresses]
    spare = []
    for prefix in prefixes:
        left = oracle_of({other: hop for other, hop in routes.items() if other != prefix})
        if [left.get(address) for address in addresses] == before:
            spare.append(prefix)
    assert spare_routes(list(routes.items())) == spare


def test_the_random_tables_do_have_spare_and_needed_routes():
    found = set()
    for seed in range(40):
        rng = random.Random(seed)
        prefixes = prefixes_of_the_24(rng, rng.randint(2, 14))
        routes = [(prefix, rng.choice(PIERS[:2])) for prefix in prefixes]
        found.add(0 < len(spare_routes(routes)) < len(routes))
    assert True in found
