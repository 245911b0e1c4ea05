"""The model answers of unit 01 agree with Scapy on a few thousand generated packets.

Scapy parses and builds on its own; nothing of this project is in between. Its addresses, flags
and options are turned into the words of the workbook's contracts here.
"""

import random

import pytest
from scapy.layers.inet import IP, UDP, IPOption, fragment
from scapy.layers.l2 import Dot1Q, Ether
from scapy.packet import Raw

from instructor.units.unit_01.answers import (
    build_packet,
    fragment_fields,
    list_options,
    parse_frame,
    parse_packet,
    read_word,
)

PACKETS = 1000


def draws(label):
    rng = random.Random(label)
    return [rng for _ in range(PACKETS)]


def address(rng):
    return ".".join(str(rng.randrange(256)) for _ in range(4))


def hardware_address(rng):
    return ":".join(f"{rng.randrange(256):02x}" for _ in range(6))


def option_octets(rng):
    """Return whole options in a length that is a multiple of four."""
    options = b""
    while rng.randrange(3) and len(options) < 24:
        data = rng.randbytes(rng.randrange(8))
        options += bytes([rng.choice((30, 94, 158, 222)), 2 + len(data)]) + data
        options += b"\x01" * rng.randrange(3)
    return options + bytes(-len(options) % 4)


def scapy_packet(rng):
    options = option_octets(rng)
    return IP(
        src=address(rng),
        dst=address(rng),
        ttl=rng.randrange(256),
        proto=rng.choice((1, 6, 17, 47, 89, 255)),
        flags=rng.choice(("", "DF", "MF")),
        frag=rng.randrange(8192),
        options=IP(bytes([0x45 + len(options) // 4]) + bytes(19) + options).options,
    ) / Raw(rng.randbytes(rng.randrange(60)))


def test_packets_built_by_scapy_are_parsed_to_the_fields_they_were_built_from():
    for rng in draws("parse"):
        packet = scapy_packet(rng)
        octets = bytes(packet)
        header = IP(octets).ihl * 4
        assert parse_packet(octets + bytes(rng.randrange(30))) == {
            "source": packet.src,
            "destination": packet.dst,
            "protocol": packet.proto,
            "time_to_live": packet.ttl,
            "options": octets[20:header],
            "payload": packet.load,
        }


def test_flags_and_offset_are_those_scapy_reads():
    for rng in draws("flags"):
        octets = bytes(scapy_packet(rng))
        seen = IP(octets)
        fields = (bool(seen.flags.DF), bool(seen.flags.MF), seen.frag * 8)
        assert fragment_fields(read_word(octets, 6)) == fields


# RFC 791, section 3.2; 4000 octets over links of 1500 is the exercise of many textbooks.
@pytest.mark.parametrize("size", [280, 576, 1500])
def test_fragments_cut_by_scapy_follow_each_other_without_a_gap(size):
    pieces = [bytes(piece) for piece in fragment(IP() / Raw(bytes(3980)), (size - 20) // 8 * 8)]
    expected = 0
    for piece in pieces:
        _, more, first = fragment_fields(read_word(piece, 6))
        assert (more, first) == (piece is not pieces[-1], expected)
        expected += len(parse_packet(piece)["payload"])
    assert expected == 3980


def test_options_are_those_scapy_reads():
    for rng in draws("options"):
        options = option_octets(rng)
        seen = IP(bytes([0x45 + len(options) // 4]) + bytes(19) + options).options
        parts = [bytes(option) for option in seen if isinstance(option, IPOption)]
        listed = [(part[0], part[2:]) for part in parts if part[0] not in (0, 1)]
        assert list_options(options) == listed


def test_frames_built_by_scapy_are_parsed_to_the_fields_they_were_built_from():
    for rng in draws("frames"):
        source, destination = hardware_address(rng), hardware_address(rng)
        ether_type, payload = rng.randrange(0x0600, 0x8000), rng.randbytes(rng.randrange(80))
        frame = Ether(src=source, dst=destination, type=ether_type) / Raw(payload)
        plain = (destination, source, None, ether_type, payload)
        assert parse_frame(bytes(frame)) == plain


def test_tags_are_those_scapy_builds():
    for rng in draws("tags"):
        vlan, ether_type = rng.randrange(1, 4095), rng.randrange(0x0600, 0x8000)
        tag = Dot1Q(prio=rng.randrange(8), vlan=vlan, type=ether_type)
        frame = Ether(src=hardware_address(rng), dst=hardware_address(rng)) / tag / Raw(b"ahoy")
        assert parse_frame(bytes(frame))[2:] == (vlan, ether_type, b"ahoy")


def test_datagrams_are_octet_for_octet_those_scapy_builds():
    for rng in draws("build"):
        source, destination = address(rng), address(rng)
        ports, payload = (
            (rng.randrange(65536), rng.randrange(65536)),
            rng.randbytes(rng.randrange(60)),
        )
        options = option_octets(rng)
        bare = IP(bytes([0x45 + len(options) // 4]) + bytes(19) + options).options
        packet = (
            IP(src=source, dst=destination, id=0, ttl=64, chksum=0, options=bare)
            / UDP(sport=ports[0], dport=ports[1], chksum=0)
            / Raw(payload)
        )
        assert build_packet(source, destination, *ports, payload, options) == bytes(packet)


def test_options_without_padding_come_out_as_scapy_pads_them():
    for rng in draws("padding"):
        data = rng.randbytes(rng.randrange(30))
        option = bytes([94, 2 + len(data)]) + data
        packet = bytes(
            IP(src="192.0.2.1", dst="198.51.100.2", id=0, ttl=64, chksum=0,
               options=[IPOption(option)])
            / UDP(sport=1000, dport=2000, chksum=0)
        )  # fmt: skip
        assert build_packet("192.0.2.1", "198.51.100.2", 1000, 2000, b"", option) == packet
