"""What the header types promise: fields in, octets out, and a clear refusal of everything else."""

import pickle
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers import ipv4 as headers
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader
from course_lib.prefixes.text import IPV4_BITS, format_address, format_mac, parse_address, parse_mac

PLOVER, CURLEW = parse_mac("00:00:5e:00:53:01"), parse_mac("00:00:5e:00:53:02")
NORTH_PIER, GULL_ROCK = (
    parse_address("192.0.2.1"),
    parse_address("198.51.100.2"),
)

ETHERNET = EthernetHeader(PLOVER, CURLEW, 0x0800)
ARP = ARPPacket(1, PLOVER, NORTH_PIER, bytes(6), GULL_ROCK)
IPV4 = IPv4Header(0, 28, 111, 2, 0, 64, 17, 0, NORTH_PIER, GULL_ROCK).with_checksum()
ICMP = ICMPHeader(8, 0, 0, 0x00010002).with_checksum(b"ferry")
UDP = UDPHeader(4000, 53, 8, 0x1234)
TCP = TCPHeader(4000, 80, 1, 2, 0, 0b00011000, 500, 0x1234, 0)
OPTIONS = bytes.fromhex("01010100")

# A header of each type with what it carries: the shortest octets that are right.
WHOLE = [
    pytest.param(ETHERNET, ETHERNET.build(), id="Ethernet"),
    pytest.param(ARP, ARP.build(), id="ARP"),
    pytest.param(IPV4, IPV4.build() + UDP.build(), id="IPv4"),
    pytest.param(ICMP, ICMP.build() + b"ferry", id="ICMP"),
    pytest.param(UDP, UDP.build(), id="UDP"),
    pytest.param(TCP, TCP.build(), id="TCP"),
]
HEADERS = [pytest.param(case.values[0], id=case.id) for case in WHOLE]


def edited(octets, at, text):
    """Return `octets` with those in hexadecimal `text` written over them from `at` on."""
    new = bytes.fromhex(text)
    return octets[:at] + new + octets[at + len(new) :]


def refused(header_type, data, **options):
    with pytest.raises(PacketError) as caught:
        header_type.parse(data, **options)
    return caught.value


# --- there and back -----------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "octets"), WHOLE)
def test_parsing_what_was_built_gives_the_header_again(header, octets):
    assert type(header).parse(octets) == header


@pytest.mark.parametrize(("header", "octets"), WHOLE)
def test_what_follows_the_header_does_not_change_what_is_parsed(header, octets):
    assert type(header).parse(octets + b"padding") == header


def number(bits):
    return st.integers(0, (1 << bits) - 1)


mac = st.binary(min_size=6, max_size=6)
options = st.integers(0, 10).flatmap(
    lambda words: st.binary(min_size=4 * words, max_size=4 * words)
)
ANY_IPV4 = st.builds(IPv4Header, *map(number, (8, 16, 16, 3, 13, 8, 8, 16, 32, 32)), options)
ANY_TCP = st.builds(TCPHeader, *map(number, (16, 16, 32, 32, 4, 8, 16, 16, 16)), options)
ANY_HEADER = [
    pytest.param(st.builds(EthernetHeader, mac, mac, st.integers(0x0600, 0xFFFF)), id="Ethernet"),
    pytest.param(st.builds(ARPPacket, number(16), mac, number(32), mac, number(32)), id="ARP"),
    pytest.param(ANY_IPV4, id="IPv4"),
    pytest.param(st.builds(ICMPHeader, *map(number, (8, 8, 16, 32))), id="ICMP"),
    pytest.param(st.builds(UDPHeader, *map(number, (16, 16, 16, 16))), id="UDP"),
    pytest.param(ANY_TCP, id="TCP"),
]


def honest(header, payload):
    """Return `header` with its length field, if it has one, made true."""
    lengths = {"total_length": len(header.build() + payload), "length": 8 + len(payload)}
    return header._replace(**{name: lengths[name] for name in lengths if name in header._fields})


