"""Two other libraries, Scapy and dpkt, read and write the same packets as ours: octet by octet.

10,000 random frames (seeded) go each way for each library. On the way *there* our octets are
parsed by the other library: every field must agree, and building its packet anew from the fields
must give our octets back. On the way *back* the other library builds the frame from plain values:
its octets must be ours, and our parsers must find the same fields in them. Scapy also works out
the lengths and checksums of IPv4 and ICMP on its own, dpkt the IPv4 checksum.

The frames carry ARP, and IPv4 with every combination of flags, with options and as fragments;
inside are ICMP, UDP, TCP with options, or octets of no known protocol; short frames are padded.
"""

import random
import socket
import warnings
from collections.abc import Callable, Iterator
from typing import NamedTuple

import dpkt
import pytest

from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # on loading, Scapy may warn about other libraries' ageing
    from scapy.config import conf
    from scapy.layers.inet import ICMP, IP, TCP, UDP, IPerror, IPOption, UDPerror
    from scapy.layers.l2 import ARP, Ether
    from scapy.packet import NoPayload, Packet, Padding, Raw

FRAMES = 10_000
SEED = 826_791
ARP_TYPE, IPV4_TYPE = 0x0806, 0x0800
PROTOCOLS = {1: ICMPHeader, 6: TCPHeader, 17: UDPHeader}
UNKNOWN_PROTOCOLS = (253, 254)  # for experiments: RFC 3692, section 2.1

Transport = ICMPHeader | TCPHeader | UDPHeader | None


class Frame(NamedTuple):
    """A frame as values; what the header does not say about its options is kept beside it."""

    ethernet: EthernetHeader
    network: ARPPacket | IPv4Header
    transport: Transport
    payload: bytes
    padding: bytes
    options: list[tuple[int, bytes]]  # of IPv4: type and body
    transport_options: list[tuple[int, bytes]]

    def octets(self) -> bytes:
        transport = b"" if self.transport is None else self.transport.build()
        return (
            self.ethernet.build() + self.network.build() + transport + self.payload + self.padding
        )


# --- the frames ---------------------------------------------------------------------------------


def mac(rng: random.Random) -> bytes:
    return bytes.fromhex("00005e0053") + rng.randbytes(1)


def encoded(options: list[tuple[int, bytes]]) -> bytes:
    """Types 0 and 1 are one octet; all others have a length, which counts type and length too."""
    return b"".join(
        bytes([kind]) if kind < 2 else bytes([kind, 2 + len(body)]) + body for kind, body in options
    )


def pad_to_words(options: list[tuple[int, bytes]]) -> list[tuple[int, bytes]]:
    return options + [(0, b"")] * (-len(encoded(options)) % 4)


def ipv4_options(rng: random.Random) -> list[tuple[int, bytes]]:
    """Well-formed options of RFC 791, section 3.1, RFC 2113 and RFC 4727 (for experiments)."""
    slots = rng.randint(1, 4)
    route = bytes([4 * rng.randint(1, slots + 1)]) + rng.randbytes(4 * slots)
    choices = [
        (1, b""),
        (7, route),
        (131, route),
        (137, route),
        (136, rng.randbytes(2)),
        (130, rng.randbytes(9)),
        (148, b"\0\0"),
        (rng.choice((30, 94, 158, 222)), rng.randbytes(rng.randint(0, 8))),
    ]
    return pad_to_words(rng.sample(choices, rng.randint(1, 2)))


def tcp_options(rng: random.Random) -> list[tuple[int, bytes]]:
    """Options of RFC 9293, 7323 and 2018, and those for experiments of RFC 4727."""
    choices = [
        (1, b""),
        (2, rng.randbytes(2)),
        (3, rng.randbytes(1)),
        (4, b""),
        (5, rng.randbytes(8 * rng.randint(1, 2))),
        (8, rng.randbytes(8)),
        (253, rng.randbytes(rng.randint(2, 6))),
    ]
    return pad_to_words(rng.sample(choices, rng.randint(1, 4)))  # 40 octets at most


def quoted_packet(rng: random.Random) -> bytes:
    """What an ICMP error quotes: a header and eight octets of UDP (RFC 792)."""
    udp = UDPHeader(rng.getrandbits(16), rng.getrandbits(16), 8, rng.getrandbits(16)).build()
    header = ipv4_header(rng, 17, len(udp), b"")._replace(flags=0, fragment_offset=0)
    return header.with_checksum().build() + udp


