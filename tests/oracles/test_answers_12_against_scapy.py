"""The right answers to 12.2 and 12.4 beside Scapy, which cuts and writes packets by itself."""

import random

import pytest
from scapy.layers.inet import ICMP, IP, TCP, UDP, fragment
from scapy.packet import Raw

from instructor.units.items import item

OUTSIDE, FAR, ROUTER = "203.0.113.5", "198.51.100.9", "198.51.100.77"
INSIDE = ("192.0.2.17", 5123)
PORTS = [40_003, 40_001]
FOR_ALL = "0.0.0.0/0"
ERRORS = ((3, 1), (3, 3), (3, 4), (11, 0), (12, 0))


def right(number):
    one = item(number)
    return [pytest.param(each, id=each.__name__) for each in (one.answer, *one.others)]


def sent(layer, source, destination, data):
    """Let Scapy write a packet from one end to another; it works out lengths and checksums."""
    header = IP(src=source[0], dst=destination[0], ttl=61)
    return bytes(header / layer(sport=source[1], dport=destination[1]) / Raw(data))


@pytest.mark.parametrize("new_translator", right("12.4"))
@pytest.mark.parametrize("layer", [UDP, TCP])
def test_what_is_translated_is_what_scapy_writes_for_the_other_end(new_translator, layer):
    """RFC 3022, section 4: addresses, ports and checksums; all else is as it was."""
    rng = random.Random(12)
    translator, far = new_translator(OUTSIDE, PORTS), (FAR, 443)
    for turn in range(60):
        data = rng.randbytes(rng.randint(0, 40))
        out = translator.outward(turn, sent(layer, INSIDE, far, data))
        assert out == sent(layer, (OUTSIDE, PORTS[0]), far, data)
        back = translator.inward(turn, sent(layer, far, (OUTSIDE, PORTS[0]), data))
        assert back == sent(layer, far, INSIDE, data)


@pytest.mark.parametrize("new_translator", right("12.4"))
def test_a_translated_error_is_what_scapy_writes_about_the_packet_of_the_host(new_translator):
    """RFC 5508, section 4.2: the quote becomes again what the host has sent."""

    def reported(about, to, kind, code):
        error = ICMP(type=kind, code=code) / Raw(about)
        return bytes(IP(src=ROUTER, dst=to, ttl=61) / error)

    translator = new_translator(OUTSIDE, PORTS)
    packet = sent(UDP, INSIDE, (FAR, 33_434), b"crossing")
    out = translator.outward(0, packet)
    for kind, code in ERRORS:
        for octets in (28, len(out)):
            error = reported(out[:octets], OUTSIDE, kind, code)
            assert translator.inward(1, error) == reported(packet[:octets], INSIDE[0], kind, code)


@pytest.mark.parametrize("new_filter", right("12.2"))
@pytest.mark.parametrize("layer", [UDP, TCP])
def test_what_scapy_cuts_passes_or_not_as_the_whole_would(new_filter, layer):
    """RFC 791, section 3.2, on cutting; RFC 1858, section 4: 24 octets hold the ports of TCP."""
    rng = random.Random(12)
    judge = new_filter([(FOR_ALL, FOR_ALL, None, (5004, 5009), "pass")], "drop", 3).judge
    for number in range(40):
        port = rng.choice((5003, 5004, 5009, 5010))
        whole = IP(src=INSIDE[0], dst=FAR, id=number) / layer(sport=5004, dport=port)
        pieces = fragment(whole / Raw(bytes(rng.randint(60, 200))), rng.choice((24, 48)))
        verdict = "pass" if 5004 <= port <= 5009 else "drop"
        assert len(pieces) > 1
        assert {judge(bytes(piece)) for piece in pieces} == {verdict}
        assert judge(bytes(whole)) == verdict