@pytest.mark.parametrize("any_header", ANY_HEADER)
@given(data=st.data(), payload=st.binary(max_size=40))
def test_any_header_survives_building_and_parsing(any_header, data, payload):
    header = honest(data.draw(any_header), payload)
    octets = header.build() + payload
    assert type(header).parse(octets) == header
    assert header.payload(octets) == {ARPPacket: b""}.get(type(header), payload)


@pytest.mark.parametrize("header", HEADERS)
def test_a_header_full_of_ones_survives_building_and_parsing(header):
    largest = {
        field.name: like(getattr(header, field.name), field) for field in free_fields(header)
    }
    full = honest(header._replace(**largest), b"")
    assert type(full).parse(full.build()) == full


def like(value, field):
    """Return the largest value of a field in the form of `value`: octets or a number."""
    return b"\xff" * 6 if isinstance(value, bytes) else field.largest


def free_fields(header):
    return [field for field in header.layout.fields if field.name in header._fields]


@pytest.mark.parametrize("header", HEADERS)
def test_building_leaves_the_header_as_it_was(header):
    before = tuple(header)
    assert header.build() == header.build()
    assert tuple(header) == before


@pytest.mark.parametrize("header", HEADERS)
def test_headers_are_values(header):
    assert hash(header) == hash(type(header)(*header))
    with pytest.raises(AttributeError):
        header.source = 0
    assert pickle.loads(pickle.dumps(header)) == header


# --- where the payload begins and ends ----------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "data", "payload"),
    [
        pytest.param(ETHERNET, ETHERNET.build() + b"abc", b"abc", id="Ethernet"),
        pytest.param(ARP, ARP.build() + bytes(18), b"", id="ARP carries nothing"),
        pytest.param(IPV4, IPV4.build() + b"12345678" + bytes(18), b"12345678", id="IPv4, padded"),
        pytest.param(
            IPV4._replace(total_length=25, options=OPTIONS),
            IPV4.build() + OPTIONS + b"a" + bytes(21),
            b"a",
            id="IPv4 with options",
        ),
        pytest.param(IPV4._replace(total_length=20), IPV4.build() + b"a", b"", id="IPv4, empty"),
        pytest.param(ICMP, ICMP.build() + b"ferry", b"ferry", id="ICMP"),
        pytest.param(UDP._replace(length=10), UDP.build() + b"abc", b"ab", id="UDP, surplus"),
        pytest.param(TCP, TCP.build() + b"abc", b"abc", id="TCP"),
        pytest.param(TCP._replace(options=OPTIONS), TCP.build() + OPTIONS + b"abc", b"abc", id="o"),
    ],
)
def test_the_payload_ends_where_the_header_says(header, data, payload):
    assert header.payload(data) == payload


# --- building fills in nothing ------------------------------------------------------------------


def test_a_lie_is_packed_as_it_is():
    assert IPV4._replace(total_length=1).build()[2:4] == b"\0\x01"
    assert UDP._replace(length=3).build()[4:6] == b"\0\x03"
    assert IPV4._replace(checksum=0).build()[10:12] == b"\0\0"
    assert ICMP._replace(checksum=0).build()[2:4] == b"\0\0"


def test_with_checksum_makes_a_new_header_that_differs_in_the_checksum_alone():
    wrong = IPV4._replace(checksum=0x1234)
    assert wrong.with_checksum() == IPV4
    assert wrong.checksum == 0x1234
    assert ICMP._replace(checksum=1).with_checksum(b"ferry") == ICMP


@given(header=ANY_IPV4)
def test_with_checksum_satisfies_the_check(header):
    right = honest(header, b"").with_checksum()
    assert IPv4Header.parse(right.build(), verify_checksum=True) == right


FIELDS = [
    pytest.param(case.values[0], field, id=f"{case.id}-{field.name}")
    for case in HEADERS
    for field in free_fields(case.values[0])
]
NUMBERS = [case for case in FIELDS if case.values[1].kind != "hardware address"]
OCTETS = [case for case in FIELDS if case.values[1].kind == "hardware address"]


@pytest.mark.parametrize(("header", "field"), NUMBERS)
def test_a_number_that_does_not_fit_is_not_packed(header, field):
    for wrong in (-1, field.largest + 1, 1 << 70):
        broken = header._replace(**{field.name: wrong})
        with pytest.raises(ValueError, match=rf"{field.name} must be 0 to \d+, not {wrong} "):
            broken.build()


