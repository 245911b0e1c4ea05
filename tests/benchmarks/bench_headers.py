"""How fast headers are parsed, built and summed, as a ratio to Scapy and dpkt in the same run.

Run as a script: `python tests/benchmarks/bench_headers.py`. Rounds of all candidates alternate, so
that a busy machine slows all of them. Processor time is counted, not time on the wall. A time is
the median over the rounds, a ratio the median of the ratios within each round.

The peers do what their users would call for the same result. Where a row says *header*, the packet
carries octets of no known protocol, so that they do not parse further than we do. *From values*
starts at plain field values, *ready* at an object that exists already.
"""

import statistics
import time
import warnings
from collections.abc import Callable
from typing import NamedTuple

import dpkt
import numpy as np

from course_lib.checksum import checksum, checksums, ones_complement_sum
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # on loading, Scapy may warn about other libraries' ageing
    from scapy.layers.inet import ICMP, IP, TCP, UDP
    from scapy.layers.l2 import ARP, Ether
    from scapy.packet import Raw
    from scapy.utils import checksum as scapy_checksum

ROUNDS = 15
ROUND_S = 0.02  # how long one candidate runs in one round

SOURCE, DESTINATION = 0xC0000201, 0xC6336402  # 192.0.2.1 and 198.51.100.2
SOURCE_OCTETS, DESTINATION_OCTETS = SOURCE.to_bytes(4, "big"), DESTINATION.to_bytes(4, "big")
MAC_1, MAC_2 = bytes.fromhex("00005e005301"), bytes.fromhex("00005e005302")
PAYLOAD = bytes(64)

Call = Callable[[], object]


class Row(NamedTuple):
    """One thing that is done by several candidates; ours comes first."""

    name: str
    ours: Call
    dpkt: Call | None = None
    scapy: Call | None = None


def ipv4(protocol: int, carried: int) -> IPv4Header:
    fields = (0, 20 + carried, 1, 2, 0, 64, protocol, 0, SOURCE, DESTINATION)
    return IPv4Header(*fields).with_checksum()


UNKNOWN = ipv4(253, 64).build() + PAYLOAD
UDP_OCTETS = UDPHeader(4000, 5000, 72, 0x1234).build() + PAYLOAD
TCP_HEADER = TCPHeader(
    4000, 80, 1, 2, 0, 0x10, 500, 0x1234, 0, bytes.fromhex("0101080a") + bytes(8)
)
TCP_OCTETS = TCP_HEADER.build() + PAYLOAD
ICMP_OCTETS = ICMPHeader(8, 0, 0, 0x00010001).with_checksum(PAYLOAD).build() + PAYLOAD
ARP_OCTETS = ARPPacket(1, MAC_1, SOURCE, bytes(6), DESTINATION).build()
ETHERNET_OCTETS = EthernetHeader(MAC_2, MAC_1, 0x88B5).build() + PAYLOAD  # for experiments
FRAME = EthernetHeader(MAC_2, MAC_1, 0x0800).build() + ipv4(17, 72).build() + UDP_OCTETS


def parse_frame(verify_checksum: bool = False) -> object:
    """Parse all three headers and cut out the payload, as the peers do."""
    ethernet = EthernetHeader.parse(FRAME)
    packet = ethernet.payload(FRAME)
    network = IPv4Header.parse(packet, verify_checksum=verify_checksum)
    datagram = network.payload(packet)
    transport = UDPHeader.parse(datagram)
    return ethernet, network, transport, transport.payload(datagram)


PARSING = [
    Row(
        "IPv4 header",
        lambda: IPv4Header.parse(UNKNOWN),
        lambda: dpkt.ip.IP(UNKNOWN),
        lambda: IP(UNKNOWN),
    ),
    Row(
        "IPv4 header, checksum verified",
        lambda: IPv4Header.parse(UNKNOWN, verify_checksum=True),
        lambda: dpkt.ip.IP(UNKNOWN),
        lambda: IP(UNKNOWN),
    ),
    Row(
        "Ethernet header",
        lambda: EthernetHeader.parse(ETHERNET_OCTETS),
        lambda: dpkt.ethernet.Ethernet(ETHERNET_OCTETS),
        lambda: Ether(ETHERNET_OCTETS),
    ),
    Row(
        "ARP packet",
        lambda: ARPPacket.parse(ARP_OCTETS),
        lambda: dpkt.arp.ARP(ARP_OCTETS),
        lambda: ARP(ARP_OCTETS),
    ),
    Row(
        "ICMP header",
        lambda: ICMPHeader.parse(ICMP_OCTETS),
        lambda: dpkt.icmp.ICMP(ICMP_OCTETS),
        lambda: ICMP(ICMP_OCTETS),
    ),
    Row(
        "UDP header",
        lambda: UDPHeader.parse(UDP_OCTETS),
        lambda: dpkt.udp.UDP(UDP_OCTETS),
        lambda: UDP(UDP_OCTETS),
    ),
    Row(
        "TCP header with options",
        lambda: TCPHeader.parse(TCP_OCTETS),
        lambda: dpkt.tcp.TCP(TCP_OCTETS),
        lambda: TCP(TCP_OCTETS),
    ),
    Row(
        "frame: Ethernet, IPv4, UDP, payload",
        parse_frame,
        lambda: dpkt.ethernet.Ethernet(FRAME),
        lambda: Ether(FRAME),
    ),
    Row(
        "same frame, checksum verified",
        lambda: parse_frame(True),
        lambda: dpkt.ethernet.Ethernet(FRAME),
        lambda: Ether(FRAME),
    ),
]


def ipv4_by_dpkt() -> bytes:
    return bytes(
        dpkt.ip.IP(
            tos=0,
            len=84,
            id=1,
            df=1,
            ttl=64,
            p=253,
            sum=0x1234,
            src=SOURCE_OCTETS,
            dst=DESTINATION_OCTETS,
        )
    )


