"""Fields are read and changed by their layout, from octets that may be wrong."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from course_lib.figures.headers.header_fields import (
    bit_in_words,
    read_header,
    with_field,
    with_flipped_bit,
)
from course_lib.headers.ethernet import ARPPacket
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import ARP, IPV4, LAYOUTS, TCP, UDP
from course_lib.headers.transport import TCPHeader, UDPHeader

ANY_LAYOUT = st.sampled_from(LAYOUTS)
HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0x1234, 0xC000020A, 0xC6336407)


def number(value):
    """Hardware addresses are octets in the header types, and numbers here."""
    return int.from_bytes(value) if isinstance(value, bytes) else value


@pytest.mark.parametrize(
    "header",
    [
        HEADER,
        ARPPacket(2, b"\0\0\x5e\0\x53\1", 0xC0000201, b"\0\0\x5e\0\x53\2", 0xC0000202),
        UDPHeader(1000, 2000, 11, 0x4386),
        TCPHeader(1, 2, 3, 4, 0, 0x12, 7, 8, 9),
    ],
    ids=lambda header: type(header).__name__,
)
def test_values_are_those_of_the_header_types(header):
    reading = read_header(header.build(), header.layout)
    for field in reading.fields:
        assert field.value == number(getattr(header, field.field.name))
    assert reading.problems == ()
    assert reading.behind == 0


@given(ANY_LAYOUT, st.binary(max_size=80))
def test_any_octets_can_be_read_and_every_bit_belongs_to_one_field(layout, octets):
    reading = read_header(octets, layout)
    assert [bit for field in reading.fields for bit in field.bits] == list(range(reading.bits))
    assert len(reading.octets) + reading.behind == len(octets)
    assert reading.bits >= layout.octets * 8
    assert octets.startswith(reading.octets)


@given(ANY_LAYOUT, st.binary(max_size=80))
def test_what_is_too_short_is_called_a_problem(layout, octets):
    assume(len(octets) < layout.octets)
    reading = read_header(octets, layout)
    assert any(
        problem.startswith(f"{layout.name} header is cut short") for problem in reading.problems
    )
    assert reading.fields[len(layout.fields) - 1].value is None


@given(ANY_LAYOUT, st.data())
def test_a_field_that_is_set_is_read_back_and_no_other_bit_moves(layout, data):
    octets = data.draw(st.binary(min_size=layout.octets, max_size=70))
    field = data.draw(st.sampled_from(layout.fields))
    value = data.draw(st.integers(0, field.largest))
    changed = with_field(octets, field, value)
    reading = next(one for one in read_header(changed, layout).fields if one.field == field)
    moved = int.from_bytes(octets) ^ int.from_bytes(changed)
    assert reading.value == value
    assert all(
        bit in reading.bits
        for bit in range(len(octets) * 8)
        if moved >> len(octets) * 8 - 1 - bit & 1
    )


@given(st.binary(min_size=1, max_size=60), st.data())
def test_a_bit_flipped_twice_is_as_it_was(octets, data):
    bit = data.draw(st.integers(0, len(octets) * 8 - 1))
    once = with_flipped_bit(octets, bit)
    assert once[bit // 8] ^ octets[bit // 8] == 0x80 >> bit % 8  # bit 0 is the first on the wire
    assert with_flipped_bit(once, bit) == octets


def test_options_are_read_up_to_the_header_length():
    header = HEADER._replace(options=bytes.fromhex("94040000 01010100"))
    reading = read_header(header.build() + b"data", IPV4)
    assert reading.fields[-1].text == "94 04 00 00 01 01 01 00"
    assert reading.fields[-1].bits == range(160, 224)
    assert reading.behind == 4


@pytest.mark.parametrize(
    ("octets", "layout", "problem"),
    [
        (b"\x65" + HEADER.build()[1:], IPV4, "version is 6, must be 4 (RFC 791, section 3.1)"),
        (b"\x43" + HEADER.build()[1:], IPV4, "header length is 3, must be 5 or more"),
        (b"\x48" + HEADER.build()[1:], IPV4, "the header says that it has 32 octets, 20 are there"),
        (bytes(20), TCP, "data offset is 0, must be 5 or more (RFC 9293, section 3.1)"),
        (bytes(28), ARP, "protocol address space is 0x0000, must be 0x0800"),
        (bytes(7), UDP, "UDP header is cut short: 7 octets are there, at least 8 are needed"),
    ],
)
def test_problems_are_told_with_value_and_rule(octets, layout, problem):
    assert any(told.startswith(problem) for told in read_header(octets, layout).problems)


@pytest.mark.parametrize("present", [20, 22, 24, 40])
def test_options_that_are_missing_show_as_one_row(present):
    octets = (b"\x4f" + HEADER.build()[1:] + bytes(40))[:present]
    reading = read_header(octets, IPV4)
    whole_rows = -(-present // 4)
    assert reading.bits == 32 * (whole_rows + 1)
    assert reading.fields[-1].value is None


@pytest.mark.parametrize(
    ("bit", "words"),
    [
        (64, "the highest bit of time to live, worth 128"),
        (71, "the lowest bit of time to live, worth 1"),
        (66, "number 3 of the 8 bits of time to live, worth 32"),
        (49, "number 2 of the 3 bits of flags"),
        (0, "the highest bit of version, worth 8"),
    ],
)
def test_a_bit_is_placed_in_its_field(bit, words):
    reading = read_header(HEADER.build(), IPV4)
    assert bit_in_words(reading.at(bit), bit) == words


def test_values_that_do_not_fit_are_refused():
    field = IPV4.field("time_to_live")
    for value in (-1, 256):
        with pytest.raises(ValueError, match="time_to_live must be 0 to 255"):
            with_field(HEADER.build(), field, value)
    with pytest.raises(ValueError, match="octets end before"):
        with_field(bytes(8), field, 1)


def test_bits_and_headers_that_are_not_there_are_refused():
    with pytest.raises(ValueError, match="bit must be 0 to 15, not 16"):
        with_flipped_bit(bytes(2), 16)
    with pytest.raises(ValueError, match=r"no header called 'ipv4'.*Ethernet, ARP, IPv4"):
        read_header(b"", "ipv4")


def test_text_in_the_place_of_octets_is_refused_in_words():
    with pytest.raises(TypeError, match=r"must be given as bytes.*not as str"):
        read_header("4500", IPV4)
