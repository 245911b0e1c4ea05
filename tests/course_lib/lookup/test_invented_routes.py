"""What an invented route table promises."""

import numpy as np
import pytest

from course_lib.lookup.invented_routes import LENGTHS_PER_100_000, invent_routes

TABLE = invent_routes(100_000, seed=4)


def is_inside_another(table):
    """For each route, in order of prefixes, whether the table has a shorter one around it."""
    lasts = table.networks | ((1 << (32 - table.lengths.astype(np.int64))) - 1)
    furthest = np.maximum.accumulate(lasts)
    return np.concatenate([[False], table.networks[1:] <= furthest[:-1]])


def test_the_same_seed_gives_the_same_table_and_another_seed_another():
    again, other = invent_routes(1000, seed=1), invent_routes(1000, seed=2)
    for first, second in zip(invent_routes(1000, seed=1), again, strict=True):
        assert np.array_equal(first, second)
    assert not np.array_equal(again.networks, other.networks)


@pytest.mark.parametrize("size", [0, 1, 2, 99, 1_000, 100_000])
def test_it_has_as_many_different_routes_as_asked_for_in_order(size):
    keys = np.array([p.network << 6 | p.length for p in invent_routes(size, seed=3).prefixes()])
    assert keys.size == size
    assert (np.diff(keys) > 0).all()


def test_no_address_is_outside_the_unicast_space():
    """RFC 6890: 0/8 and 127/8 are not forwarded; RFC 1112: 224/4 and above are not unicast."""
    first_octets = set((TABLE.networks >> 24).tolist())
    assert first_octets == set(range(1, 224)) - {127}


def test_lengths_follow_the_published_shares():
    counts = np.bincount(TABLE.lengths, minlength=33)
    assert {length: count for length, count in enumerate(counts) if count} == LENGTHS_PER_100_000
    assert sum(LENGTHS_PER_100_000.values()) == 100_000


def test_routes_longer_than_24_bits_are_as_rare_as_published():
    """Gupta, Lin, McKeown, INFOCOM 1998, figure 1: 99.93 % are 24 bits or less."""
    assert (TABLE.lengths <= 24).mean() == pytest.approx(0.9993, abs=0.00005)


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("size", [1_000, 100_000])
def test_half_of_the_routes_lie_inside_another(size, seed):
    assert is_inside_another(invent_routes(size, seed)).mean() == pytest.approx(0.5, abs=0.01)


def test_next_hops_are_below_their_number():
    assert set(invent_routes(5_000, seed=1, next_hop_count=7).next_hops.tolist()) == set(range(7))


def test_a_table_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match=r"no room for \d+ prefixes of length \d+"):
        invent_routes(20_000_000, seed=1)
