"""The header explorer follows every control, in picture and in words."""

import random
import xml.etree.ElementTree as ET

import ipywidgets as widgets
import pytest

from course_lib.figures.headers.header_diagram import header_diagram
from course_lib.figures.headers.header_fields import read_header
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import IPV4, LAYOUTS, UDP
from course_lib.headers.transport import TCPHeader, UDPHeader
from course_lib.widgets.header_explorer import explore_header
from course_lib.widgets.header_remarks import change_in_words

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum()
OCTETS = HEADER.build()


@pytest.fixture
def explorer():
    return explore_header(OCTETS)


def choose(explorer, field):
    explorer.field.value = field
    return explorer


def test_it_begins_with_the_plain_diagram(explorer):
    assert explorer.picture.value == header_diagram(OCTETS, chosen_bit=0).svg
    assert "Nothing has changed." in explorer.words.value
    assert "the checksum agrees" in explorer.words.value
    assert "Parse accepts the header." in explorer.words.value


@pytest.mark.parametrize("field", IPV4.fields, ids=lambda field: field.name)
def test_a_field_that_is_chosen_shows_its_value_and_its_first_bit(explorer, field):
    choose(explorer, field.name)
    assert explorer.value.value == getattr(HEADER, field.name)
    assert explorer.value.max == field.largest
    assert explorer.bit.value == field.first_bit
    assert explorer.octets == OCTETS


@pytest.mark.parametrize(
    ("field", "value"),
    [("time_to_live", 63), ("flags", 7), ("source", 0xFFFFFFFF), ("fragment_offset", 8191)],
)
def test_a_value_that_is_given_changes_the_octets(explorer, field, value):
    choose(explorer, field).value.value = value
    assert explorer.octets == HEADER._replace(**{field: value}).build()
    assert f"{field.replace('_', ' ').capitalize()}: " in explorer.words.value
    assert ">changed<" in explorer.picture.value


def test_a_flipped_bit_changes_its_field(explorer):
    """RFC 791, section 3.1: time to live is octet 8; its first bit is bit 64, worth 128."""
    choose(explorer, "time_to_live").flip.click()
    assert explorer.octets[8] == 64 + 128
    assert explorer.value.value == 192
    assert (
        "Bit 64 is the highest bit of time to live, worth 128. Time to live: 64 → 192. "
        "Octet 8: 40 → c0." in explorer.words.value
    )


def test_the_checksum_and_the_parser_are_asked_each_time(explorer):
    choose(explorer, "time_to_live").flip.click()
    assert "the checksum does not agree" in explorer.words.value
    assert "Parse refuses the header, wrong checksum: IPv4 checksum" in explorer.words.value
    explorer.flip.click()
    assert "the checksum agrees" in explorer.words.value
    assert "Parse accepts" in explorer.words.value


def test_slider_and_number_of_the_bit_move_together(explorer):
    explorer.bit.value = 86
    assert explorer.bit_number.value == 86
    explorer.bit_number.value = 159
    assert explorer.bit.value == 159
    assert "Bit 159: the lowest bit of destination." in explorer.place.value
    assert "chosen bit: bit 159" in explorer.picture.value


def test_moving_the_slider_changes_no_octet(explorer):
    for bit in range(160):
        explorer.bit.value = bit
    assert explorer.octets == OCTETS


def test_every_bit_can_be_flipped_and_flipped_back(explorer):
    for bit in range(160):
        explorer.bit.value = bit
        explorer.flip.click()
        assert explorer.octets != OCTETS
        explorer.flip.click()
    assert explorer.octets == OCTETS


def test_start_again_undoes_everything(explorer):
    choose(explorer, "version").value.value = 6
    explorer.bit.value = 5
    explorer.flip.click()
    explorer.start_again.click()
    assert explorer.octets == OCTETS
    assert explorer.value.value == 4
    assert ">changed<" not in explorer.picture.value
    assert "Parse accepts" in explorer.words.value


def test_a_number_that_is_too_large_becomes_the_largest(explorer):
    choose(explorer, "header_length").value.value = 99
    assert explorer.value.value == 15
    assert "0 to 15, now 15 = 0xf" in explorer.range.value


def test_a_wrong_version_is_refused_in_the_words_of_the_parser(explorer):
    choose(explorer, "version").value.value = 6
    assert "Parse refuses the header, wrong version: IPv4 version (octet 0) is 6" in (
        explorer.words.value
    )


def test_a_header_length_that_lies_shows_options_that_are_missing(explorer):
    choose(explorer, "header_length").value.value = 7
    assert "The checksum cannot be checked" in explorer.words.value
    assert "the header says that it has 28 octets, 20 are there" in explorer.twin.value
    assert "wrong header length" in explorer.words.value


