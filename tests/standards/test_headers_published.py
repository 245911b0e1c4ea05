"""Header values that are printed in the standards.

Where a standard draws a header with some fields left open (the addresses in RFC 791), the test
fills them in: 192.0.2.1 and 198.51.100.2, of the ranges set aside for documentation (RFC 5737),
hardware addresses from 00-00-5E-00-53-00 up (RFC 9542), type of service 0.
"""

import pytest

from course_lib.headers import assigned_numbers
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import ARP, ETHERNET, ICMP, IPV4, TCP, UDP
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader
from course_lib.prefixes.text import parse_address, parse_mac

TCP_OCTETS_12_AND_13 = ("data_offset", "reserved", "control_bits")
SOURCE, DESTINATION = (
    parse_address("192.0.2.1"),
    parse_address("198.51.100.2"),
)


def datagram(total_length, flags, offset, time, protocol, options=b""):
    """Every example of RFC 791, appendix A, has the identification 111."""
    fields = (0, total_length, 111, flags, offset, time, protocol, 0, SOURCE, DESTINATION)
    return IPv4Header(*fields, options).with_checksum()


# RFC 791, appendix A: the fields as printed in figures 5 to 8. The octets follow from the layout
# of section 3.1; the checksums were worked out with Scapy.
APPENDIX_A = {
    "figure 5": (datagram(21, 0, 0, 123, 1), "45000015006f00007b015342c0000201c6336402"),
    "figure 6": (datagram(472, 0, 0, 123, 6), "450001d8006f00007b06517ac0000201c6336402"),
    "figure 7": (datagram(276, 1, 0, 119, 6), "45000114006f20007706363ec0000201c6336402"),
    "figure 8": (datagram(216, 0, 32, 119, 6), "450000d8006f00207706565ac0000201c6336402"),
}


@pytest.mark.parametrize(("header", "octets"), APPENDIX_A.values(), ids=APPENDIX_A.keys())
def test_examples_1_and_2_of_rfc_791_are_built(header, octets):
    assert header.build() == bytes.fromhex(octets)


@pytest.mark.parametrize(("header", "octets"), APPENDIX_A.values(), ids=APPENDIX_A.keys())
def test_examples_1_and_2_of_rfc_791_are_parsed(header, octets):
    data = bytes.fromhex(octets) + bytes(header.total_length - 20)
    assert IPv4Header.parse(data, verify_checksum=True) == header


@pytest.mark.parametrize(("name", "octets"), [("5", 1), ("6", 452), ("7", 256), ("8", 196)])
def test_the_data_of_examples_1_and_2_have_the_printed_length(name, octets):
    """RFC 791, appendix A: one octet; 452 octets; fragments of 256 and 452 - 256 octets."""
    header, _ = APPENDIX_A[f"figure {name}"]
    assert len(header.payload(bytes(2000))) == octets


def test_example_3_of_rfc_791_has_options_within_a_header_of_eight_words():
    """Figure 9: lengths 3, 4, a single octet 1, length 3, and 0; x and y are left open there."""
    x, y = 30, 94  # numbers for experiments, RFC 4727, section 3
    options = bytes([x, 3, 0xAA, x, 4, 0xBB, 0xCC, 1, y, 3, 0xDD, 0])
    header = datagram(576, 0, 0, 123, 6, options)
    assert header.header_length == 8
    assert header.build()[:4].hex() == "48000240"
    assert IPv4Header.parse(header.build() + bytes(544), verify_checksum=True) == header


def test_ipv4_fields_begin_where_rfc_791_draws_them():
    """Figure 4, read octet by octet."""
    begins = {field.name: field.octet for field in IPV4.fields}
    assert begins == {
        "version": 0,
        "header_length": 0,
        "type_of_service": 1,
        "total_length": 2,
        "identification": 4,
        "flags": 6,
        "fragment_offset": 6,
        "time_to_live": 8,
        "protocol": 9,
        "checksum": 10,
        "source": 12,
        "destination": 16,
    }


