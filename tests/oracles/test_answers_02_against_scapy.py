"""The model answers of unit 02 agree with Scapy, an independent implementation of the headers.

Scapy builds the packets and fills in their checksums; the answers must find the same octets.
"""

import itertools
import random
from collections.abc import Iterator

import pytest
from scapy.layers.inet import IP, UDP, IPOption
from scapy.packet import Raw
from scapy.utils import checksum as scapy_checksum

from instructor.units.unit_02.answers import (
    fold,
    header_checksum,
    is_header_intact,
    lower_time_to_live,
    missed_pairs,
    udp_checksum,
)

PACKETS = 2500
NETWORKS = ("192.0.2", "198.51.100", "203.0.113")  # RFC 5737


def random_packet(rng: random.Random) -> IP:
    source, destination = (f"{net}.{rng.randint(1, 254)}" for net in rng.sample(NETWORKS, 2))
    length = 4 * rng.choice((0, 0, 0, 1, 2, 5, 10))
    option = IPOption(option=30, value=rng.randbytes(max(length - 2, 0)))  # RFC 4727: experiments
    header = IP(
        src=source,
        dst=destination,
        id=rng.randrange(0x10000),
        tos=rng.randrange(0x100),
        flags=rng.choice((0, "DF")),
        ttl=rng.randint(2, 255),
        options=[option] if length else [],
    )
    ports = UDP(sport=rng.randrange(1, 0x10000), dport=rng.randrange(1, 0x10000))
    return header / ports / Raw(rng.randbytes(rng.randrange(60)))


@pytest.fixture(scope="module")
def packets() -> list[bytes]:
    rng = random.Random(768)
    return [bytes(random_packet(rng)) for _ in range(PACKETS)]


def header_of(packet: bytes) -> bytes:
    return packet[: (packet[0] & 15) * 4]


def field_of(packet: bytes) -> int:
    return int.from_bytes(packet[10:12], "big")


def test_the_packets_have_headers_of_several_lengths_and_datagrams_of_both_parities(packets):
    assert {len(header_of(packet)) for packet in packets} == {20, 24, 28, 40, 60}
    assert {len(packet) % 2 for packet in packets} == {0, 1}


def test_header_checksum_is_what_scapy_fills_in(packets):
    assert [header_checksum(packet) for packet in packets] == [field_of(one) for one in packets]


def test_header_checksum_does_not_depend_on_what_stands_in_the_field(packets):
    rng = random.Random(791)
    for packet in packets:
        spoilt = packet[:10] + rng.randbytes(2) + packet[12:]
        assert header_checksum(spoilt) == field_of(packet)


def test_headers_from_scapy_are_intact(packets):
    assert all(is_header_intact(packet) for packet in packets)


def test_damaged_headers_are_judged_as_scapy_judges_them(packets):
    rng = random.Random(1071)
    noticed = 0
    for packet in packets:
        bits = sum(1 << rng.randrange(152) for _ in range(2))
        header = header_of(packet)
        damaged = header[:1] + (int.from_bytes(header[1:20], "big") ^ bits).to_bytes(19, "big")
        damaged += header[20:]
        noticed += not is_header_intact(damaged)
        assert is_header_intact(damaged) == (scapy_checksum(damaged) == 0)
    assert 0 < noticed < PACKETS


def test_udp_checksum_is_what_scapy_fills_in(packets):
    for packet in packets:
        layers = IP(packet)
        datagram = packet[len(header_of(packet)) :]
        assert udp_checksum(layers.src, layers.dst, datagram) == layers[UDP].chksum


@pytest.mark.parametrize("first_octet", range(8))
def test_a_udp_checksum_of_zero_is_sent_as_scapy_sends_it(first_octet):
    """A datagram of two words: the second takes what the first leaves, so the sum is all ones."""
    start = IP(src="192.0.2.17", dst="198.51.100.9") / UDP(sport=1000, dport=2000)
    first = bytes([first_octet, 0xAB])
    missing = IP(bytes(start / Raw(first + bytes(2))))[UDP].chksum
    datagram = bytes(start / Raw(first + missing.to_bytes(2, "big")))[20:]
    assert datagram[6:8] == b"\xff\xff"
    assert udp_checksum("192.0.2.17", "198.51.100.9", datagram) == 0xFFFF


def one_hop_on(header: bytes) -> bytes:
    """Let Scapy build the header anew with a lower time to live."""
    layers = IP(header)
    layers.ttl -= 1
    del layers.chksum
    return bytes(layers)


def test_lowered_headers_are_what_scapy_builds_anew(packets):
    for packet in packets:
        header = header_of(packet)
        assert lower_time_to_live(header) == one_hop_on(header)


def headers_with_every_checksum_near(value: int) -> Iterator[bytes]:
    for identification in range(0x10000):
        start = bytes.fromhex("4500 0014") + identification.to_bytes(2, "big")
        header = start + bytes.fromhex("0000 4011 0000 c000 0211 c633 6409")
        checksum = scapy_checksum(header)
        if abs(checksum - value) <= 4:
            yield header[:10] + checksum.to_bytes(2, "big") + header[12:]


@pytest.mark.parametrize("value", [0xFEFF, 0xFFFA])
def test_lowered_headers_agree_with_scapy_around_the_corners(value):
    """From 0xFEFF on the new checksum goes through zero (RFC 1624, sections 3 and 4)."""
    headers = list(headers_with_every_checksum_near(value))
    assert len(headers) == 9
    assert [lower_time_to_live(header) for header in headers] == list(map(one_hop_on, headers))


def test_fold_agrees_with_scapy_on_sums_of_words():
    rng = random.Random(1624)
    for _ in range(PACKETS):
        words = [rng.randrange(0x10000) for _ in range(rng.randrange(1, 400))]
        data = b"".join(word.to_bytes(2, "big") for word in words)
        assert fold(sum(words)) == scapy_checksum(data) ^ 0xFFFF


@pytest.mark.parametrize("seed", range(4))
def test_missed_pairs_are_those_that_scapy_misses_when_every_pair_is_tried(seed):
    packet = bytes(IP(src=f"192.0.2.{seed}", dst="198.51.100.9", id=seed * 9999))
    number = int.from_bytes(packet, "big")
    flips = [1 << place for place in range(8 * len(packet))]
    tried = (number ^ one ^ other for one, other in itertools.combinations(flips, 2))
    missed = sum(scapy_checksum(one.to_bytes(len(packet), "big")) == 0 for one in tried)
    assert missed_pairs(packet) == missed
