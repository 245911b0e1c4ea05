"""What a prefix promises, and what it refuses."""

import copy
import pickle

import pytest

from course_lib.prefixes.prefix import (
    Prefix,
    aggregate,
    length_of_mask,
    parse_prefix,
    prefix_around,
    prefixes_of_range,
    split,
)
from course_lib.prefixes.text import PrefixError, format_address, parse_address

REED_PIER = parse_prefix("192.0.2.64/26")


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        pytest.param("192.0.2.0", "'192.0.2.0' has no length", id="no-slash"),
        pytest.param("192.0.2/24", "3 parts", id="three-octets"),
        pytest.param("192.0.2.256/32", "part 4 is '256'", id="octet-too-large"),
        pytest.param("010.0.0.1/32", "part 1 is '010'", id="leading-zero"),
        pytest.param("192.0.2.x/32", "part 4 is 'x'", id="no-number"),
        pytest.param("192.0.2.\u0663/32", "part 4", id="digits-of-another-script"),
        pytest.param(" 192.0.2.0/24", "part 1", id="space"),
        pytest.param("192.0.2.0/33", "length is '33', must be a number from 0 to 32", id="long"),
        pytest.param("192.0.2.0/-1", "length is '-1'", id="negative"),
        pytest.param("192.0.2.0/024", "length is '024'", id="length-with-leading-zero"),
        pytest.param("192.0.2.0/", "length is ''", id="empty-length"),
        pytest.param("192.0.2.0/24/24", "length is '24/24'", id="two-slashes"),
        pytest.param(
            "192.0.2.1/24", "192.0.2.1/24 has host bits set.*lies in 192.0.2.0/24", id="host-bits"
        ),
        pytest.param("192.0.2.0/255.0.255.0", "255.0.255.0 is not contiguous", id="mask-with-gap"),
        pytest.param("192.0.2.0/0.0.0.255", "0.0.0.255 is not contiguous", id="inverted-mask"),
        pytest.param("2001:db8::1/32", "lies in 2001:db8::/32", id="ipv6-host-bits"),
        pytest.param("2001:db8::/129", "must be a number from 0 to 128", id="ipv6-length"),
        pytest.param("2001:db8::/255.255.0.0", "length is '255.255.0.0'", id="ipv6-mask"),
        pytest.param("2001:db8:::/32", "2001:db8:::", id="ipv6-text"),
        pytest.param("fe80::1%pier/128", "names a zone", id="ipv6-zone"),
    ],
)
def test_malformed_prefixes_are_refused_and_the_place_is_named(text, complaint):
    with pytest.raises(PrefixError, match=complaint):
        parse_prefix(text)


@pytest.mark.parametrize(
    ("call", "complaint"),
    [
        pytest.param(lambda: Prefix(0, 33), "0 to 32, not 33", id="length"),
        pytest.param(lambda: Prefix(0, -1), "0 to 32, not -1", id="negative-length"),
        pytest.param(lambda: Prefix(1 << 32, 32), "0 to 2\\*\\*32 - 1", id="network"),
        pytest.param(lambda: Prefix(-1, 32), "not -1", id="negative-network"),
        pytest.param(lambda: Prefix(0, 8, 48), "32 bits .* or 128 .* not 48", id="family"),
        pytest.param(lambda: prefix_around(0, 33), "not 33", id="around"),
        pytest.param(lambda: prefix_around(1 << 32, 8), "not 4294967296", id="around-address"),
        pytest.param(lambda: format_address(-1), "not -1", id="format"),
        pytest.param(lambda: parse_address("192.0.2.1/24"), "part 4 is '1/24'", id="address"),
        pytest.param(lambda: length_of_mask(0xFF00FF00), "255.0.255.0", id="mask"),
        pytest.param(lambda: length_of_mask(1 << 32), "not 4294967296", id="mask-too-long"),
        pytest.param(lambda: split(REED_PIER, 25), "lengths 26 to 32, not 25", id="split-shorter"),
        pytest.param(lambda: split(REED_PIER, 33), "lengths 26 to 32, not 33", id="split-longer"),
        pytest.param(lambda: prefixes_of_range(5, 4), "0.0.0.5 to 0.0.0.4", id="range"),
        pytest.param(lambda: prefixes_of_range(5, 1 << 32), "not 4294967296", id="range-too-far"),
    ],
)
def test_numbers_out_of_range_are_refused(call, complaint):
    with pytest.raises(PrefixError, match=complaint):
        call()


def test_all_errors_are_value_errors():
    assert issubclass(PrefixError, ValueError)


def test_first_and_last_address_belong_to_a_prefix_and_their_neighbours_do_not():
    inside = [REED_PIER.first, REED_PIER.last]
    outside = [REED_PIER.first - 1, REED_PIER.last + 1]
    assert [REED_PIER.contains(address) for address in inside + outside] == [True] * 2 + [False] * 2


@pytest.mark.parametrize("bits", [32, 128])
def test_length_zero_holds_everything_and_the_full_length_one_address(bits):
    everything, last = Prefix(0, 0, bits), (1 << bits) - 1
    assert everything.contains(0)
    assert everything.contains(last)
    assert everything.size == 1 << bits
    assert Prefix(last, bits, bits).first == Prefix(last, bits, bits).last == last


def test_families_never_cover_each_other():
    ipv4, ipv6 = parse_prefix("0.0.0.0/0"), parse_prefix("::/0")
    assert ipv4 != ipv6
    assert not ipv4.covers(ipv6)
    assert not ipv6.covers(ipv4)
    assert aggregate([ipv4, ipv6]) == [ipv4, ipv6]


def test_a_covering_prefix_sorts_before_those_inside_it():
    texts = ["192.0.2.128/25", "192.0.2.0/32", "192.0.2.0/24", "192.0.2.0/25"]
    in_order = ["192.0.2.0/24", "192.0.2.0/25", "192.0.2.0/32", "192.0.2.128/25"]
    assert [str(prefix) for prefix in sorted(map(parse_prefix, texts))] == in_order


def test_neighbours_that_are_no_halves_are_not_joined():
    """10.0.1.0/24 and 10.0.2.0/24 touch, but no single prefix holds just these two."""
    parts = [parse_prefix("10.0.1.0/24"), parse_prefix("10.0.2.0/24")]
    assert aggregate(parts) == parts


def test_splitting_into_very_many_parts_makes_one_at_a_time():
    parts = split(parse_prefix("::/0"), 128)
    assert str(next(parts)) == "::/128"


def test_a_prefix_cannot_be_changed():
    with pytest.raises(AttributeError):
        REED_PIER.length = 25
    with pytest.raises(AttributeError):
        REED_PIER.name = "Reed Pier"


def test_equal_prefixes_are_the_same_key():
    assert {REED_PIER: 1}[parse_prefix("192.0.2.64/255.255.255.192")] == 1


@pytest.mark.parametrize("duplicate", [copy.deepcopy, lambda it: pickle.loads(pickle.dumps(it))])
def test_prefixes_can_be_copied_and_stored(duplicate):
    assert duplicate(REED_PIER) == REED_PIER
    assert isinstance(duplicate(REED_PIER), Prefix)


def test_people_read_text():
    assert str(REED_PIER) == "192.0.2.64/26"
    assert repr([REED_PIER]) == "[Prefix(192.0.2.64/26)]"