def test_a_parameter_problem_points_at_the_octet_that_rfc_792_names():
    """RFC 792, "Parameter Problem Message": 1 is the type of service, 20 the first option."""
    assert IPV4.field("type_of_service").octet == 1
    assert IPV4.octets == 20


def test_bit_0_is_the_most_significant_one():
    """RFC 791, appendix B, figure 11: the octet 10101010 is the number 170."""
    header = datagram(21, 0, 0, 0b10101010, 1)
    assert header.build()[IPV4.field("time_to_live").octet] == 170


def test_sizes_of_the_fixed_parts():
    """RFC 894 and IEEE 802.3; RFC 826 with 6 and 4 octets; RFC 791; 792; 768; RFC 9293."""
    sizes = [layout.octets for layout in (ETHERNET, ARP, IPV4, ICMP, UDP, TCP)]
    assert sizes == [14, 28, 20, 8, 8, 20]


def test_the_largest_header_and_the_largest_datagram():
    """RFC 791, section 3.1: a maximal header of 60 octets, datagrams of up to 65,535 octets."""
    header = datagram(65_535, 0, 0, 64, 17, options=bytes([1]) * 40)
    data = header.build() + bytes(65_535 - 60)
    assert len(header.build()) == 60
    assert IPv4Header.parse(data) == header


@pytest.mark.parametrize(
    ("octets", "reason"),
    [
        pytest.param("45000015006f00007b015342c0000201c63364", "CUT_SHORT", id="test 1"),
        pytest.param("45000015006f00007b015343c0000201c633640200", "WRONG_CHECKSUM", id="test 2"),
        pytest.param("65000015006f00007b015342c0000201c633640200", "WRONG_VERSION", id="test 3"),
        pytest.param("44000015006f00007b015442c0000201c633640200", "WRONG_HEADER_LENGTH", id="4"),
        pytest.param("45000013006f00007b015344c0000201c633640200", "WRONG_TOTAL_LENGTH", id="5"),
    ],
)
def test_the_five_header_checks_that_every_router_makes(octets, reason):
    """RFC 1812, section 5.2.2, on the datagram of RFC 791, figure 5, damaged in five ways."""
    with pytest.raises(PacketError) as error:
        IPv4Header.parse(bytes.fromhex(octets), verify_checksum=True)
    assert error.value.reason == Reason[reason]


def test_an_ethernet_type_is_at_least_0x0600():
    """RFC 9542, section 3: smaller numbers are lengths; 0x0800 is IPv4 (RFC 894)."""
    addresses = "00005e00530200005e005301"
    assert EthernetHeader.parse(bytes.fromhex(addresses + "0600")).ether_type == 0x0600
    assert EthernetHeader.parse(bytes.fromhex(addresses + "0800")).ether_type == 0x0800
    with pytest.raises(PacketError):
        EthernetHeader.parse(bytes.fromhex(addresses + "05ff"))


def test_padding_to_46_octets_is_no_part_of_the_datagram():
    """RFC 894: the data field is padded with octets of zero, not counted in the total length."""
    header = datagram(21, 0, 0, 123, 1)
    data_field = (header.build() + b"\x08").ljust(46, b"\0")
    assert IPv4Header.parse(data_field).payload(data_field) == b"\x08"


def test_an_address_resolution_request():
    """RFC 826, "Packet format", field by field; RFC 2544, appendix C, prints the same constants."""
    octets = bytes.fromhex(
        "ffffffffffff 00005e005301 0806"  # frame: to all, type 0x0806
        "0001 0800 06 04 0001"  # Ethernet, IPv4, six octets, four octets, request
        "00005e005301 c0000201 000000000000 c0000202"
    )
    mac = parse_mac("00-00-5E-00-53-01")
    request = ARPPacket(1, mac, SOURCE, bytes(6), parse_address("192.0.2.2"))
    assert EthernetHeader(b"\xff" * 6, mac, 0x0806).build() + request.build() == octets
    assert ARPPacket.parse(octets[14:] + bytes(18)) == request