def ipv4_by_scapy() -> bytes:
    return bytes(
        IP(ihl=5, len=84, id=1, flags=2, proto=253, chksum=1, src="192.0.2.1", dst="198.51.100.2")
    )


def frame_from_values() -> bytes:
    ethernet = EthernetHeader(MAC_2, MAC_1, 0x0800)
    network = IPv4Header(0, 92, 1, 2, 0, 64, 17, 0x1234, SOURCE, DESTINATION)
    transport = UDPHeader(4000, 5000, 72, 0x1234)
    return ethernet.build() + network.build() + transport.build() + PAYLOAD


def frame_from_values_by_dpkt() -> bytes:
    udp = dpkt.udp.UDP(sport=4000, dport=5000, ulen=72, sum=0x1234, data=PAYLOAD)
    addresses = {"src": SOURCE_OCTETS, "dst": DESTINATION_OCTETS}
    ip = dpkt.ip.IP(len=92, id=1, df=1, ttl=64, p=17, sum=0x1234, data=udp, **addresses)
    return bytes(dpkt.ethernet.Ethernet(dst=MAC_2, src=MAC_1, type=0x0800, data=ip))


def frame_from_values_by_scapy() -> bytes:
    ethernet = Ether(dst="00:00:5e:00:53:02", src="00:00:5e:00:53:01", type=0x0800)
    addresses = {"src": "192.0.2.1", "dst": "198.51.100.2"}
    ip = IP(ihl=5, len=92, id=1, flags=2, proto=17, chksum=0x1234, **addresses)
    udp = UDP(sport=4000, dport=5000, len=72, chksum=0x1234)
    return bytes(ethernet / ip / udp / Raw(PAYLOAD))


OUR_HEADERS = (EthernetHeader.parse(FRAME), ipv4(17, 72), UDPHeader.parse(UDP_OCTETS))
OUR_IPV4 = ipv4(253, 64)
DPKT_IPV4 = dpkt.ip.IP(UNKNOWN)
DPKT_UDP = dpkt.udp.UDP(UDP_OCTETS[:8])
DPKT_TCP = dpkt.tcp.TCP(TCP_OCTETS[:32])
DPKT_FRAME = dpkt.ethernet.Ethernet(FRAME)


def frame_from_headers() -> bytes:
    ethernet, network, transport = OUR_HEADERS
    return ethernet.build() + network.build() + transport.build() + PAYLOAD


BUILDING = [
    Row(
        "IPv4 header from values",
        lambda: IPv4Header(0, 84, 1, 2, 0, 64, 253, 0x1234, SOURCE, DESTINATION).build(),
        ipv4_by_dpkt,
        ipv4_by_scapy,
    ),
    Row(
        "frame from values",
        frame_from_values,
        frame_from_values_by_dpkt,
        frame_from_values_by_scapy,
    ),
    Row("IPv4 packet, ready", lambda: OUR_IPV4.build() + PAYLOAD, lambda: bytes(DPKT_IPV4)),
    Row("UDP header, ready", OUR_HEADERS[2].build, lambda: bytes(DPKT_UDP)),
    Row("TCP header with options, ready", TCP_HEADER.build, lambda: bytes(DPKT_TCP)),
    Row("frame, ready", frame_from_headers, lambda: bytes(DPKT_FRAME)),
]

HEADER = OUR_IPV4.build()
LONG = bytes(range(250)) * 6
ROWS = np.frombuffer(HEADER * 10_000, np.uint8).reshape(10_000, 20)
SUMMING = [
    Row(
        "checksum of 20 octets",
        lambda: checksum(HEADER),
        lambda: dpkt.dpkt.in_cksum(HEADER),
        lambda: scapy_checksum(HEADER),
    ),
    Row(
        "checksum of 1500 octets",
        lambda: checksum(LONG),
        lambda: dpkt.dpkt.in_cksum(LONG),
        lambda: scapy_checksum(LONG),
    ),
    Row("sum of 20 octets", lambda: ones_complement_sum(HEADER)),
    Row("10,000 headers in an array", lambda: checksums(ROWS)),
    Row("10,000 headers one by one", lambda: [checksum(HEADER) for _ in range(10_000)]),
]


def ns_per_call(call: Call, times: int) -> float:
    began = time.process_time_ns()
    for _ in range(times):
        call()
    return (time.process_time_ns() - began) / times


def measured(calls: list[Call]) -> list[list[float]]:
    """Return, for each round, what one call of each candidate took, in nanoseconds."""
    times = [max(1, int(ROUND_S * 1e9 / max(ns_per_call(call, 5), 100))) for call in calls]
    pairs = list(zip(calls, times, strict=True))
    return [[ns_per_call(call, count) for call, count in pairs] for _ in range(ROUNDS)]


def line(row: Row) -> str:
    peers = {"dpkt": row.dpkt, "Scapy": row.scapy}
    present = {name: call for name, call in peers.items() if call is not None}
    rounds = measured([row.ours, *present.values()])
    text = f"  {row.name:<36} {statistics.median(each[0] for each in rounds):>10,.0f} ns"
    for place, name in enumerate(present, start=1):
        ratio = statistics.median(each[place] / each[0] for each in rounds)
        median_ns = statistics.median(each[place] for each in rounds)
        text += f"  {name} {median_ns:>9,.0f} ns = {ratio:6.1f} x"
    return text


def main() -> None:
    """Print one line for each row: our time, and how many times as long the peers take."""
    for title, rows in (("Parsing", PARSING), ("Building", BUILDING), ("Summing", SUMMING)):
        print(title)
        for row in rows:
            print(line(row))


if __name__ == "__main__":
    main()
