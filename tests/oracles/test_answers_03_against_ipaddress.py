"""The model answers of unit 03 agree with Python's `ipaddress`, which no answer may use."""

import ipaddress
import random

import pytest

from instructor.units.unit_03.answers import (
    address_after,
    describe_link,
    free_prefixes,
    make_plan,
    neighbourhood,
)

SEEDS = pytest.mark.parametrize("seed", range(3))
PIECES = ("0", "00", "1", "07", "9", "10", "99", "100", "249", "255", "256", "300", "+1", " 1",
          "1_0", "٣", "", "x", "-1")  # fmt: skip


def text(number):
    return str(ipaddress.IPv4Address(number))


@SEEDS
def test_a_text_is_refused_exactly_where_ipaddress_refuses_it(seed):
    rng = random.Random(seed)
    seen = set()
    for _ in range(3000):
        weights = [3 if piece.isdecimal() and len(piece) < 4 else 1 for piece in PIECES]
        parts = rng.choices(PIECES, weights, k=rng.choice((3, 4, 4, 4, 4, 4, 5)))
        address, steps = ".".join(parts), rng.randint(-3, 3)
        try:
            expected = str(ipaddress.IPv4Address(address) + steps)
        except (ipaddress.AddressValueError, ValueError):
            with pytest.raises(ValueError, match="address"):
                address_after(address, steps)
            seen.add(False)
        else:
            assert address_after(address, steps) == expected
            seen.add(True)
    assert seen == {True, False}


@SEEDS
def test_a_link_has_the_mask_ends_and_hosts_that_ipaddress_gives_it(seed):
    rng = random.Random(seed)
    for length in (*range(2, 33), *range(16, 33)):  # `hosts` of a shorter prefix would be counted
        address = text(rng.getrandbits(32))
        link = ipaddress.ip_network(f"{address}/{length}", strict=False)
        hosts = sum(1 for _ in link.hosts()) if length > 18 else link.num_addresses - 2
        assert describe_link(address, length) == (
            str(link.netmask), str(link[0]), str(link[-1]), hosts,
        )  # fmt: skip


@SEEDS
def test_neighbours_and_blocks_are_those_of_ipaddress(seed):
    rng = random.Random(seed)
    for _ in range(300):
        own = rng.getrandbits(32)
        other = own ^ rng.getrandbits(rng.randint(1, 32))
        hosts = [
            ipaddress.ip_interface(f"{text(one)}/{rng.randint(0, 32)}") for one in (own, other)
        ]
        blocks = {
            ipaddress.ip_network(
                (other ^ rng.getrandbits(rng.randint(1, 20)), length), strict=False
            )
            for length in rng.sample(range(33), 5)
        }
        around = [block for block in blocks if hosts[1].ip in block]
        name = str(max(around, key=lambda block: block.prefixlen)) if around else None
        assert neighbourhood(*map(str, hosts), [(str(block), str(block)) for block in blocks]) == (
            hosts[1].ip in hosts[0].network, hosts[0].ip in hosts[1].network, name,
        )  # fmt: skip


@SEEDS
def test_a_range_is_summarized_as_ipaddress_does_it(seed):
    rng = random.Random(seed)
    for _ in range(100):
        first = rng.getrandbits(32)
        last = min(first + rng.getrandbits(rng.randint(1, 32)), 2**32 - 1)
        ends = ipaddress.IPv4Address(first), ipaddress.IPv4Address(last)
        expected = [str(one) for one in ipaddress.summarize_address_range(*ends)]
        assert free_prefixes(text(first), text(last), []) == expected


@SEEDS
def test_what_is_left_of_a_range_is_as_few_prefixes_as_ipaddress_makes_of_it(seed):
    """Every address is asked: those that are free, joined as far as can be."""
    rng = random.Random(seed)
    for _ in range(40):
        base = rng.getrandbits(23) << 9
        first, last = base + rng.randint(0, 200), base + rng.randint(300, 511)
        taken = set()
        for _ in range(rng.randint(1, 6)):
            one = ipaddress.ip_network(
                (rng.randint(first, last), rng.randint(25, 32)), strict=False
            )
            if first <= int(one[0]) and int(one[-1]) <= last:
                taken.add(one)
        free = [
            ipaddress.ip_network(address) for address in range(first, last + 1)
            if not any(ipaddress.IPv4Address(address) in one for one in taken)
        ]  # fmt: skip
        expected = [str(one) for one in ipaddress.collapse_addresses(free)]
        assert free_prefixes(text(first), text(last), [str(one) for one in taken]) == expected


@SEEDS
def test_a_plan_holds_what_it_promises(seed):
    """Inside the block, apart, none larger than needed; and there is none only if none fits."""
    rng = random.Random(seed)
    seen = set()
    for _ in range(60):
        block = ipaddress.ip_network((10 << 24 | rng.getrandbits(14) << 10, 22))
        kept = []
        for one in rng.sample(list(block.subnets(new_prefix=25)), rng.randint(0, 5)):
            kept.append(next(iter(one.subnets(new_prefix=rng.randint(25, 27)))))
        needs = [(f"pier {n}", rng.choice((1, 2, 5, 30, 60, 120, 200, 400))) for n in range(5)]
        plan, reason = make_plan(str(block), [str(one) for one in kept], needs)
        given = [ipaddress.ip_network(prefix) for _, prefix in plan]
        if reason == "":
            assert [pier for pier, _ in plan] == [pier for pier, _ in needs]
            for (_, hosts), one in zip(needs, given, strict=True):
                assert one.subnet_of(block)
                assert len(list(one.hosts())) >= hosts
                if one.prefixlen < 32:
                    assert len(list(next(iter(one.subnets())).hosts())) < hosts
            apart = [*kept, *given]
            assert not any(a.overlaps(b) for n, a in enumerate(apart) for b in apart[:n])
        else:
            assert plan == []
        seen.add(reason.partition(" pier")[0])
    assert seen == {"", "too few addresses", "no hole for"}