def test_an_echo_and_its_reply():
    """RFC 792, "Echo or Echo Reply Message": types 8 and 0, identifier, sequence number, data.

    The checksums, 0x6668 and 0x6e68, were worked out with Scapy.
    """
    data = b"abcdefgh"
    echo = ICMPHeader(8, 0, 0, 0x0001_0001).with_checksum(data)
    reply = echo._replace(type=0).with_checksum(data)
    assert echo.build().hex() == "0800666800010001"
    assert reply.build().hex() == "00006e6800010001"
    assert ICMPHeader.parse(reply.build() + data, verify_checksum=True) == reply


def test_a_time_exceeded_message_quotes_header_and_64_bits():
    """RFC 792, "Time Exceeded Message": type 11, code 0, unused; checksum worked out with Scapy."""
    quoted = bytes.fromhex("4500002000010000 0111bbb8c000020a cb007109 9c40829a000ce2e6")
    assert ICMPHeader(11, 0, 0, 0).with_checksum(quoted).build().hex() == "0b00f33100000000"


def test_the_next_hop_mtu_is_the_low_half_of_the_rest():
    """RFC 1191, section 4: octets 4 and 5 are zero, 6 and 7 the next-hop MTU, here 1400."""
    octets = ICMPHeader(type=3, code=4, checksum=0, rest_of_header=1400).build()
    assert octets[4:].hex() == "00000578"


def test_a_udp_datagram_with_a_checksum_of_all_ones():
    """RFC 768: a sum that would be sent as zero is sent as 0xFFFF; octets confirmed with Scapy."""
    packet = bytes.fromhex("4500001e0001000040118e97c0000201c6336402 03e807d0000affff 07eb")
    header = IPv4Header.parse(packet, verify_checksum=True)
    datagram_ = header.payload(packet)
    udp = UDPHeader.parse(datagram_)
    assert udp == UDPHeader(1000, 2000, 10, 0xFFFF)
    assert udp.payload(datagram_) == bytes.fromhex("07eb")


def test_a_tcp_segment_that_opens_a_connection():
    """RFC 9293, figure 1, field by field; section 3.2: a maximum segment size of 1460."""
    octets = bytes.fromhex(
        "c000 0050"  # ports
        "01234567 00000000"  # sequence and acknowledgment numbers
        "6 0 02 ffff".replace(" ", "")  # six words, reserved, SYN, window
        + "0000 0000"  # checksum, urgent pointer
        "020405b4"
    )
    header = TCPHeader.parse(octets)
    assert header.data_offset == 6
    assert header.control_bits == 0b00000010  # CWR ECE URG ACK PSH RST SYN FIN
    assert header.options == bytes.fromhex("020405b4")
    assert header.build() == octets


def test_tcp_control_bits_stand_in_the_order_of_rfc_9293():
    """RFC 9293, figure 1: eight bits behind DOffset and Rsrvd, which have four each."""
    data_offset, reserved, control = (TCP.field(name) for name in TCP_OCTETS_12_AND_13)
    assert [field.first_bit for field in (data_offset, reserved, control)] == [96, 100, 104]
    assert [field.bits for field in (data_offset, reserved, control)] == [4, 4, 8]
    assert control.meaning == "CWR ECE URG ACK PSH RST SYN FIN"


def test_assigned_numbers():
    """RFC 894; RFC 2544, appendix C; RFC 792 (page 3 and types); RFC 9293; RFC 768; RFC 826."""
    assert (assigned_numbers.ETHER_TYPE_IPV4, assigned_numbers.ETHER_TYPE_ARP) == (2048, 2054)
    assert assigned_numbers.PROTOCOL_ICMP == 1
    assert assigned_numbers.PROTOCOL_TCP == 6
    assert assigned_numbers.PROTOCOL_UDP == 17
    assert (assigned_numbers.ARP_REQUEST, assigned_numbers.ARP_REPLY) == (1, 2)
    assert (assigned_numbers.ICMP_ECHO, assigned_numbers.ICMP_ECHO_REPLY) == (8, 0)
    assert assigned_numbers.ICMP_DESTINATION_UNREACHABLE == 3
    assert assigned_numbers.ICMP_REDIRECT == 5
    assert assigned_numbers.ICMP_TIME_EXCEEDED == 11
    assert assigned_numbers.ICMP_PARAMETER_PROBLEM == 12