@pytest.mark.parametrize(("header", "field"), NUMBERS)
def test_the_largest_number_is_packed(header, field):
    assert len(header._replace(**{field.name: field.largest}).build()) == len(header.build())


@pytest.mark.parametrize(("header", "field"), OCTETS)
def test_a_hardware_address_of_another_length_is_not_packed(header, field):
    for wrong in (b"", bytes(5), bytes(7)):
        broken = header._replace(**{field.name: wrong})
        with pytest.raises(ValueError, match=f"{field.name} must have 6 octets, not {len(wrong)}"):
            broken.build()


@pytest.mark.parametrize(("header", "field"), FIELDS)
def test_a_value_of_another_type_is_not_packed(header, field):
    with pytest.raises(TypeError):
        header._replace(**{field.name: "abcdef"}).build()


@pytest.mark.parametrize("header", [IPV4, TCP], ids=["IPv4", "TCP"])
@pytest.mark.parametrize("length", [1, 2, 3, 5, 39, 41, 44, 60])
def test_options_must_be_whole_words_and_not_too_many(header, length):
    with pytest.raises(ValueError, match=rf"options must have .* 40 octets, not {length}"):
        header._replace(options=bytes(length)).build()


# --- every kind of malformed octets -------------------------------------------------------------

WITH_OPTIONS = IPV4._replace(total_length=24, options=OPTIONS).with_checksum().build()
IP, ETH, ARP_, TCP_, UDP_ = (x.build() for x in (IPV4, ETHERNET, ARP, TCP, UDP))
MALFORMED = [
    # header type, octets, reason, field, offset, what the message must say
    (EthernetHeader, edited(ETH, 12, "0026"), "NOT_ETHERNET_II", "ether_type", 12, "0x0026"),
    (EthernetHeader, edited(ETH, 12, "05ff"), "NOT_ETHERNET_II", "ether_type", 12, "0x0600"),
    (ARPPacket, edited(ARP_, 0, "0006"), "WRONG_ADDRESS_SPACE", "hardware_address_space", 0, "6"),
    (
        ARPPacket,
        edited(ARP_, 2, "86dd"),
        "WRONG_ADDRESS_SPACE",
        "protocol_address_space",
        2,
        "86dd",
    ),
    (ARPPacket, edited(ARP_, 4, "08"), "WRONG_ADDRESS_LENGTH", "hardware_address_length", 4, "8"),
    (ARPPacket, edited(ARP_, 5, "10"), "WRONG_ADDRESS_LENGTH", "protocol_address_length", 5, "16"),
    (IPv4Header, edited(IP, 0, "65") + UDP_, "WRONG_VERSION", "version", 0, "is 6, must be 4"),
    (IPv4Header, edited(IP, 0, "05") + UDP_, "WRONG_VERSION", "version", 0, "is 0, must be 4"),
    (IPv4Header, edited(IP, 0, "40") + UDP_, "WRONG_HEADER_LENGTH", "header_length", 0, "is 0"),
    (IPv4Header, edited(IP, 0, "44") + UDP_, "WRONG_HEADER_LENGTH", "header_length", 0, "5 to 7"),
    (IPv4Header, edited(IP, 0, "48") + UDP_, "WRONG_HEADER_LENGTH", "header_length", 0, "is 8"),
    (IPv4Header, edited(IP, 0, "4f") + UDP_, "WRONG_HEADER_LENGTH", "header_length", 0, "is 15"),
    (IPv4Header, WITH_OPTIONS[:23], "WRONG_HEADER_LENGTH", "header_length", 0, "exactly 5, as 23"),
    (IPv4Header, edited(IP, 2, "0000") + UDP_, "WRONG_TOTAL_LENGTH", "total_length", 2, "is 0"),
    (IPv4Header, edited(IP, 2, "0013") + UDP_, "WRONG_TOTAL_LENGTH", "total_length", 2, "is 19"),
    (
        IPv4Header,
        edited(WITH_OPTIONS, 2, "0017"),
        "WRONG_TOTAL_LENGTH",
        "total_length",
        2,
        "exactly 24: the",
    ),
    (
        IPv4Header,
        edited(IP, 2, "001d") + UDP_,
        "WRONG_TOTAL_LENGTH",
        "total_length",
        2,
        "to 28: the",
    ),
    (IPv4Header, edited(IP, 2, "ffff") + UDP_, "WRONG_TOTAL_LENGTH", "total_length", 2, "is 65535"),
    (
        UDPHeader,
        edited(UDP_, 4, "0000"),
        "WRONG_UDP_LENGTH",
        "length",
        4,
        "is 0, must be exactly 8",
    ),
    (UDPHeader, edited(UDP_, 4, "0007"), "WRONG_UDP_LENGTH", "length", 4, "is 7"),
    (UDPHeader, edited(UDP_, 4, "0009"), "WRONG_UDP_LENGTH", "length", 4, "exactly 8: the"),
    (TCPHeader, edited(TCP_, 12, "00"), "WRONG_DATA_OFFSET", "data_offset", 12, "is 0"),
    (
        TCPHeader,
        edited(TCP_, 12, "40"),
        "WRONG_DATA_OFFSET",
        "data_offset",
        12,
        "is 4, must be exactly 5",
    ),
    (TCPHeader, edited(TCP_, 12, "60"), "WRONG_DATA_OFFSET", "data_offset", 12, "exactly 5, as 20"),
    (TCPHeader, edited(TCP_, 12, "f0") + bytes(39), "WRONG_DATA_OFFSET", "data_offset", 12, "14"),
]