def icmp_message(rng: random.Random) -> tuple[ICMPHeader, bytes]:
    kind = rng.choice((0, 3, 5, 8, 11, 12))
    data = rng.randbytes(rng.randint(0, 60)) if kind in (0, 8) else quoted_packet(rng)
    rest = {3: rng.getrandbits(16), 11: 0, 12: rng.getrandbits(8) << 24}
    header = ICMPHeader(kind, rng.getrandbits(4), 0, rest.get(kind, rng.getrandbits(32)))
    return header.with_checksum(data), data


def ipv4_header(rng: random.Random, protocol: int, carried: int, options: bytes) -> IPv4Header:
    return IPv4Header(
        type_of_service=rng.getrandbits(8),
        total_length=20 + len(options) + carried,
        identification=rng.getrandbits(16),
        flags=rng.getrandbits(3),
        fragment_offset=rng.choice((0, 0, 0, rng.randint(1, 8191))),
        time_to_live=rng.getrandbits(8),
        protocol=protocol,
        checksum=0,
        source=rng.getrandbits(32),
        destination=rng.getrandbits(32),
        options=options,
    )


def transport_part(
    rng: random.Random, protocol: int
) -> tuple[Transport, bytes, list[tuple[int, bytes]]]:
    payload = rng.randbytes(rng.randint(0, 60))
    ports = (rng.getrandbits(16), rng.getrandbits(16))
    if protocol == 1:
        return *icmp_message(rng), []
    if protocol == 17:
        return UDPHeader(*ports, 8 + len(payload), rng.getrandbits(16)), payload, []
    if protocol == 6:
        options = rng.choice(([], tcp_options(rng)))
        numbers = (rng.getrandbits(32), rng.getrandbits(32), rng.getrandbits(4), rng.getrandbits(8))
        words = (rng.getrandbits(16), rng.getrandbits(16), rng.getrandbits(16))
        return TCPHeader(*ports, *numbers, *words, encoded(options)), payload, options
    return None, payload, []


def ipv4_frame(rng: random.Random) -> Frame:
    protocol = rng.choice((*PROTOCOLS, *UNKNOWN_PROTOCOLS))
    options = rng.choice(([], ipv4_options(rng)))
    transport, payload, transport_options = transport_part(rng, protocol)
    carried = len(payload) + (0 if transport is None else len(transport.build()))
    header = ipv4_header(rng, protocol, carried, encoded(options))
    if header.fragment_offset:  # a later fragment begins anywhere, not with a header
        payload = b"" if transport is None else transport.build()
        payload += rng.randbytes(carried - len(payload))
        transport, transport_options = None, []
    padding = b"\0" * max(0, 46 - header.total_length)  # RFC 894
    ethernet = EthernetHeader(mac(rng), mac(rng), IPV4_TYPE)
    ip = header.with_checksum()
    return Frame(ethernet, ip, transport, payload, padding, options, transport_options)


def arp_frame(rng: random.Random) -> Frame:
    addresses = (mac(rng), rng.getrandbits(32), mac(rng), rng.getrandbits(32))
    arp = ARPPacket(rng.randint(1, 2), *addresses)
    return Frame(EthernetHeader(mac(rng), mac(rng), ARP_TYPE), arp, None, b"", bytes(18), [], [])


def random_frames() -> list[Frame]:
    rng = random.Random(SEED)
    return [rng.choice((arp_frame, *[ipv4_frame] * 7))(rng) for _ in range(FRAMES)]


SAMPLES = random_frames()


def parsed_by_us(octets: bytes) -> Frame:
    ethernet = EthernetHeader.parse(octets)
    inside = ethernet.payload(octets)
    network: ARPPacket | IPv4Header
    if ethernet.ether_type == ARP_TYPE:
        return Frame(ethernet, ARPPacket.parse(inside), None, b"", inside[28:], [], [])
    network = IPv4Header.parse(inside, verify_checksum=True)
    payload, padding = network.payload(inside), inside[network.total_length :]
    transport: Transport = None
    if network.protocol in PROTOCOLS and network.fragment_offset == 0:
        transport = PROTOCOLS[network.protocol].parse(payload)
        payload = transport.payload(payload)
    return Frame(ethernet, network, transport, payload, padding, [], [])


def without_lists(frame: Frame) -> Frame:
    return frame._replace(options=[], transport_options=[])


# --- Scapy --------------------------------------------------------------------------------------


@pytest.fixture
def scapy_layers() -> Iterator[None]:
    """Keep Scapy from guessing, by port number, what random octets in UDP might be."""
    conf.layers.filter([Ether, ARP, IP, ICMP, UDP, TCP, IPerror, UDPerror, Raw, Padding])
    yield
    conf.layers.unfilter()


