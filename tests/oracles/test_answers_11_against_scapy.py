"""The right answers to 11.1 find data and flows where Scapy does, which reads packets by itself."""

import random
from collections import Counter

import pytest
from scapy.layers.inet import ICMP, IP, TCP, UDP, IPOption_NOP
from scapy.packet import Padding, Raw

from instructor.units.items import item

PACKETS = 400
HOSTS = ("192.0.2.1", "198.51.100.2")
OPTIONS = ([], [], [("NOP", None)] * 4, [("Timestamp", (7, 9)), ("NOP", None), ("NOP", None)])


def drawn(rng):
    """Let Scapy build a packet between two hosts, of whatever kind."""
    source, destination = rng.sample(HOSTS, 2)
    carried = rng.choice((TCP, TCP, TCP, TCP, UDP, ICMP))()
    if not isinstance(carried, ICMP):
        carried.sport, carried.dport = rng.choice((5001, 5002)), rng.choice((80, 443))
    if isinstance(carried, TCP):
        carried.options, carried.flags = rng.choice(OPTIONS), rng.choice(("A", "PA", "S", "FA"))
    header = IP(
        src=source,
        dst=destination,
        flags=rng.choice(("", "DF", "MF")),
        frag=rng.choice((0, 0, 0, 0, 5)),
        options=rng.choice(([], [], [IPOption_NOP()] * 4)),
    )
    data, padding = rng.choice((0, 0, 1, 16)), rng.choice((0, 0, 4))
    return header / carried / Raw(bytes(data)) / Padding(bytes(padding))


def flow_of_data(packet):
    """Let Scapy read a packet; return its flow if it is a segment with data."""
    read = IP(packet)
    if read.proto != 6 or read.frag:
        return None
    segment = read[TCP]
    header = 4 * (read.ihl + segment.dataofs)
    return (read.src, read.dst, segment.sport, segment.dport) if read.len > header else None


@pytest.mark.parametrize(
    "new_loss",
    [pytest.param(one, id=one.__name__) for one in (item("11.1").answer, *item("11.1").others)],
)
def test_every_fifth_segment_with_data_is_dropped(new_loss):
    """RFC 791 and RFC 9293, section 3.1: where headers end."""
    rng, counts, lost, stage = random.Random(11), Counter(), 0, new_loss(5)
    for _ in range(PACKETS):
        packet = bytes(drawn(rng))
        flow = flow_of_data(packet)
        counts[flow] += 1
        passes = flow is None or counts[flow] % 5 > 0
        assert stage.passes(packet) is passes
        lost += not passes
    assert lost > 10