@pytest.mark.parametrize(("header_type", "data", "reason", "field", "offset", "says"), MALFORMED)
def test_malformed_octets_are_refused(header_type, data, reason, field, offset, says):
    error = refused(header_type, data)
    assert (error.reason, error.field, error.offset) == (Reason[reason], field, offset)
    assert says in str(error)
    assert f"(octet {offset})" in str(error)
    assert "RFC" in str(error)


# The field that is not there whole when so many octets are.
FIRST_MISSING = {
    "Ethernet": ["destination"] * 6 + ["source"] * 6 + ["ether_type"] * 2,
    "IPv4": ["version", "type_of_service", "total_length", "total_length"]
    + ["identification"] * 2
    + ["flags", "fragment_offset", "time_to_live", "protocol", "checksum", "checksum"]
    + ["source"] * 4
    + ["destination"] * 4,
    "ICMP": ["type", "code", "checksum", "checksum"] + ["rest_of_header"] * 4,
    "UDP": ["source_port"] * 2 + ["destination_port"] * 2 + ["length"] * 2 + ["checksum"] * 2,
    "TCP": ["source_port"] * 2
    + ["destination_port"] * 2
    + ["sequence_number"] * 4
    + ["acknowledgment_number"] * 4
    + ["data_offset", "control_bits"]
    + ["window"] * 2
    + ["checksum"] * 2
    + ["urgent_pointer"] * 2,
    "ARP": ["hardware_address_space"] * 2
    + ["protocol_address_space"] * 2
    + ["hardware_address_length", "protocol_address_length"]
    + ["opcode"] * 2
    + ["sender_hardware_address"] * 6
    + ["sender_protocol_address"] * 4
    + ["target_hardware_address"] * 6
    + ["target_protocol_address"] * 4,
}


@pytest.mark.parametrize(("header", "octets"), WHOLE)
def test_every_cut_off_length_is_refused_with_the_first_field_that_is_missing(header, octets):
    layout = header.layout
    errors = [refused(type(header), octets[:present]) for present in range(layout.octets)]
    assert [error.field for error in errors] == FIRST_MISSING[layout.name]
    assert {error.reason for error in errors} == {Reason.CUT_SHORT}
    assert [error.offset for error in errors] == [layout.field(e.field).octet for e in errors]


@pytest.mark.parametrize("present", range(20, 60))
def test_every_cut_off_length_within_the_options_is_refused(present):
    """The longest header, cut off behind its fixed part."""
    ip = IPV4._replace(options=bytes(40), total_length=60).build()
    tcp = TCP._replace(options=bytes(40)).build()
    assert refused(IPv4Header, ip[:present]).reason == Reason.WRONG_HEADER_LENGTH
    assert refused(TCPHeader, tcp[:present]).reason == Reason.WRONG_DATA_OFFSET