def dotted(address: int) -> str:
    return socket.inet_ntoa(address.to_bytes(4, "big"))


def number(address: str) -> int:
    return int.from_bytes(socket.inet_aton(address), "big")


def colons(address: bytes) -> str:
    return ":".join(f"{octet:02x}" for octet in address)


def octets_of(address: str) -> bytes:
    return bytes(int(pair, 16) for pair in address.split(":"))


def scapy_option(kind: int, body: bytes) -> Packet:
    where = {"copy_flag": kind >> 7, "optclass": kind >> 5 & 3, "option": kind & 31}
    return Raw(bytes([kind])) if kind < 2 else IPOption(**where, value=body)


def scapy_tcp_option(kind: int, body: bytes) -> tuple[str | int, object]:
    words = [int.from_bytes(body[at : at + 4], "big") for at in range(0, len(body), 4)]
    named: dict[int, tuple[str, object]] = {
        0: ("EOL", None),
        1: ("NOP", None),
        2: ("MSS", int.from_bytes(body, "big")),
        3: ("WScale", int.from_bytes(body, "big")),
        4: ("SAckOK", b""),
        5: ("SAck", tuple(words)),
        8: ("Timestamp", tuple(words)),
    }
    return named.get(kind, (kind, body))


def scapy_icmp(header: ICMPHeader) -> Packet:
    rest = header.rest_of_header
    by_type = {
        3: {"reserved": 0, "length": 0, "nexthopmtu": rest},
        5: {"gw": dotted(rest)},
        11: {"reserved": 0, "length": 0, "unused": rest},
        12: {"ptr": rest >> 24, "length": 0, "unused": 0},
    }
    echo = {"id": rest >> 16, "seq": rest & 0xFFFF}
    return ICMP(type=header.type, code=header.code, **by_type.get(header.type, echo))


def scapy_transport(header: Transport, options: list[tuple[int, bytes]]) -> Packet:
    if isinstance(header, ICMPHeader):
        return scapy_icmp(header)
    if isinstance(header, UDPHeader):
        return UDP(sport=header.source_port, dport=header.destination_port, chksum=header.checksum)
    if isinstance(header, TCPHeader):
        return TCP(
            sport=header.source_port,
            dport=header.destination_port,
            seq=header.sequence_number,
            ack=header.acknowledgment_number,
            reserved=header.reserved >> 1,  # three bits there, as before RFC 9293
            flags=(header.reserved & 1) << 8 | header.control_bits,
            window=header.window,
            chksum=header.checksum,
            urgptr=header.urgent_pointer,
            options=[scapy_tcp_option(*option) for option in options],
        )
    return NoPayload()


def scapy_network(frame: Frame) -> Packet:
    header = frame.network
    if isinstance(header, ARPPacket):
        return ARP(
            op=header.opcode,
            hwsrc=colons(header.sender_hardware_address),
            psrc=dotted(header.sender_protocol_address),
            hwdst=colons(header.target_hardware_address),
            pdst=dotted(header.target_protocol_address),
        )
    return IP(  # header length, total length and checksum are left to Scapy
        tos=header.type_of_service,
        id=header.identification,
        flags=header.flags,
        frag=header.fragment_offset,
        ttl=header.time_to_live,
        proto=header.protocol,
        src=dotted(header.source),
        dst=dotted(header.destination),
        options=[scapy_option(*option) for option in frame.options],
    )


def built_by_scapy(frame: Frame) -> bytes:
    ethernet = Ether(
        dst=colons(frame.ethernet.destination),
        src=colons(frame.ethernet.source),
        type=frame.ethernet.ether_type,
    )
    packet = ethernet / scapy_network(frame)
    for part in (scapy_transport(frame.transport, frame.transport_options), Raw(frame.payload)):
        packet = packet / part if len(part) else packet
    return bytes(packet) + frame.padding


def rebuilt(packet: Packet) -> bytes:
    """Build from the fields: without the octets that Scapy keeps from parsing."""
    packet.clear_cache()
    return bytes(packet)


