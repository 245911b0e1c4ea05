"""Checksums that are printed in the standards and elsewhere.

RFC 1071 and RFC 1624 print sums and updates. Three worked headers come from web publications that
are named beside them; each was also confirmed with Scapy.
"""

import random

import numpy as np
import pytest

from course_lib.checksum import (
    are_intact,
    checksum,
    checksums,
    is_intact,
    ones_complement_sum,
    ones_complement_sums,
    update_checksum,
)

# RFC 1071, section 3: the octets of the worked example.
RFC_1071 = bytes.fromhex("0001 f203 f4f5 f6f7")


def test_the_sum_of_rfc_1071_section_3():
    """The RFC prints the sum 0xddf2; the checksum is its complement."""
    assert ones_complement_sum(RFC_1071) == 0xDDF2
    assert checksum(RFC_1071) == 0x220D


def test_the_sum_does_not_depend_on_the_order_of_octets():
    """RFC 1071, section 3: summed byte-swapped it is 0xf2dd, which swaps back to 0xddf2."""
    swapped = bytes.fromhex("0100 03f2 f5f4 f7f6")
    assert ones_complement_sum(swapped) == 0xF2DD


def test_a_block_may_be_cut_at_an_odd_octet():
    """RFC 1071, section 3: parts of three and five octets give f201 and f0eb."""
    first, second = ones_complement_sum(RFC_1071[:3]), ones_complement_sum(RFC_1071[3:])
    assert (first, second) == (0xF201, 0xF0EB)
    swapped = second.to_bytes(2, "little")
    assert ones_complement_sum(first.to_bytes(2, "big") + swapped) == 0xDDF2


PUBLISHED_HEADERS = [
    # An encyclopedia's article on the Internet checksum, which prints every step.
    pytest.param("4500 0073 0000 4000 4011 0000 c0a8 0001 c0a8 00c7", 0xB861, id="article"),
    # An older revision of the same article.
    pytest.param("4500 0030 4422 4000 8006 0000 8c7c 19ac ae24 1e2b", 0x442E, id="older"),
    # A question-and-answer site, which prints the sum 0x11b3e.
    pytest.param("4500 0054 41e0 4000 4001 0000 0a00 0004 0a00 0005", 0xE4C0, id="answer"),
    # RFC 791, appendix A, figure 5, with addresses from RFC 5737; checksum worked out with Scapy.
    pytest.param("4500 0015 006f 0000 7b01 0000 c000 0201 c633 6402", 0x5342, id="RFC 791"),
]


@pytest.mark.parametrize(("header", "expected"), PUBLISHED_HEADERS)
def test_published_headers(header, expected):
    octets = bytes.fromhex(header)
    assert checksum(octets) == expected
    assert is_intact(octets[:10] + expected.to_bytes(2, "big") + octets[12:])


@pytest.mark.parametrize(("header", "expected"), PUBLISHED_HEADERS)
def test_published_headers_in_an_array(header, expected):
    octets = bytes.fromhex(header)
    rows = np.frombuffer(octets * 3, np.uint8).reshape(3, 20)
    assert checksums(rows).tolist() == [expected] * 3
    assert are_intact(rows).tolist() == [False] * 3


# RFC 1624, section 4: the rest of the header sums up to 0xCD7A, one word goes from 0x5555 to
# 0x3285, and with it the checksum goes from 0xDD2F to 0x0000.
REST, OLD_WORD, NEW_WORD = 0xCD7A, 0x5555, 0x3285


def words(*numbers):
    return b"".join(number.to_bytes(2, "big") for number in numbers)


def test_the_checksums_of_rfc_1624_section_4_from_scratch():
    assert checksum(words(REST, OLD_WORD)) == 0xDD2F
    assert checksum(words(REST, NEW_WORD)) == 0x0000


def test_equation_3_of_rfc_1624_gives_zero_in_the_corner_case():
    assert update_checksum(0xDD2F, OLD_WORD, NEW_WORD) == 0x0000


def test_the_older_equation_2_gives_all_ones_there():
    """RFC 1624, section 3: HC' = HC + m + ~m' (RFC 1141) is why equation 3 was needed."""
    assert ones_complement_sum(words(0xDD2F, OLD_WORD, NEW_WORD ^ 0xFFFF)) == 0xFFFF


@pytest.mark.parametrize("field", [0x0000, 0xFFFF])
def test_a_receiver_that_sums_accepts_both_zeros(field):
    """RFC 1624, section 5."""
    assert is_intact(words(REST, NEW_WORD, field))


def test_a_time_to_live_one_lower():
    """RFC 1624, equation 3, on the article's header: 0x4011 becomes 0x3f11; Scapy agrees."""
    assert update_checksum(0xB861, 0x4011, 0x3F11) == 0xB961


def test_a_udp_checksum_that_would_be_zero_is_sent_as_all_ones():
    """RFC 768: the pseudo header is prefixed for the sum alone; octets confirmed with Scapy."""
    pseudo_header = bytes.fromhex("c0000201 c6336402 00 11 000a")
    assert checksum(pseudo_header + bytes.fromhex("03e807d0000a0000 07eb")) == 0x0000
    assert is_intact(pseudo_header + bytes.fromhex("03e807d0000affff 07eb"))


def intact_rows(count, octets, rng):
    """Random blocks that end in their own checksum."""
    rows = np.frombuffer(rng.randbytes(count * octets), np.uint8).reshape(count, octets).copy()
    rows[:, -2:] = 0
    right = checksums(rows)
    rows[:, -2], rows[:, -1] = right >> 8, right & 0xFF
    return rows


def test_every_burst_of_up_to_15_bits_is_noticed():
    """IEN 45 (reprinted with RFC 1071): all single-bit errors and all bursts of 15 bits or less."""
    rng = random.Random(1071)
    damaged = intact_rows(20_000, 20, rng)
    for row in damaged:
        burst = rng.randrange(1, 1 << 15) << rng.randrange(160 - 15 + 1)
        row ^= np.frombuffer(burst.to_bytes(20, "big"), np.uint8)
    assert not are_intact(damaged).any()


def test_one_in_65_535_random_replacements_slips_through():
    """Ones' complement has 65,535 different sums, not 65,536: arithmetic, no published table.

    Two million random blocks let 30.5 pass on average; five standard deviations are 28.
    """
    rows = np.frombuffer(random.Random(65_535).randbytes(2_000_000 * 8), np.uint8).reshape(-1, 8)
    assert abs(int(are_intact(rows).sum()) - 2_000_000 / 65_535) < 28


def test_two_flipped_bits_slip_through_as_often_as_ien_45_says():
    """IEN 45 prints the limit 1/32 for long blocks. For k words it is (k-1)/(2(16k-1)), derived."""
    rows = intact_rows(300, 20, random.Random(45))
    missed = tried = 0
    for first in range(160):
        for second in range(first):
            damaged = rows.copy()
            damaged[:, first // 8] ^= 0x80 >> first % 8
            damaged[:, second // 8] ^= 0x80 >> second % 8
            missed, tried = missed + int(are_intact(damaged).sum()), tried + len(rows)
    assert missed / tried == pytest.approx(9 / (2 * 159), abs=0.001)


def test_the_sum_of_two_zero_words_and_of_an_all_ones_word():
    """RFC 1071, section 2: ones' complement has two zeros; only zeros add up to +0."""
    assert ones_complement_sum(words(0, 0)) == 0x0000
    assert ones_complement_sum(words(0xFFFF, 0)) == 0xFFFF
    assert ones_complement_sums(np.array([[0, 0], [0xFFFF, 0]], np.uint16)).tolist() == [0, 0xFFFF]