def test_a_datagram_cut_off_behind_its_header_is_refused():
    data = IPV4.build() + UDP.build()
    errors = [refused(IPv4Header, data[:present]) for present in range(20, 28)]
    assert {error.reason for error in errors} == {Reason.WRONG_TOTAL_LENGTH}


# --- the checksum -------------------------------------------------------------------------------


def test_the_checksum_is_verified_only_on_request():
    data = IPV4._replace(checksum=0x1234).build() + UDP.build()
    assert IPv4Header.parse(data).checksum == 0x1234
    error = refused(IPv4Header, data, verify_checksum=True)
    assert (error.reason, error.field, error.offset) == (Reason.WRONG_CHECKSUM, "checksum", 10)
    assert f"is 0x1234, must be {IPV4.checksum:#06x} for this header" in str(error)


def test_the_checksum_covers_the_options_and_not_the_payload():
    right = WITH_OPTIONS + b"payload"
    assert IPv4Header.parse(right, verify_checksum=True).options == OPTIONS
    damaged = edited(right, 22, "00")
    assert refused(IPv4Header, damaged, verify_checksum=True).reason == Reason.WRONG_CHECKSUM


def test_the_checksum_of_icmp_covers_the_whole_message():
    message = ICMP.build() + b"ferry"
    assert ICMPHeader.parse(message, verify_checksum=True) == ICMP
    error = refused(ICMPHeader, message[:-1] + b"x", verify_checksum=True)
    assert (error.reason, error.field, error.offset) == (Reason.WRONG_CHECKSUM, "checksum", 2)
    right = ICMP.with_checksum(b"ferrx").checksum
    assert f"must be {right:#06x} for this message" in str(error)


def test_damage_is_reported_as_damage_even_where_a_length_no_longer_fits():
    data = edited(IPV4.build(), 2, "7fff") + UDP.build()
    assert refused(IPv4Header, data, verify_checksum=True).reason == Reason.WRONG_CHECKSUM
    assert refused(IPv4Header, data).reason == Reason.WRONG_TOTAL_LENGTH


# --- nothing but PacketError --------------------------------------------------------------------


def outcome(parse, data, **options):
    """Return the header, or the refusal; let everything else through."""
    try:
        return parse(data, **options)
    except PacketError as error:
        return error


def is_header_or_refusal(result, header):
    names = [field.name for field in header.layout.fields]
    octets = [field.octet for field in header.layout.fields]
    refusal = isinstance(result, PacketError)
    return type(result) is type(header) or (
        refusal and result.offset == octets[names.index(result.field)] and str(result) != ""
    )


@pytest.mark.parametrize("header", HEADERS)
@given(data=st.binary(max_size=80))
def test_any_octets_give_a_header_or_a_packet_error(header, data):
    assert is_header_or_refusal(outcome(type(header).parse, data), header)


@pytest.mark.parametrize("header", [IPV4, ICMP], ids=["IPv4", "ICMP"])
@given(data=st.binary(max_size=80))
def test_any_octets_give_a_header_or_a_packet_error_with_verification(header, data):
    assert is_header_or_refusal(outcome(type(header).parse, data, verify_checksum=True), header)


@pytest.mark.parametrize(("header", "octets"), WHOLE)
@given(data=st.data())
def test_damaged_octets_give_a_header_or_a_packet_error(header, octets, data):
    """Random octets seldom get past the first check; damaged ones get further."""
    at = data.draw(st.integers(0, len(octets) - 1))
    damage = data.draw(st.binary(min_size=1, max_size=4)).hex()
    damaged = edited(octets + bytes(60), at, damage)[: data.draw(st.integers(0, 100))]
    assert is_header_or_refusal(outcome(type(header).parse, damaged), header)


