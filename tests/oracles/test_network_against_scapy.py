"""Scapy reads what passes the wires of a network, finds nothing to complain about, and agrees.

A run of the ferry network holds address resolution, echoes, errors with quotes, streams and
fragments. All its frames are written as a capture and read back by Scapy, which must dissect each
to its end, find every checksum as it would compute it, and build the same octets again.
"""

import warnings

import pytest

from course_lib import capture
from course_lib.ferry.network import ferry_network
from course_lib.forwarding.router import Router
from course_lib.network import (
    EchoRequests,
    Link,
    Stream,
    build_network,
    captured,
    echo_requests,
    fill_in_routes,
    mistakes,
    stream,
    trace_path,
)
from course_lib.network.records import What, summary
from course_lib.prefixes.prefix import parse_prefix

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # on loading, Scapy may warn about other libraries' ageing
    from scapy.layers.inet import ICMP, IP, UDP, ICMPerror, IPerror, defragment
    from scapy.layers.l2 import ARP, Ether
    from scapy.packet import Padding, Raw
    from scapy.utils import PcapReader


def busy_network():
    """A row of three routers with a link in the middle that carries 600 octets only."""
    links = [
        Link(("North Pier", "Ticket Office"), parse_prefix("198.51.100.0/27")),
        Link(("North Pier", "Reed Pier"), parse_prefix("192.0.2.0/31"), 10e6, 0.002),
        Link(("Reed Pier", "Plover"), parse_prefix("192.0.2.2/31"), 1e6, 0.001, mtu=600),
        Link(("Plover", "Bridge Screen"), parse_prefix("203.0.113.0/28")),
    ]
    network = build_network(
        links, Router, hosts=["Ticket Office", "Bridge Screen"], seed=1, call_limit_s=None
    )
    fill_in_routes(network)
    echo_requests(network, "Ticket Office", "Bridge Screen", count=2)
    echo_requests(network, "Ticket Office", "Bridge Screen", count=2, payload_octets=1400)
    echo_requests(network, "Ticket Office", "203.0.113.9", count=1, wait_s=5)
    trace_path(network, "Bridge Screen", "Ticket Office")
    stream(network, "Ticket Office", "Bridge Screen", count=5, interval_s=0.02, payload_octets=33)
    office = network.hosts["Ticket Office"]
    screen = network.hosts["Bridge Screen"].interface.address
    office.begin(network.now_s, Stream(screen, count=1, interval_s=1, port=9))
    office.begin(network.now_s, EchoRequests(screen, payload_octets=1400, dont_fragment=True))
    office.begin(network.now_s, EchoRequests(0xCB007181))
    network.run_until(network.now_s + 10)
    return network


@pytest.fixture(scope="module")
def network():
    return busy_network()


@pytest.fixture(scope="module")
def dissected(network, tmp_path_factory):
    """Return all frames that were sent, as Scapy reads them from a capture file."""
    path = tmp_path_factory.mktemp("capture") / "all.pcap"
    capture.write(path, captured(r for r in network.records if r.what is What.SENT))
    with PcapReader(str(path)) as reader:
        return list(reader)


def sent(network):
    return [record for record in network.records if record.what is What.SENT]


def test_the_run_holds_all_that_it_should(network, dissected):
    assert mistakes(network.records) == []
    kinds = {layer for packet in dissected for layer in packet.layers()}
    assert kinds >= {Ether, ARP, IP, ICMP, UDP, IPerror, ICMPerror, Raw}
    types = {(p[ICMP].type, p[ICMP].code) for p in dissected if ICMP in p and IPerror in p}
    assert types == {(11, 0), (3, 0), (3, 1), (3, 3), (3, 4)}
    assert any(packet[IP].frag for packet in dissected if IP in packet)
    assert len(dissected) > 100


def test_every_frame_is_dissected_to_its_end(dissected):
    for packet in dissected:
        layers = packet.layers()
        assert layers[0] is Ether
        assert layers[1] in (ARP, IP)
        assert Padding not in layers
        is_cut = IP in packet and packet[IP].frag > 0
        assert layers[1] is ARP or is_cut or layers[2] in (ICMP, UDP)


def test_building_the_frames_anew_gives_the_same_octets(network, dissected):
    """Scapy builds from the fields it has read; lengths and checksums are given here."""
    for record, packet in zip(sent(network), dissected, strict=True):
        packet.clear_cache()
        assert bytes(packet) == record.frame


def is_fragment(packet):
    return bool(packet[IP].frag or packet[IP].flags.MF)


def datagrams(network):
    """Return the octets of all frames that carry IPv4."""
    return [r.frame for r in sent(network) if r.frame[12:14] == b"\x08\x00"]


def test_lengths_and_header_checksums_are_what_scapy_works_out(network):
    for frame in datagrams(network):
        packet = Ether(frame)
        del packet[IP].chksum, packet[IP].len
        assert bytes(packet) == frame