def transport_from_scapy(packet: Packet) -> Transport:
    if isinstance(packet, ICMP):
        first = rebuilt(packet)[:8]
        return ICMPHeader(packet.type, packet.code, packet.chksum, int.from_bytes(first[4:], "big"))
    if isinstance(packet, UDP):
        return UDPHeader(packet.sport, packet.dport, packet.len, packet.chksum)
    if isinstance(packet, TCP):
        flags = int(packet.flags)
        return TCPHeader(
            packet.sport,
            packet.dport,
            packet.seq,
            packet.ack,
            packet.reserved << 1 | flags >> 8,
            flags & 0xFF,
            packet.window,
            packet.chksum,
            packet.urgptr,
            bytes(packet)[20 : packet.dataofs * 4],
        )
    return None


def network_from_scapy(packet: Packet) -> ARPPacket | IPv4Header:
    if isinstance(packet, ARP):
        return ARPPacket(
            packet.op,
            octets_of(packet.hwsrc),
            number(packet.psrc),
            octets_of(packet.hwdst),
            number(packet.pdst),
        )
    return IPv4Header(
        packet.tos,
        packet.len,
        packet.id,
        int(packet.flags),
        packet.frag,
        packet.ttl,
        packet.proto,
        packet.chksum,
        number(packet.src),
        number(packet.dst),
        b"".join(bytes(option) for option in packet.options),
    )


def parsed_by_scapy(octets: bytes) -> Frame:
    packet = Ether(octets)
    ethernet = EthernetHeader(octets_of(packet.dst), octets_of(packet.src), packet.type)
    network = packet.payload
    padding = bytes(packet[Padding]) if Padding in packet else b""
    transport = transport_from_scapy(network.payload)
    carrier = network if transport is None else network.payload
    payload = bytes(carrier.payload).removesuffix(padding) if isinstance(network, IP) else b""
    return Frame(ethernet, network_from_scapy(network), transport, payload, padding, [], [])


@pytest.mark.usefixtures("scapy_layers")
def test_scapy_finds_our_fields_in_our_octets():
    for frame in SAMPLES:
        assert parsed_by_scapy(frame.octets()) == without_lists(frame)


@pytest.mark.usefixtures("scapy_layers")
def test_scapy_builds_our_octets_anew_from_what_it_found_in_them():
    for frame in SAMPLES:
        assert rebuilt(Ether(frame.octets())) == frame.octets()


@pytest.mark.usefixtures("scapy_layers")
def test_scapy_builds_our_octets_and_we_find_its_fields_in_them():
    for frame in SAMPLES:
        octets = built_by_scapy(frame)
        assert octets == frame.octets()
        assert parsed_by_us(octets) == without_lists(frame)


# --- dpkt ---------------------------------------------------------------------------------------


def dpkt_icmp(header: ICMPHeader, payload: bytes) -> dpkt.Packet:
    rest = header.rest_of_header.to_bytes(4, "big")
    return dpkt.icmp.ICMP(
        type=header.type, code=header.code, sum=header.checksum, data=rest + payload
    )


def dpkt_udp(header: UDPHeader, payload: bytes) -> dpkt.Packet:
    return dpkt.udp.UDP(
        sport=header.source_port,
        dport=header.destination_port,
        ulen=header.length,
        sum=header.checksum,
        data=payload,
    )


def dpkt_tcp(header: TCPHeader, payload: bytes) -> dpkt.Packet:
    return dpkt.tcp.TCP(
        sport=header.source_port,
        dport=header.destination_port,
        seq=header.sequence_number,
        ack=header.acknowledgment_number,
        _off_flags=header.data_offset << 12 | header.reserved << 8 | header.control_bits,
        win=header.window,
        sum=header.checksum,
        urp=header.urgent_pointer,
        opts=header.options,
        data=payload,
    )


DPKT_TRANSPORT: dict[type, Callable[..., dpkt.Packet]] = {
    ICMPHeader: dpkt_icmp,
    UDPHeader: dpkt_udp,
    TCPHeader: dpkt_tcp,
    type(None): lambda _header, payload: payload,
}


def dpkt_ipv4(header: IPv4Header, payload: bytes) -> dpkt.Packet:
    return dpkt.ip.IP(  # with a checksum of 0, dpkt works it out
        hl=header.header_length,
        tos=header.type_of_service,
        len=header.total_length,
        id=header.identification,
        rf=header.flags >> 2,
        df=header.flags >> 1 & 1,
        mf=header.flags & 1,
        offset=header.fragment_offset,
        ttl=header.time_to_live,
        p=header.protocol,
        sum=0,
        src=header.source.to_bytes(4, "big"),
        dst=header.destination.to_bytes(4, "big"),
        opts=header.options,
        data=payload,
    )


