"""The model answers of unit 06 agree with Scapy, which takes packets apart and builds them anew."""

import random
from ipaddress import ip_address, ip_network

import pytest
from scapy.layers.inet import ICMP, IP, TCP, UDP, IPOption_NOP, IPOption_RR
from scapy.layers.l2 import Ether
from scapy.packet import Padding, Raw
from scapy.utils import checksum

from instructor.units.unit_06.answers import first_fault, may_pass, rewrite_frame

SEEDS = pytest.mark.parametrize("seed", range(4))
PACKETS = 500
HARDWARE = "00:00:5e:00:53:{:02x}"


def random_datagram(rng: random.Random) -> bytes:
    """Let Scapy build a datagram: options, fragments, and data of all protocols."""
    transport = rng.choice(
        (
            UDP(sport=rng.randint(1, 9), dport=rng.randint(1, 9)),
            TCP(sport=rng.randint(1, 9), dport=rng.randint(1, 9)),
            ICMP(id=rng.getrandbits(16)),
        )
    )
    header = IP(
        src=f"192.0.2.{rng.randint(1, 254)}",
        dst=f"203.0.113.{rng.randint(0, 255)}",
        ttl=rng.randint(0, 255) if rng.random() < 0.7 else rng.randint(0, 3),
        id=rng.getrandbits(16),
        flags=rng.choice(("", "DF", "MF")),
        frag=rng.choice((0, 0, 0, 1, rng.randint(1, 8191))),
        options=rng.choice(([], [IPOption_NOP()] * 4, [IPOption_RR(routers=["0.0.0.0"])])),
    )
    return bytes(header / transport / Raw(rng.randbytes(rng.randint(0, 20))))


def spoilt(rng: random.Random, data: bytes) -> bytes:
    """Change some octets of the beginning, cut off the end, or add padding; perhaps resum."""
    octets = bytearray(data)
    for _ in range(rng.randint(0, 2)):
        place = rng.choice((0, 0, 2, 3, rng.randrange(len(octets))))
        octets[place] = rng.choice((0x35, 0x43, 0x44, 0x4F, 0x65, 19, 24, rng.randrange(256)))
    if rng.random() < 0.6:
        octets[10:12] = b"\0\0"
        covered = bytes(octets[: 4 * (octets[0] & 15)])
        octets[10:12] = checksum(covered).to_bytes(2, "big")
    cut = rng.choice((len(octets), len(octets), rng.randint(0, len(octets))))
    return bytes(octets[:cut]) + bytes(rng.choice((0, 0, 6)))


def fault_by_scapy(data: bytes) -> int | None:
    """RFC 1812, section 5.2.2, with the fields as Scapy reads them and its sum."""
    if len(data) < 20:
        return 1
    header = IP(data)
    octets = 4 * header.ihl
    passed = {
        2: octets > 0 and checksum(data[:octets]) == 0,
        3: header.version == 4,
        4: header.ihl >= 5,
        5: header.len >= octets,
        6: header.len <= len(data),
    }
    return next((number for number, is_right in passed.items() if not is_right), None)


@SEEDS
def test_the_first_fault_is_the_one_that_scapy_s_fields_show(seed):
    rng = random.Random(seed)
    seen = set()
    for _ in range(PACKETS):
        data = spoilt(rng, random_datagram(rng))
        assert first_fault(data) == fault_by_scapy(data), data.hex()
        seen.add(first_fault(data))
    assert seen == {None, 1, 2, 3, 4, 5, 6}


def forwarded_by_scapy(frame: bytes, by: int, to: int) -> bytes:
    """Let Scapy lower the time to live, drop the padding, and fill in the checksum."""
    packet = Ether(frame)
    packet.src, packet.dst = HARDWARE.format(by), HARDWARE.format(to)
    packet[IP].ttl -= 1
    del packet[IP].chksum
    if Padding in packet:
        packet[Padding].underlayer.remove_payload()
    return bytes(packet)


@SEEDS
def test_a_rewritten_frame_is_the_one_that_scapy_builds(seed):
    rng = random.Random(seed)
    refused = 0
    for _ in range(PACKETS):
        by, to = rng.sample(range(256), 2)
        data = random_datagram(rng)
        ends = Ether(dst=HARDWARE.format(1), src=HARDWARE.format(2), type=0x0800)
        frame = bytes(ends) + data.ljust(rng.choice((0, 46)), b"\0")
        pairs = [
            (bytes.fromhex(f"00005e0053{one:02x}"), bytes([192, 0, 2, one])) for one in (by, to)
        ]
        if IP(data).ttl > 1:
            assert rewrite_frame(frame, *pairs) == forwarded_by_scapy(frame, by, to)
            continue
        with pytest.raises(ValueError, match="time to live"):
            rewrite_frame(frame, *pairs)
        refused += 1
    assert 0 < refused < PACKETS


def random_rules(rng: random.Random) -> list[tuple[str, int | None, bool]]:
    rules = []
    for _ in range(rng.randint(0, 4)):
        around = ip_network(f"203.0.113.{rng.randint(0, 255)}/{rng.randint(23, 32)}", strict=False)
        rules.append((str(around), rng.choice((None, rng.randint(1, 9))), rng.random() < 0.5))
    return rules


def passes_by_scapy(data: bytes, rules: list[tuple[str, int | None, bool]]) -> bool:
    packet = IP(data)
    transport = packet.getlayer(TCP) or packet.getlayer(UDP)
    for prefix, port, verdict in rules:
        if ip_address(packet.dst) not in ip_network(prefix):
            continue
        if port is None or (transport is not None and transport.dport == port):
            return verdict
    return True


@SEEDS
def test_a_filter_stops_what_scapy_s_ports_and_addresses_fit(seed):
    """Scapy, too, finds ports only where a fragment begins: its layers are bound to offset 0."""
    rng = random.Random(seed)
    seen = set()
    for _ in range(4 * PACKETS):
        data, rules = random_datagram(rng), random_rules(rng)
        assert may_pass(data, rules) == passes_by_scapy(data, rules), (data.hex(), rules)
        seen.add((may_pass(data, rules), IP(data).frag > 0))
    assert len(seen) == 4
