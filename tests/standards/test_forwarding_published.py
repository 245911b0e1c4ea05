"""Forwarding, ICMP and address resolution: values and layouts that are printed in the standards.

Octets that a standard only describes by its layout are written out here by hand; where it draws no
addresses, those of the documentation ranges are used (RFC 5737; RFC 9542).
"""

import pytest

from course_lib.forwarding.router import Router
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.fragmentation import Reassembler, fragments
from course_lib.ip.icmp_errors import error_message
from course_lib.ip.neighbours import Neighbours
from course_lib.ip.packets import Packet
from course_lib.prefixes.text import parse_mac
from networks.forwarding_scene import (
    HARBOUR,
    NORTH_PIER,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    address,
    datagram,
    give,
    interfaces,
    north_pier,
    only_error,
    prefix,
    seen,
)

DATA = bytes(range(226)) * 2  # 452 octets


def example(total_length, flags, offset, hops=119):
    """RFC 791, appendix A, examples 2: identification 111, time 123 before and 119 after."""
    fields = (0, total_length, 111, flags, offset, hops, 6, 0, OFFICE, PLOVER)
    return IPv4Header(*fields).with_checksum()


def test_example_2_of_rfc_791_is_cut_as_printed():
    """RFC 791, appendix A, figures 6 to 8: 472 octets; the gateway cuts at 256 octets of data, into
    276 octets with "more fragments" and 216 octets at offset 32."""
    parts = fragments(example(472, 0, 0), DATA, mtu=280)
    assert parts == [(example(276, 1, 0), DATA[:256]), (example(216, 0, 32), DATA[256:])]


def test_example_2_of_rfc_791_is_put_together_as_printed():
    """RFC 791, section 3.2, "An Example Reassembly Procedure"; appendix A, figures 7, 8 and 6."""
    reassembler = Reassembler()
    halves = [(example(216, 0, 32), DATA[256:]), (example(276, 1, 0), DATA[:256])]
    taken = [reassembler.take(Packet(0.0, "sea", b"", *each)) for each in halves]
    assert taken[0] is None
    assert (taken[1].header, taken[1].payload) == (example(472, 0, 0), DATA)


@pytest.mark.parametrize(
    ("mtu", "octets"),
    [
        (1500, "000005dc"),
        (1492, "000005d4"),
        (1006, "000003ee"),
        (296, "00000128"),
        (68, "00000044"),
    ],
)
def test_the_next_hop_mtu_stands_in_the_last_two_octets(mtu, octets):
    """RFC 1191, section 4 (layout), and values from its table 7-1: octets 4 and 5 are zero."""
    message = error_message((3, 4), mtu, datagram())
    assert message[:2] + message[4:8] == bytes([3, 4]) + bytes.fromhex(octets)


def test_time_exceeded_is_laid_out_as_in_rfc_792():
    """RFC 792, "Time Exceeded Message": type, code, checksum, unused, header and 64 bits. The
    checksum was worked out with Scapy."""
    quoted = bytes.fromhex("45000020000100000111bbb8c000020acb0071099c40829a000ce2e6")
    assert error_message((11, 0), 0, quoted) == bytes.fromhex("0b00f33100000000") + quoted


def test_an_echo_is_answered_as_in_rfc_792():
    """RFC 792, "Echo or Echo Reply Message": addresses reversed, type 0, checksum recomputed.
    Identifier 1, sequence number 1, "abcdefgh"; both checksums were worked out with Scapy."""
    echo = bytes.fromhex("080066680001000161626364 65666768")
    (outgoing,) = give(north_pier(), datagram(echo, protocol=1, destination=NORTH_PIER))
    header, payload = seen(outgoing)[2:]
    assert payload == bytes.fromhex("00006e680001000161626364 65666768")
    assert (header.source, header.destination) == (NORTH_PIER, OFFICE)


