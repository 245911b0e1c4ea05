"""Prefix arithmetic compared with Python's own `ipaddress`, for IPv4 and IPv6.

IPv6 text goes through `ipaddress` in the library too, so its parsing is compared for IPv4 only;
the arithmetic is the library's own for both.
"""

import ipaddress

from hypothesis import example, given
from hypothesis import strategies as st

from course_lib.prefixes.plan import allocate, check_plan, free_space, host_count
from course_lib.prefixes.prefix import (
    aggregate,
    length_of_mask,
    parse_prefix,
    prefix_around,
    prefixes_of_range,
    split,
)
from course_lib.prefixes.text import PrefixError, format_address, parse_address

FAMILIES = st.sampled_from([32, 128])
MASKS = {int(ipaddress.IPv4Network((0, length)).netmask): length for length in range(33)}


@st.composite
def prefixes(draw, bits=FAMILIES):
    family = draw(bits)
    length = draw(st.integers(0, family))
    return prefix_around(draw(st.integers(0, (1 << family) - 1)), length, family)


@st.composite
def crowded_prefixes(draw):
    """Prefixes of 203.0.113.0/24 or shorter, so that many of them touch, nest or repeat."""
    number, length = draw(st.integers(0, 255)), draw(st.integers(22, 32))
    return prefix_around(parse_address("203.0.113.0") + number, length)


def network(prefix):
    kind = ipaddress.IPv4Network if prefix.bits == 32 else ipaddress.IPv6Network
    return kind((prefix.network, prefix.length))


def ours(networks):
    return [parse_prefix(str(item)) for item in networks]


@given(prefixes())
def test_text_and_numbers(prefix):
    same = network(prefix)
    assert str(prefix) == str(same)
    assert parse_prefix(str(same)) == prefix
    assert (prefix.first, prefix.last) == (int(same[0]), int(same[-1]))
    assert (prefix.mask, prefix.size) == (int(same.netmask), same.num_addresses)


@given(st.integers(0, (1 << 32) - 1))
def test_ipv4_addresses_as_text(address):
    assert format_address(address) == str(ipaddress.IPv4Address(address))
    assert parse_address(format_address(address)) == address


@given(st.lists(st.integers(0, 300), min_size=3, max_size=5), st.integers(-1, 40))
@example([192, 0, 2, 0], 24)
@example([192, 0, 2, 1], 24)
@example([192, 0, 2, 256], 32)
def test_the_same_texts_are_refused(octets, length):
    text = f"{'.'.join(map(str, octets))}/{length}"
    assert outcome(parse_prefix, text) == outcome(ipaddress.IPv4Network, text)


@given(st.integers(0, (1 << 32) - 1) | st.sampled_from(sorted(MASKS)))
def test_masks(mask):
    assert outcome(length_of_mask, mask) == str(MASKS.get(mask, "refused"))


@given(prefixes(), st.integers(0, (1 << 128) - 1))
def test_containing(prefix, number):
    address = number % (1 << prefix.bits)
    assert prefix.contains(address) == (type(network(prefix)[0])(address) in network(prefix))


@given(crowded_prefixes(), crowded_prefixes())
def test_covering(one, other):
    assert one.covers(other) == network(one).supernet_of(network(other))
    overlap = network(one).overlaps(network(other))
    assert (one.covers(other) or other.covers(one)) == overlap


@given(prefixes(), st.integers(0, 6))
def test_splitting(prefix, further):
    length = min(prefix.length + further, prefix.bits)
    expected = ours(network(prefix).subnets(new_prefix=length))
    assert list(split(prefix, length)) == expected


@given(st.lists(crowded_prefixes(), max_size=40))
def test_aggregating(parts):
    assert aggregate(parts) == ours(ipaddress.collapse_addresses(map(network, parts)))


@given(st.lists(prefixes(bits=st.just(128)), max_size=12))
def test_aggregating_ipv6(parts):
    assert aggregate(parts) == ours(ipaddress.collapse_addresses(map(network, parts)))


@given(prefixes(), st.data())
def test_ranges(prefix, data):
    inside = st.integers(prefix.first, prefix.last)
    first, last = sorted([data.draw(inside), data.draw(inside)])
    address = ipaddress.IPv4Address if prefix.bits == 32 else ipaddress.IPv6Address
    expected = ours(ipaddress.summarize_address_range(address(first), address(last)))
    assert prefixes_of_range(first, last, prefix.bits) == expected


@given(st.lists(crowded_prefixes(), max_size=12))
def test_free_space(taken):
    """What is free and what is taken make up the block; together they are the block again."""
    block = parse_prefix("203.0.112.0/22")
    free = free_space(block, taken)
    left = set(network(block)) - {address for part in taken for address in network(part)}
    assert {address for part in free for address in network(part)} == left
    assert free == ours(ipaddress.collapse_addresses(map(network, free)))


@given(st.builds(prefix_around, st.integers(0, (1 << 32) - 1), st.integers(20, 32)))
def test_hosts(prefix):
    """`ipaddress` leaves out the two reserved numbers as well, and knows RFC 3021."""
    assert host_count(prefix) == len(list(network(prefix).hosts()))


@given(st.lists(st.integers(24, 32), max_size=30))
def test_a_plan_succeeds_just_when_the_sizes_add_up(lengths):
    """In an empty block of powers of two nothing but the sum decides."""
    block = parse_prefix("198.51.100.0/24")
    wanted = {f"pier {number}": length for number, length in enumerate(lengths)}
    made = plan_or_none(block, wanted)
    assert (made is not None) == (sum(1 << (32 - length) for length in lengths) <= block.size)
    assert made is None or {place: prefix.length for place, prefix in made.items()} == wanted
    check_plan(block, made or {})


@given(st.lists(st.integers(26, 32), max_size=8), st.lists(crowded_prefixes(), max_size=4))
def test_a_plan_around_kept_places_fails_only_without_room(lengths, kept):
    """Largest first, each into the smallest hole: that fits whenever holes of each size suffice."""
    block = parse_prefix("203.0.112.0/22")
    keep = {f"boat {number}": prefix for number, prefix in enumerate(aggregate(kept))}
    wanted = {f"pier {number}": length for number, length in enumerate(lengths)}
    made = plan_or_none(block, wanted, keep)
    assert (made is not None) == fits_by_counting(free_space(block, keep.values()), lengths)
    check_plan(block, made or {})


def outcome(read, value):
    try:
        return str(read(value))
    except ValueError:
        return "refused"


def plan_or_none(*arguments):
    try:
        return allocate(*arguments)
    except PrefixError:
        return None


def fits_by_counting(holes, lengths):
    """Count, for each length, how many blocks of it the holes could still give: no placing."""
    return all(
        sum(1 << (length - hole.length) for hole in holes if hole.length <= length)
        >= sum(1 << (length - other) for other in lengths if other <= length)
        for length in set(lengths)
    )
