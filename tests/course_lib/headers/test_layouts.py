"""The table of layouts says exactly what the header types do, bit by bit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import ARP, ETHERNET, ICMP, IPV4, LAYOUTS, TCP, UDP, describe
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader

# One header of each type in which every bit that is free is zero.
ZEROS = {
    "Ethernet": EthernetHeader(bytes(6), bytes(6), 0),
    "ARP": ARPPacket(0, bytes(6), 0, bytes(6), 0),
    "IPv4": IPv4Header(0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
    "ICMP": ICMPHeader(0, 0, 0, 0),
    "UDP": UDPHeader(0, 0, 0, 0),
    "TCP": TCPHeader(0, 0, 0, 0, 0, 0, 0, 0, 0),
}
ALL_FIELDS = [
    pytest.param(each, f, id=f"{each.name}-{f.name}") for each in LAYOUTS for f in each.fields
]
FREE_FIELDS = [
    case for case in ALL_FIELDS if case.values[1].name in ZEROS[case.values[0].name]._fields
]


def cut_out(octets, field):
    """Read the bits of a field, counted from the beginning, straight from the definition."""
    text = "".join(f"{octet:08b}" for octet in octets)
    return int(text[field.first_bit : field.first_bit + field.bits], 2)


def as_number(value):
    return int.from_bytes(value, "big") if isinstance(value, bytes) else value


def like(value, number):
    """Return `number` in the form of `value`: six octets, or itself."""
    return number.to_bytes(6, "big") if isinstance(value, bytes) else number


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_fields_follow_each_other_without_gap_or_overlap(layout):
    ends = [field.first_bit + field.bits for field in layout.fields]
    assert [field.first_bit for field in layout.fields] == [0, *ends[:-1]]
    assert ends[-1] == layout.octets * 8
    assert len({field.name for field in layout.fields}) == len(layout.fields)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_the_fixed_part_is_as_long_as_the_octets_that_are_built(layout):
    assert len(ZEROS[layout.name].build()) == layout.octets
    assert ZEROS[layout.name].layout is layout


@pytest.mark.parametrize(("layout", "field"), FREE_FIELDS)
def test_a_bit_of_a_field_changes_its_bit_of_the_header_and_no_other(layout, field):
    zeros = ZEROS[layout.name]
    before = as_number(zeros.build())
    for place in range(field.bits):
        value = like(getattr(zeros, field.name), 1 << place)
        after = as_number(zeros._replace(**{field.name: value}).build())
        last_bit = field.first_bit + field.bits - 1
        assert before ^ after == 1 << (layout.octets * 8 - 1 - (last_bit - place))


@pytest.mark.parametrize(("layout", "field"), ALL_FIELDS)
def test_every_field_can_be_read_from_a_header_and_stands_where_the_table_says(layout, field):
    header = ZEROS[layout.name]
    assert cut_out(header.build(), field) == as_number(getattr(header, field.name))


@pytest.mark.parametrize(
    ("layout", "field"), [case for case in ALL_FIELDS if case.values[1].always is not None]
)
def test_a_field_with_one_allowed_value_has_it(layout, field):
    assert getattr(ZEROS[layout.name], field.name) == field.always


@pytest.mark.parametrize("words", range(11))
@pytest.mark.parametrize("name", ["IPv4", "TCP"])
def test_the_length_field_follows_the_options(name, words):
    header = ZEROS[name]._replace(options=bytes(4 * words))
    length = header.layout.field({"IPv4": "header_length", "TCP": "data_offset"}[name])
    assert cut_out(header.build(), length) == getattr(header, length.name) == 5 + words


# What must stand in the octets so that the rest can be anything.
FIXED = {
    "Ethernet": lambda octets: octets[:12] + bytes([octets[12] | 0x06, octets[13]]),
    "ARP": lambda octets: bytes.fromhex("0001080006 04") + octets[6:],
    "IPv4": lambda octets: b"\x45" + octets[1:2] + b"\0\x14" + octets[4:],
    "ICMP": lambda octets: octets,
    "UDP": lambda octets: octets[:4] + b"\0\x08" + octets[6:],
    "TCP": lambda octets: octets[:12] + bytes([0x50 | octets[12] & 0x0F]) + octets[13:],
}


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@given(data=st.data())
def test_parsing_finds_in_each_field_the_bits_that_the_table_gives_it(layout, data):
    random_octets = data.draw(st.binary(min_size=layout.octets, max_size=layout.octets))
    octets = FIXED[layout.name](random_octets)
    header = type(ZEROS[layout.name]).parse(octets)
    found = [as_number(getattr(header, field.name)) for field in layout.fields]
    assert found == [cut_out(octets, field) for field in layout.fields]


def test_the_tables_are_those_of_six_protocols():
    assert LAYOUTS == (ETHERNET, ARP, IPV4, ICMP, UDP, TCP)
    assert [layout.name for layout in LAYOUTS] == list(ZEROS)


@pytest.mark.parametrize(("layout", "field"), ALL_FIELDS)
def test_every_field_has_a_meaning_and_a_source(layout, field):
    assert field.meaning
    assert field.source.startswith(("RFC ", "IEEE "))


@pytest.mark.parametrize(("layout", "field"), FREE_FIELDS)
def test_help_shows_the_meaning_from_the_table(layout, field):
    help_text = getattr(type(ZEROS[layout.name]), field.name).__doc__
    assert help_text == f"{field.meaning} ({field.bits} bits; {field.source})"


@pytest.mark.parametrize(
    ("layout", "name", "largest", "octet"),
    [(IPV4, "flags", 7, 6), (IPV4, "fragment_offset", 8191, 6), (UDP, "length", 65_535, 4)],
)
def test_a_field_knows_its_largest_number_and_its_octet(layout, name, largest, octet):
    assert layout.field(name).largest == largest
    assert layout.field(name).octet == octet


def test_an_unknown_field_is_a_key_error():
    with pytest.raises(KeyError, match="hop_limit"):
        IPV4.field("hop_limit")


@pytest.mark.parametrize(
    ("layout", "name", "value", "text"),
    [
        (ETHERNET, "source", bytes.fromhex("00005e005301"), "00:00:5e:00:53:01"),
        (ETHERNET, "ether_type", 0x0800, "0x0800"),
        (IPV4, "source", 0xC0000201, "192.0.2.1"),
        (IPV4, "checksum", 0x61, "0x0061"),
        (IPV4, "flags", 2, "0x2"),
        (IPV4, "time_to_live", 64, "64"),
    ],
)
def test_values_are_written_as_people_write_them(layout, name, value, text):
    assert layout.field(name).to_text(value) == text


def test_describe_puts_one_field_on_a_line_and_the_options_last():
    header = ZEROS["IPv4"]._replace(time_to_live=64, source=0xC0000201, options=b"\x01\x01\x01\0")
    lines = describe(header).splitlines()
    assert [line.split()[0] for line in lines] == [*(f.name for f in IPV4.fields), "options"]
    assert lines[7].split()[:2] == ["time_to_live", "64"]
    assert lines[10].split()[:2] == ["source", "192.0.2.1"]
    assert lines[12].split() == ["options", "01", "01", "01", "00"]


def test_describe_leaves_the_line_out_if_there_are_no_options():
    assert len(describe(ZEROS["UDP"]).splitlines()) == 4