def test_a_header_that_is_found_in_any_octets_builds_those_octets():
    """All first octets and all lengths of data; what is parsed is what is there."""
    data = IPV4.build() + bytes(44)
    found = [outcome(IPv4Header.parse, bytes([first]) + data[1:]) for first in range(256)]
    headers_ = [header for header in found if isinstance(header, IPv4Header)]
    assert [header.build()[0] for header in headers_] == [0x45, 0x46, 0x47]
    assert all(header.build()[1:] == data[1 : 4 * header.header_length] for header in headers_)


# --- errors as objects --------------------------------------------------------------------------


def test_a_packet_error_is_a_value_error_that_can_be_sent_to_another_process():
    error = refused(UDPHeader, b"\x01")
    copy = pickle.loads(pickle.dumps(error))
    assert isinstance(error, ValueError)
    assert (str(copy), copy.reason, copy.field, copy.offset) == (
        str(error),
        Reason.CUT_SHORT,
        "source_port",
        0,
    )


def test_messages_say_what_was_met_what_is_allowed_and_where_to_read_more():
    assert str(refused(UDPHeader, b"\x01")) == (
        "UDP header is cut short: 1 octets are there, at least 8 are needed; "
        'source_port, from octet 0 on, is missing (RFC 768, "Fields")'
    )
    assert str(refused(IPv4Header, b"\x55" + bytes(30))) == (
        "IPv4 version (octet 0) is 5, must be 4 (RFC 791, section 3.1)"
    )


def test_reasons_are_words_for_counters():
    assert f"{Reason.WRONG_TOTAL_LENGTH}" == "wrong total length"
    assert len({str(reason) for reason in Reason}) == len(Reason)


# --- addresses ----------------------------------------------------------------------------------


@given(address=number(32))
def test_ipv4_addresses_survive_text(address):
    assert parse_address(format_address(address), IPV4_BITS) == address


@given(address=mac)
def test_hardware_addresses_survive_text(address):
    assert parse_mac(format_mac(address)) == address


@pytest.mark.parametrize(
    "text",
    [
        "",
        "192.0.2",
        "192.0.2.1.5",
        "192.0.2.",
        "192.0.2.256",
        "192.0.2.01",
        "192.0.2.00",
        "010.0.0.1",
        "192.0.2.-1",
        "192.0.2.+1",
        "192.0.2.1 ",
        " 192.0.2.1",
        "192.0.2.1\n",
        "192.0.2.0x1",
        "192.0.2.١",
        "192.0.2.²",
        "192.0.2.1_0",
        "192,0,2,1",
        "3221225985",
        "2001:db8::1",
        "192.0.2.1/24",
    ],
)
def test_text_that_is_no_ipv4_address_is_refused(text):
    with pytest.raises(ValueError, match="IPv4 address"):
        parse_address(text, IPV4_BITS)


def test_both_customary_forms_of_a_hardware_address_are_read():
    assert parse_mac("00-00-5E-00-53-AF") == parse_mac("00:00:5e:00:53:af")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "00:00:5e:00:53",
        "00:00:5e:00:53:01:02",
        "0:0:5e:0:53:1",
        "00:00:5e:00:53:0g",
        "00:00-5e:00-53:01",
        "00005e005301",
        "0000.5e00.5301",
        "00:00:5e:00:53:01\n",
        " 00:00:5e:00:53:01",
        "00:00:5e:00:53:٠1",
    ],
)
def test_text_that_is_no_hardware_address_is_refused(text):
    with pytest.raises(ValueError, match="hardware address"):
        parse_mac(text)


@pytest.mark.parametrize("address", [-1, 1 << 32])
def test_a_number_that_is_no_address_has_no_text(address):
    with pytest.raises(ValueError, match=f"not {address}"):
        format_address(address)


def test_octets_that_are_no_hardware_address_have_no_text():
    with pytest.raises(ValueError, match="must have 6 octets, not 5"):
        format_mac(bytes(5))


# --- the modules --------------------------------------------------------------------------------


def test_all_names_come_from_one_module():
    assert all(hasattr(headers, name) for name in headers.__all__)


def test_loading_the_modules_loads_nothing_heavy():
    code = (
        "import sys, course_lib.headers, course_lib.checksum, course_lib.capture;"
        "print(sorted({'numpy', 'scapy', 'dpkt'} & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert result.stdout == "[]\n"
