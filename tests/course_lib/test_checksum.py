"""What the checksum promises, what it cannot do, and that many at once are like one by one."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from course_lib.checksum import (
    are_intact,
    checksum,
    checksums,
    is_intact,
    ones_complement_sum,
    ones_complement_sums,
    update_checksum,
)

# A header of the ferry network with its checksum; added up by hand: the other words sum up to
# 0x26ad1, with the carries brought in to 0x6ad3, so the checksum is 0x952c.
HEADER = bytes.fromhex("4500 0054 1c46 4000 4001 952c c000 0201 c633 0102")

WORD = st.integers(0, 0xFFFF)


def sum_by_definition(data):
    """RFC 1071, section 1: add word after word; a carry comes back in at once."""
    total = 0
    for at in range(0, len(data), 2):
        total += int.from_bytes(data[at : at + 2].ljust(2, b"\0"), "big")
        total = total - 0xFFFF if total > 0xFFFF else total
    return total


def words(*numbers):
    return b"".join(number.to_bytes(2, "big") for number in numbers)


def test_agrees_with_the_sum_done_by_hand():
    assert checksum(HEADER[:10] + bytes(2) + HEADER[12:]) == 0x952C
    assert is_intact(HEADER)


@pytest.mark.parametrize(
    ("data", "total"),
    [
        pytest.param(b"", 0x0000, id="empty"),
        pytest.param(b"\0", 0x0000, id="one octet of zero"),
        pytest.param(bytes(20), 0x0000, id="zero throughout"),
        pytest.param(b"\xab", 0xAB00, id="an odd octet is the high half"),
        pytest.param(b"\x00\x01\xab", 0xAB01, id="the odd octet comes last"),
        pytest.param(b"\xff\xff\x00\x01", 0x0001, id="the carry comes back in"),
        pytest.param(b"\xff\xff\xff\xff\x00\x01", 0x0001, id="twice"),
        pytest.param(b"\xff\xff", 0xFFFF, id="all ones stay all ones"),
        pytest.param(b"\xff\xfe\x00\x01", 0xFFFF, id="a sum of all ones is not zero"),
        pytest.param(b"\x80\x00\x80\x00", 0x0001, id="two halves"),
    ],
)
def test_sum_at_the_edges(data, total):
    assert ones_complement_sum(data) == total
    assert checksum(data) == total ^ 0xFFFF
    assert is_intact(data) == (total == 0xFFFF)


@given(data=st.binary(max_size=1500))
def test_sum_is_that_of_the_definition(data):
    total = sum_by_definition(data)
    assert ones_complement_sum(data) == total
    assert checksum(data) == 0xFFFF - total


@given(data=st.binary(max_size=100).filter(any))
def test_any_data_with_their_checksum_behind_them_are_intact(data):
    padded = data + bytes(len(data) % 2)
    assert is_intact(padded + checksum(padded).to_bytes(2, "big"))


@pytest.mark.parametrize("bit", range(160))
def test_any_single_flipped_bit_is_noticed(bit):
    damaged = bytearray(HEADER)
    damaged[bit // 8] ^= 0x80 >> (bit % 8)
    assert not is_intact(bytes(damaged))


@given(order=st.permutations([HEADER[at : at + 2] for at in range(0, 20, 2)]))
def test_words_in_another_order_are_not_noticed(order):
    """The known blind spot."""
    assert is_intact(b"".join(order))


@given(first=WORD, second=WORD, more=st.integers(0, 0xFFFF))
def test_errors_that_cancel_out_are_not_noticed(first, second, more):
    assume(first + more <= 0xFFFF and second >= more and first + second > 0)
    assert checksum(words(first, second)) == checksum(words(first + more, second - more))


def test_input_is_not_changed():
    data = bytearray(b"\x01\x02\x03")
    checksum(data)
    assert data == b"\x01\x02\x03"


# --- incremental update -------------------------------------------------------------------------


@given(before=st.lists(WORD, min_size=1, max_size=30), at=st.integers(0, 29), new=WORD)
def test_an_update_equals_the_checksum_from_scratch(before, at, new):
    """For all data that do not become zero throughout."""
    at %= len(before)
    after = [*before[:at], new, *before[at + 1 :]]
    assume(any(after))
    updated = update_checksum(checksum(words(*before)), before[at], new)
    assert updated == checksum(words(*after))


@pytest.mark.parametrize("word", [1, 0x4011, 0xFFFF])
def test_an_update_to_zero_throughout_is_the_one_case_that_differs(word):
    assert update_checksum(checksum(words(0, word)), word, 0) == 0x0000
    assert checksum(words(0, 0)) == 0xFFFF


@given(old=WORD, new=WORD, rest=st.integers(1, 0xFFFF))
def test_an_updated_header_is_intact(old, new, rest):
    before = checksum(words(rest, old))
    assert is_intact(words(rest, new, update_checksum(before, old, new)))


def test_an_unchanged_word_leaves_a_checksum_as_it_was_even_if_it_is_zero():
    for value in (0x0000, 0x1234, 0xFFFE):
        assert update_checksum(value, 0x5555, 0x5555) == value


@pytest.mark.parametrize("arguments", [(0x10000, 0, 0), (0, 0x10000, 0), (0, 0, -1), (-1, 0, 0)])
def test_an_update_takes_only_words(arguments):
    with pytest.raises(ValueError, match="must be 0 to 65535"):
        update_checksum(*arguments)


# --- many at once -------------------------------------------------------------------------------


@given(data=st.data(), octets=st.integers(1, 61), count=st.integers(0, 8))
def test_rows_of_octets_are_summed_like_one_by_one(data, octets, count):
    special = st.sampled_from([bytes(octets), b"\xff" * octets])
    packets = data.draw(
        st.lists(
            st.binary(min_size=octets, max_size=octets) | special, min_size=count, max_size=count
        )
    )
    rows = np.frombuffer(b"".join(packets), np.uint8).reshape(count, octets)
    assert ones_complement_sums(rows).tolist() == [ones_complement_sum(each) for each in packets]
    assert checksums(rows).tolist() == [checksum(each) for each in packets]
    assert are_intact(rows).tolist() == [is_intact(each) for each in packets]


@given(rows=st.lists(st.lists(WORD, min_size=10, max_size=10), min_size=1, max_size=8))
def test_rows_of_words_are_summed_like_one_by_one(rows):
    expected = [ones_complement_sum(words(*row)) for row in rows]
    assert ones_complement_sums(np.array(rows, np.uint16)).tolist() == expected
    assert ones_complement_sums(np.array(rows, ">u2")).tolist() == expected


def test_short_packets_may_be_filled_up_with_zeros():
    rows = np.zeros((1, 60), np.uint8)
    rows[0, :20] = list(HEADER)
    assert are_intact(rows).tolist() == [True]


def test_columns_cut_out_of_a_larger_array_are_summed_as_they_stand():
    frames = np.zeros((3, 34), np.uint8)
    frames[:, 14:] = list(HEADER)
    assert are_intact(frames[:, 14:]).tolist() == [True, True, True]
    assert are_intact(frames[::2, 14:]).tolist() == [True, True]
    assert are_intact(np.asfortranarray(frames)[:, 14:]).tolist() == [True, True, True]


def test_the_longest_packets_do_not_overflow():
    rows = np.full((1, 65_535), 0xFF, np.uint8)
    assert ones_complement_sums(rows).tolist() == [ones_complement_sum(b"\xff" * 65_535)]


def test_results_have_one_element_per_packet_and_16_bits():
    sums = checksums(np.zeros((4, 20), np.uint8))
    assert (sums.shape, sums.dtype) == ((4,), np.uint16)


def test_rows_are_not_changed():
    rows = np.frombuffer(HEADER, np.uint8).reshape(1, 20).copy()
    checksums(rows)
    assert rows.tobytes() == HEADER


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param(np.zeros(20, np.uint8), id="one dimension"),
        pytest.param(np.zeros((2, 2, 20), np.uint8), id="three dimensions"),
        pytest.param(np.zeros((2, 20), np.int16), id="signed"),
        pytest.param(np.zeros((2, 20), np.uint32), id="32 bits"),
        pytest.param(np.zeros((2, 20), np.float16), id="floating point"),
        pytest.param(np.zeros((2, 20), np.bool_), id="truth values"),
    ],
)
def test_arrays_of_another_form_are_refused(rows):
    with pytest.raises(ValueError, match=r"2-D array of uint8 .* or uint16"):
        ones_complement_sums(rows)
