"""Prefixes as the standards print them."""

import pytest

from course_lib.prefixes.plan import check_plan, host_count
from course_lib.prefixes.prefix import aggregate, length_of_mask, parse_prefix, prefix_around, split
from course_lib.prefixes.text import PrefixError, format_address, parse_address

# RFC 4632, section 6.1: a provider's block and what its six customers get. The section's figure
# prints C4 as a /20, which is not a prefix; its text says four /24s, that is a /22.
PROVIDER = parse_prefix("10.24.0.0/13")
CUSTOMERS = {
    # customer: (prefix, mask, number of /24s)
    "C1": ("10.24.0.0/21", "255.255.248.0", 8),
    "C2": ("10.24.16.0/20", "255.255.240.0", 16),
    "C3": ("10.24.8.0/22", "255.255.252.0", 4),
    "C4": ("10.24.12.0/22", "255.255.252.0", 4),
    "C5": ("10.24.32.0/23", "255.255.254.0", 2),
    "C6": ("10.24.34.0/23", "255.255.254.0", 2),
}

# RFC 4632, section 3.1, table: addresses in one prefix, and number of prefixes, of a length.
SIZES = [
    (29, 8, 536_870_912),
    (28, 16, 268_435_456),
    (27, 32, 134_217_728),
    (26, 64, 67_108_864),
    (25, 128, 33_554_432),
    (24, 256, 16_777_216),
    (23, 512, 8_388_608),
    (22, 1_024, 4_194_304),
    (21, 2_048, 2_097_152),
    (20, 4_096, 1_048_576),
    (19, 8_192, 524_288),
    (18, 16_384, 262_144),
    (17, 32_768, 131_072),
    (16, 65_536, 65_536),
    (13, 524_288, 8_192),
    (10, 4_194_304, 1_024),
]


def test_the_providers_block():
    """RFC 4632, section 6.1."""
    assert PROVIDER.size == 524_288
    assert format_address(PROVIDER.mask) == "255.248.0.0"
    assert format_address(PROVIDER.first) == "10.24.0.0"
    assert format_address(PROVIDER.last) == "10.31.255.255"
    assert sum(1 for _ in split(PROVIDER, 24)) == 2048


@pytest.mark.parametrize(("text", "mask", "blocks"), CUSTOMERS.values(), ids=CUSTOMERS)
def test_the_customers_of_the_provider(text, mask, blocks):
    """RFC 4632, section 6.1."""
    prefix = parse_prefix(text)
    assert format_address(prefix.mask) == mask
    assert len(list(split(prefix, 24))) == blocks
    assert PROVIDER.covers(prefix)
    assert parse_prefix(f"{format_address(prefix.network)}/{mask}") == prefix


def test_the_customers_do_not_overlap():
    """RFC 4632, section 6.1."""
    check_plan(PROVIDER, {name: parse_prefix(row[0]) for name, row in CUSTOMERS.items()})


def test_the_customers_aggregate_to_two_prefixes():
    """Follows from RFC 4632, section 6.1: 32 + 4 blocks of 256 addresses, without a gap."""
    parts = [parse_prefix(row[0]) for row in CUSTOMERS.values()]
    assert [str(whole) for whole in aggregate(parts)] == ["10.24.0.0/19", "10.24.32.0/22"]


@pytest.mark.parametrize(("length", "addresses", "prefixes"), SIZES)
def test_addresses_and_prefixes_of_a_length(length, addresses, prefixes):
    """RFC 4632, section 3.1. The number of prefixes follows from those of one length in 0/0."""
    assert prefix_around(0, length).size == addresses
    assert parse_prefix("0.0.0.0/0").size // prefix_around(0, length).size == prefixes


@pytest.mark.parametrize(
    ("host", "mask", "network", "broadcast"),
    [
        pytest.param("36.40.0.123", "255.255.0.0", "36.40.0.0/16", "36.40.255.255", id="example-1"),
        pytest.param(
            "128.99.4.123", "255.255.252.0", "128.99.4.0/22", "128.99.7.255", id="example-2"
        ),
    ],
)
def test_network_of_a_host_and_its_mask(host, mask, network, broadcast):
    """RFC 950, appendix II, examples 1 and 2: host and mask; the rest follows from section 2."""
    found = prefix_around(parse_address(host), length_of_mask(parse_address(mask)))
    assert str(found) == network
    assert format_address(found.last) == broadcast


def test_a_mask_with_a_gap_is_refused():
    """RFC 950, appendix II, example 3 has one; under CIDR it is none (RFC 4632, section 3.1)."""
    with pytest.raises(PrefixError, match=r"255\.255\.255\.88 is not contiguous"):
        parse_prefix("192.0.2.0/255.255.255.88")


@pytest.mark.parametrize(
    ("block", "last"),
    [
        ("10.0.0.0/8", "10.255.255.255"),
        ("172.16.0.0/12", "172.31.255.255"),
        ("192.168.0.0/16", "192.168.255.255"),
    ],
)
def test_private_blocks_end_where_the_rfc_says(block, last):
    """RFC 1918, section 3."""
    assert format_address(parse_prefix(block).last) == last


@pytest.mark.parametrize(("length", "hosts"), [(16, 65_534), (24, 254), (29, 6), (30, 2)])
def test_hosts_on_a_link(length, hosts):
    """RFC 1812, section 4.2.2.11: the host numbers 0 and -1 are not for hosts."""
    assert host_count(prefix_around(parse_address("198.51.100.1"), length)) == hosts


def test_both_addresses_of_a_31_are_hosts():
    """RFC 3021, sections 1 and 2: two in place of four addresses, 1,000 saved on 500 links."""
    link = parse_prefix("192.0.2.0/31")
    assert host_count(link) == 2
    assert 500 * (prefix_around(0, 30).size - link.size) == 1000