@pytest.mark.parametrize(("layer", "at_least"), [(ICMP, 40), (UDP, 20)])
def test_checksums_of_messages_are_what_scapy_works_out(network, layer, at_least):
    """A fragment has no whole message to sum up."""
    packets = [Ether(frame) for frame in datagrams(network)]
    whole = [p for p in packets if isinstance(p[IP].payload, layer) and not is_fragment(p)]
    assert len(whole) >= at_least
    for packet in whole:
        expected = bytes(packet)
        del packet[layer].chksum
        assert bytes(packet) == expected


def test_times_of_the_capture_are_those_of_the_network(network, dissected):
    for record, packet in zip(sent(network), dissected, strict=True):
        assert float(packet.time) == pytest.approx(record.time_s, abs=1e-9)


def test_scapy_takes_every_answer_for_an_answer(network):
    """What a host counted as answer to its question, Scapy matches with that very question."""
    asked = [r for r in sent(network) if r.place in network.hosts and r.frame[12:14] == b"\x08\x00"]
    questions = [Ether(record.frame)[IP] for record in asked]
    kinds = {What.ECHO_REPLY, What.TIME_EXCEEDED, What.UNREACHABLE}
    answers = [
        Ether(r.frame)[IP] for r in network.records if r.what in kinds and r.task and r.frame
    ]
    whole = [answer for answer in answers if not (answer.frag or answer.flags.MF)]
    assert len(whole) >= 9
    for answer in whole:
        assert any(answer.answers(question) for question in questions)


def test_scapy_puts_the_fragments_together_to_what_was_sent(network):
    """The pieces of a request, as they reach the Bridge Screen, are the request again."""
    office = network.hosts["Ticket Office"].interface.address
    arrived = [
        Ether(r.frame)[IP] for r in network.records
        if r.what is What.DELIVERED and r.place == "Bridge Screen" and r.frame[12:14] == b"\x08\x00"
        and r.frame[26:30] == office.to_bytes(4, "big")
    ]  # fmt: skip
    whole = [packet for packet in defragment(arrived) if len(packet) == 1428]
    requests = [
        Ether(r.frame)[IP]
        for r in sent(network)
        if r.place == "Ticket Office" and len(r.frame) == 1442 and r.frame[20] & 0x40 == 0
    ]
    assert len(whole) == len(requests) == 2
    assert [bytes(p[ICMP]) for p in whole] == [bytes(p[ICMP]) for p in requests]


def test_the_one_line_summary_of_a_datagram_agrees_with_scapy(network):
    for frame in datagrams(network):
        header, text = Ether(frame)[IP], summary(frame)
        assert text.startswith(f"{header.src} to {header.dst}: ")
        assert text.endswith(f"{header.len} octets, time to live {header.ttl}")


def test_the_one_line_summary_of_an_address_question_agrees_with_scapy(network):
    frames = [r.frame for r in sent(network) if r.frame[12:14] == b"\x08\x06"]
    assert len(frames) >= 10
    for frame in frames:
        packet, text = Ether(frame)[ARP], summary(frame)
        assert packet.psrc in text
        assert packet.pdst in text


def test_a_host_answers_what_scapy_asks():
    """Requests are built by Scapy from plain values, and replies judged by it."""
    network = ferry_network(call_limit_s=None)
    echo_requests(network, "Ticket Office", "Weather Mast", count=1)
    mast = network.hosts["Weather Mast"]
    gateway = bytes.fromhex("00005e005300")
    hardware = mast.interface.hardware_address.hex(":")
    for octets in (0, 1, 56, 1400):
        request = (
            Ether(dst=hardware, src=gateway.hex(":"))
            / IP(src="198.51.100.2", dst="198.51.100.98", ttl=9)
            / ICMP(id=77, seq=octets)
            / Raw(bytes(octets))
        )
        (outgoing,) = mast.receive(network.now_s, mast.interface.name, bytes(request))
        reply = Ether(outgoing.frame)
        assert reply[IP].answers(Ether(bytes(request))[IP])
        assert bytes(reply[ICMP].payload) == bytes(octets)


def test_a_host_answers_an_address_question_that_scapy_asks():
    mast = ferry_network().hosts["Weather Mast"]
    question = Ether(dst="ff:ff:ff:ff:ff:ff", src="00:00:5e:00:53:fe") / ARP(
        op=1, hwsrc="00:00:5e:00:53:fe", psrc="198.51.100.97", pdst="198.51.100.98"
    )
    (outgoing,) = mast.receive(0.0, mast.interface.name, bytes(question))
    reply = Ether(outgoing.frame)
    assert reply[ARP].answers(question[ARP])
    assert reply[ARP].hwsrc == mast.interface.hardware_address.hex(":")