def test_a_bit_that_comes_to_lie_behind_the_header_can_be_chosen_and_flipped():
    explorer = explore_header(HEADER._replace(options=bytes(8)).build())
    explorer.field.value = "header_length"
    explorer.bit.value = 200
    explorer.value.value = 5
    assert "Bit 200: behind the header now." in explorer.place.value
    explorer.flip.click()
    assert explorer.octets[25] == 0x80


def test_a_packet_keeps_its_payload_and_a_header_alone_is_parsed_as_if_it_had_one():
    packet = OCTETS + bytes(64)
    for octets in (OCTETS, packet):
        explorer = explore_header(octets)
        assert "Parse accepts" in explorer.words.value
        explorer.field.value = "total_length"
        explorer.value.value = 85
        assert "Parse refuses the header, wrong checksum" in explorer.words.value
        assert explorer.octets[20:] == octets[20:]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_every_header_can_be_explored(layout):
    explorer = explore_header(bytes(layout.octets), layout.name)
    for field in layout.fields:
        explorer.field.value = field.name
        explorer.value.value = field.largest
    assert explorer.octets == b"\xff" * layout.octets
    assert "Parse" in explorer.words.value


def test_the_parser_of_each_header_is_the_one_that_is_asked():
    udp, tcp = UDPHeader(1, 2, 7, 0).build(), TCPHeader(1, 2, 3, 4, 0, 0, 7, 8, 9).build()
    assert "wrong UDP length" in explore_header(udp, "UDP").words.value
    assert "Parse accepts" in explore_header(tcp, "TCP").words.value


@pytest.mark.parametrize("present", [1, 2, 13, 19])
def test_a_header_that_is_cut_short_can_be_explored(present):
    explorer = explore_header(OCTETS[:present])
    explorer.bit.value = present * 8 - 1
    explorer.flip.click()
    assert explorer.octets[-1] == OCTETS[present - 1] ^ 1
    assert "Parse refuses the header, cut short" in explorer.words.value


def test_octets_too_few_for_any_field_leave_the_bits():
    explorer = explore_header(bytes(3), "Ethernet")
    explorer.flip.click()
    assert explorer.octets == b"\x80\0\0"
    assert explorer.value.disabled


def test_no_octets_and_no_bytes_are_refused():
    with pytest.raises(ValueError, match="at least one octet"):
        explore_header(b"")
    with pytest.raises(TypeError, match="must be given as bytes"):
        explore_header(20)
    with pytest.raises(ValueError, match="no header called"):
        explore_header(OCTETS, "IPv5")


def test_every_control_can_be_named(explorer):
    named = [
        explorer.field,
        explorer.value,
        explorer.bit_number,
        explorer.flip,
        explorer.start_again,
    ]
    assert all(control.description for control in named)
    assert explorer.bit.tooltip  # has no name in ipywidgets; the number beside it has
    rows = [control for row in explorer.box.children[:3] for control in row.children]
    inputs = (widgets.Dropdown, widgets.BoundedIntText, widgets.IntSlider, widgets.Button)
    assert {*named, explorer.bit} == {control for control in rows if isinstance(control, inputs)}


def test_the_text_twin_says_what_the_picture_shows(explorer):
    choose(explorer, "time_to_live").flip.click()
    figure = header_diagram(explorer.octets, changed_bits=[64], chosen_bit=64)
    assert explorer.picture.value == figure.svg
    assert "time to live" in explorer.twin.value
    assert ET.fromstring(explorer.picture.value).get("role") == "img"
    assert ET.fromstring(f"<a>{explorer.twin.value}</a>")[0].text == figure.text


@pytest.mark.parametrize("seed", range(5))
def test_after_any_moves_picture_and_controls_agree_with_the_octets(explorer, seed):
    rng = random.Random(seed)
    for _ in range(40):
        explorer.field.value = rng.choice(IPV4.fields).name
        explorer.value.value = rng.randrange(2**13)
        explorer.bit.value = rng.randrange(160)
        explorer.flip.click()
    field = read_header(explorer.octets, IPV4).at(IPV4.field(explorer.field.value).first_bit)
    assert explorer.value.value == field.value
    assert field.text in explorer.twin.value
    assert explorer.notice.value == ""


def test_changes_are_told_field_by_field_and_octet_by_octet():
    words = change_in_words(bytes.fromhex("03e807d0000b4386"), bytes(8), UDP)
    assert words.startswith("Source port: 1000 → 0; destination port: 2000 → 0; length: 11 → 0")
    assert "Octets 0: 03 → 00, 1: e8 → 00" in words
    assert change_in_words(OCTETS, OCTETS, IPV4) == "Nothing has changed."