# RFC 792: the type and code of each message a router sends here, and how to make it send that.
MESSAGES = [
    pytest.param({"destination": address("10.9.9.9")}, 0, (3, 0), id="net-unreachable"),
    pytest.param({"destination": NORTH_PIER}, 0, (3, 2), id="protocol-unreachable"),
    pytest.param({"flags": 2}, 1480, (3, 4), id="fragmentation-needed-and-DF-set"),
    pytest.param({"time_to_live": 1}, 0, (11, 0), id="time-to-live-exceeded-in-transit"),
    pytest.param({"options": bytes.fromhex("07000000")}, 0, (12, 0), id="pointer-to-the-error"),
]


@pytest.mark.parametrize(("fields", "octets", "kind"), MESSAGES)
def test_types_and_codes_are_those_of_rfc_792(fields, octets, kind):
    _, icmp, _ = only_error(give(north_pier(600), datagram(bytes(octets), **fields)))
    assert (icmp.type, icmp.code) == kind


def test_the_quoted_part_fills_576_octets():
    """RFC 1812, section 4.3.2.3: 576 - 20 - 8 = 548 octets of the packet."""
    message = error_message((11, 0), 0, datagram(bytes(1000)))
    assert len(message) + 20 == 576
    assert (
        ICMPHeader.parse(message, verify_checksum=True).payload(message)
        == datagram(bytes(1000))[:548]
    )


@pytest.mark.parametrize(("before", "after"), [(64, 63), (2, 1)])
def test_the_time_to_live_of_rfc_1812(before, after):
    """RFC 1812, section 5.3.1: lowered by one; 2 is enough to be sent on with 1."""
    (outgoing,) = give(north_pier(), datagram(time_to_live=before))
    assert seen(outgoing).header.time_to_live == after


# RFC 1812, section 5.2.4.3: destination 10.144.2.5 and these routes; 10.144.2.0/24 is left over.
BASIC_AND_LONGEST = ["10.144.2.0/24", "10.144.0.0/16", "10.0.0.0/8", "128.12.0.0/16", "0.0.0.0/0"]
SIBLINGS = ["10.144.1.0/24", "10.144.2.0/24", "10.144.3.0/24"]


@pytest.mark.parametrize("routes", [BASIC_AND_LONGEST, SIBLINGS])
def test_the_pruning_rules_of_rfc_1812_leave_one_route(routes):
    router = Router("North Pier", interfaces())
    for number, text in enumerate(routes, start=2):
        router.add_route(prefix(text), address("198.51.100.0") + number, "sea")
    way = router.decide.entry_for(address("10.144.2.5"))
    assert way == router.routes()[prefix("10.144.2.0/24")]


def test_the_request_of_rfc_826():
    """RFC 826, "Packet format" and "Packet Generation", for Ethernet and IPv4: to all, type 0x0806,
    spaces 1 and 0x0800, lengths 6 and 4, opcode 1, our pair, the target's address. The values of
    the constants are also printed in RFC 2544, appendix C.2.6.1."""
    link = Neighbours[str](parse_mac("00:00:5e:00:53:01"), address("192.0.2.1"))
    (frame,) = link.wait(0.0, address("192.0.2.2"), "a packet").frames
    assert frame == bytes.fromhex(
        "ffffffffffff 00005e005301 0806"
        "0001 0800 06 04 0001  00005e005301 c0000201  000000000000 c0000202"
    )


def test_the_answer_of_rfc_826():
    """RFC 826, "Packet Reception": swap the fields, put ours into the sender's, opcode 2."""
    link = Neighbours[str](HARBOUR, NORTH_PIER)
    request = "0001 0800 06 04 0001  00005e005307 c0000207  000000000000 c0000201"
    (frame,) = link.receive(0.0, bytes.fromhex(request)).frames
    assert frame == bytes.fromhex(
        "00005e005307 00005e005301 0806"
        "0001 0800 06 04 0002  00005e005301 c0000201  00005e005307 c0000207"
    )
    assert link.find(0.0, OFFICE) == OFFICE_MAC
