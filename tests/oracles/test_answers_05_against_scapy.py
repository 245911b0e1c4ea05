"""The model answers of unit 05 agree with Scapy, which builds the same packets by itself.

Where a source prints a packet, or the layout leaves one choice only, the octets stand here as well.
"""

import random

import pytest
from scapy.layers.inet import ICMP, IP, UDP, IPOption_NOP, IPOption_RR
from scapy.layers.l2 import ARP, Ether
from scapy.packet import Raw
from scapy.utils import checksum

from instructor.units.unit_05.answers import answer_echo, answer_request, build_error

SEEDS = pytest.mark.parametrize("seed", range(2))
PACKETS = 200
HARDWARE = "00:00:5e:00:53:{:02x}"
KINDS = {
    "net unreachable": (3, 0),
    "host unreachable": (3, 1),
    "fragmentation needed": (3, 4),
    "time exceeded": (11, 0),
}


def address(rng):
    return f"{rng.choice(('192.0.2', '198.51.100', '203.0.113'))}.{rng.randint(1, 254)}"


@SEEDS
def test_questions_are_answered_as_scapy_would(seed):
    """RFC 826, "Packet format" and "Packet Reception"."""
    rng, answered = random.Random(seed), 0
    for _ in range(PACKETS):
        us, who = (HARDWARE.format(rng.randrange(256)) for _ in range(2))
        ours, theirs = address(rng), address(rng)
        wanted, operation = rng.choice((ours, ours, address(rng))), rng.choice((1, 1, 2))
        question = Ether(dst="ff:ff:ff:ff:ff:ff", src=HARDWARE.format(rng.randrange(256))) / ARP(
            op=operation, hwsrc=who, psrc=theirs, pdst=wanted
        )
        answer = None
        if operation == 1 and wanted == ours:
            arp = ARP(op=2, hwsrc=us, psrc=ours, hwdst=who, pdst=theirs)
            answer, answered = bytes(Ether(dst=who, src=us) / arp), answered + 1
        frame = bytes(question) + bytes(rng.choice((0, 18)))
        assert answer_request(frame, bytes.fromhex(us.replace(":", "")), ours) == answer
    assert 0.3 * PACKETS < answered < 0.7 * PACKETS


def random_packet(rng, carried):
    """Let Scapy build a packet, with options now and then."""
    options = rng.choice(([], [], [IPOption_NOP()] * 4, [IPOption_RR(routers=["0.0.0.0"])]))
    return IP(
        src=address(rng), dst=address(rng), ttl=rng.randint(1, 255), tos=rng.randrange(256),
        id=rng.getrandbits(16), flags=rng.choice(("", "DF")), options=options,
    ) / carried  # fmt: skip


@SEEDS
def test_echoes_are_answered_as_scapy_would(seed):
    """RFC 792, pages 14 and 15."""
    rng = random.Random(seed)
    for _ in range(PACKETS):
        message = ICMP(id=rng.getrandbits(16), seq=rng.getrandbits(16))
        echo = random_packet(rng, message / Raw(rng.randbytes(rng.randint(0, 80))))
        reply = IP(bytes(echo))
        reply.src, reply.dst, reply.ttl, reply[ICMP].type = echo.dst, echo.src, 64, 0
        del reply.chksum, reply[ICMP].chksum
        assert answer_echo(bytes(echo)) == bytes(reply)


@SEEDS
def test_errors_are_built_as_scapy_would(seed):
    """RFC 792, pages 4 and 6; RFC 1191, section 4; RFC 1812, sections 4.3.2.3 and 4.3.2.5."""
    rng = random.Random(seed)
    for _ in range(PACKETS):
        datagram = UDP(sport=4000, dport=33434) / Raw(rng.randbytes(rng.randint(0, 1400)))
        packet = bytes(random_packet(rng, datagram))
        reason, ours, mtu = rng.choice(list(KINDS)), address(rng), rng.randint(68, 9000)
        kind, code = KINDS[reason]
        told = {"nexthopmtu": mtu} if code == 4 else {}
        message = ICMP(type=kind, code=code, **told) / Raw(packet[: 576 - 28])
        error = IP(src=ours, dst=IP(packet).src, tos=0xC0, id=0, ttl=64, proto=1) / message
        padded = packet + bytes(rng.choice((0, 7)))
        built = build_error(padded, reason, ours, mtu)
        assert built == bytes(error)
        assert checksum(built[:20]) == checksum(built[20:]) == 0


def test_the_frames_whose_octets_follow_from_the_layout():
    """RFC 826; RFC 2544, appendix C, has the same values in its fields."""
    question = bytes.fromhex(
        "ffffffffffff 00005e005301 0806 000108000604000100005e005301 c0000201 000000000000 c0000202"
    )
    answer = bytes.fromhex(
        "00005e005301 00005e005302 0806 000108000604000200005e005302 c0000202 00005e005301 c0000201"
    )
    assert answer_request(question, bytes.fromhex("00005e005302"), "192.0.2.2") == answer


def test_an_echo_and_its_reply_differ_by_0x0800_in_their_sums():
    """RFC 792, page 14."""
    packet = bytes(IP(src="192.0.2.1", dst="192.0.2.2") / ICMP(id=1, seq=1) / Raw(b"abcdefgh"))
    assert packet[20:28].hex() == "0800666800010001"
    assert answer_echo(packet)[20:28].hex() == "00006e6800010001"


def test_a_time_exceeded_and_a_next_hop_mtu():
    """RFC 792, page 6; RFC 1191, section 4: an MTU of 1400 is 0x0578, in the last two octets."""
    packet = bytes.fromhex(
        "45000020 00010000 0111bbb8 c000020a cb007109 9c40829a 000ce2e6 00000000"
    )
    error = build_error(packet, "time exceeded", "192.0.2.1")
    assert error[20:] == bytes.fromhex("0b00f331 00000000") + packet
    needed = build_error(packet, "fragmentation needed", "192.0.2.1", 1400)
    assert needed[24:28] == bytes.fromhex("0000 0578")