def dpkt_arp(header: ARPPacket) -> dpkt.Packet:
    return dpkt.arp.ARP(
        op=header.opcode,
        sha=header.sender_hardware_address,
        spa=header.sender_protocol_address.to_bytes(4, "big"),
        tha=header.target_hardware_address,
        tpa=header.target_protocol_address.to_bytes(4, "big"),
    )


def built_by_dpkt(frame: Frame) -> bytes:
    if isinstance(frame.network, ARPPacket):
        inside = bytes(dpkt_arp(frame.network))
    else:
        carried = DPKT_TRANSPORT[type(frame.transport)](frame.transport, frame.payload)
        inside = bytes(dpkt_ipv4(frame.network, bytes(carried)))
    destination, source, ether_type = frame.ethernet
    ethernet = dpkt.ethernet.Ethernet(dst=destination, src=source, type=ether_type, data=inside)
    return bytes(ethernet) + frame.padding


def transport_from_dpkt(packet: object) -> tuple[Transport, bytes]:
    """Return our header with dpkt's values, and the payload."""
    if isinstance(packet, dpkt.icmp.ICMP):
        inside = bytes(packet.data)
        rest = int.from_bytes(inside[:4], "big")
        return ICMPHeader(packet.type, packet.code, packet.sum, rest), inside[4:]
    if isinstance(packet, dpkt.udp.UDP):
        header = UDPHeader(packet.sport, packet.dport, packet.ulen, packet.sum)
        return header, bytes(packet.data)
    if isinstance(packet, dpkt.tcp.TCP):
        reserved, control = packet._off_flags >> 8 & 0xF, packet.flags & 0xFF
        numbers = (packet.sport, packet.dport, packet.seq, packet.ack, reserved, control)
        words = (packet.win, packet.sum, packet.urp)
        return TCPHeader(*numbers, *words, bytes(packet.opts)), bytes(packet.data)
    return None, bytes(packet)


def parsed_by_dpkt(octets: bytes) -> Frame:
    packet = dpkt.ethernet.Ethernet(octets)
    ethernet = EthernetHeader(packet.dst, packet.src, packet.type)
    inside = packet.data
    if isinstance(inside, dpkt.arp.ARP):
        addresses = (inside.sha, number_of(inside.spa), inside.tha, number_of(inside.tpa))
        arp = ARPPacket(inside.op, *addresses)
        return Frame(ethernet, arp, None, b"", bytes(inside.data), [], [])
    network = IPv4Header(
        inside.tos,
        inside.len,
        inside.id,
        inside.rf << 2 | inside.df << 1 | inside.mf,
        inside.offset,
        inside.ttl,
        inside.p,
        inside.sum,
        number_of(inside.src),
        number_of(inside.dst),
        bytes(inside.opts),
    )
    transport, payload = transport_from_dpkt(inside.data)
    padding = octets[14 + inside.len :]  # dpkt leaves it out
    return Frame(ethernet, network, transport, payload, padding, [], [])


def number_of(address: bytes) -> int:
    return int.from_bytes(address, "big")


def test_dpkt_finds_our_fields_in_our_octets():
    for frame in SAMPLES:
        assert parsed_by_dpkt(frame.octets()) == without_lists(frame)


def test_dpkt_builds_our_octets_anew_from_what_it_found_in_them():
    for frame in SAMPLES:
        packet = dpkt.ethernet.Ethernet(frame.octets())
        assert bytes(packet).ljust(60, b"\0") == frame.octets().ljust(60, b"\0")


def test_dpkt_builds_our_octets_and_we_find_its_fields_in_them():
    for frame in SAMPLES:
        octets = built_by_dpkt(frame)
        assert octets == frame.octets()
        assert parsed_by_us(octets) == without_lists(frame)


# --- the frames again ---------------------------------------------------------------------------


def test_the_sample_holds_enough_of_every_kind():
    """Agreement says little about what was never tried."""
    packets = [frame.network for frame in SAMPLES if isinstance(frame.network, IPv4Header)]
    transports = [type(frame.transport) for frame in SAMPLES]
    assert len(SAMPLES) - len(packets) > 1000
    assert min(transports.count(kind) for kind in PROTOCOLS.values()) > 1000
    assert {packet.flags for packet in packets} == set(range(8))
    assert sum(packet.fragment_offset > 0 for packet in packets) > 1000
    assert {packet.header_length for packet in packets} >= {5, 6, 7, 8, 9, 10, 11}
    assert sum(frame.transport_options != [] for frame in SAMPLES) > 500
    assert sum(frame.padding != b"" for frame in SAMPLES) > 1000
